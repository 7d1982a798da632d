import type { Engine } from "../engine/engine.js";

/** What a run had to be rescued from, in words. Port flows held to what makes pressures equal are ordinary and only counted. */
export function troubleWarnings(engine: Engine): string[] {
  const { outOfRange, rescued, overrun } = engine.troubleCounts();
  const warnings: string[] = [];
  if (outOfRange > 0) {
    warnings.push(
      `The working fluid left its tables ${outOfRange} times (too cold, too hot or too dense) and was held at their edge.`,
    );
  }
  if (rescued > 0)
    warnings.push(
      `The exhaust pipes were emptied ${rescued} times and held at 1 mbar: the machine is beyond the pipe model.`,
    );
  if (overrun > 0)
    warnings.push(`Waves crossed more than 1.3 cells in ${overrun} ticks; a finer --fidelity would be safer.`);
  return warnings;
}
