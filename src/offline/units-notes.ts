import type { EngineUnits } from "../preset/engine-units.js";

/** What is to be said beside figures that are one engine's, where there are several. */
export function unitsNotes({ count }: EngineUnits): string[] {
  return count === 1
    ? []
    : [`${count} engine units: turns, speed, pressures, valve events and beats a turn are those of the first.`];
}
