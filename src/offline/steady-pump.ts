import type { EngineDescription } from "../engine/engine-description.js";
import { type GearDescription, isCrankless } from "../gear/gear-description.js";

/**
 * A machine as it is judged by itself: a pump that fills a shut vessel never comes to repeat, so it is judged against its
 * lift, as if the vessel were great.
 */
export function steadyDescription(description: EngineDescription): EngineDescription {
  const { pump } = description;
  return pump && pump.vesselM3 > 0 ? { ...description, pump: { ...pump, vesselM3: 0 } } : description;
}

/** Exhaust beats of a double stroke: every end exhausts once, and no two at once. */
export function beatsPerDoubleStroke({ cylinder, crankAnglesRad }: GearDescription, exhaustsToAir: boolean): number {
  return exhaustsToAir ? crankAnglesRad.length * (cylinder.acting === "double" ? 2 : 1) : 0;
}

/** Refuses what only a crank can have. @throws RangeError */
export function requireCrank(gear: GearDescription, what: string, wayOut: string): void {
  if (!isCrankless(gear)) return;
  throw new RangeError(
    `${what} must be asked of a machine with a crank, got a pump whose pistons trip its valves. ${wayOut}`,
  );
}
