import type { Engine } from "../engine/engine.js";
import { longestRunInS, type Settled } from "../machine/settle.js";

/** What a run had to be rescued from, in words. Port flows held to what makes pressures equal are ordinary and only counted. */
export function troubleWarnings(engine: Engine): string[] {
  const { outOfRange, rescued, overrun, floored } = engine.troubleCounts();
  const warnings: string[] = [];
  if (outOfRange > 0) {
    warnings.push(
      `The working fluid left its tables ${outOfRange} times (too cold, too hot, too wet or too dense) and was held at their edge.`,
    );
  }
  if (rescued > 0)
    warnings.push(
      `The exhaust pipes were emptied ${rescued} times and held at 1 mbar: the machine is beyond the pipe model.`,
    );
  if (floored > 0)
    warnings.push(
      `The ends of the exhaust pipes fell towards a vacuum ${floored} times and were held: the machine is beyond the pipe model.`,
    );
  // Not "take a finer step": cells shrink with the step, so that finer fidelity has sharper fronts and more of this.
  if (overrun > 0)
    warnings.push(
      `Waves crossed more than 1.3 cells of the exhaust pipes in ${overrun} ticks: gas faster than they are divided for, ` +
        `whose sharpest fronts are rough.`,
    );
  return warnings;
}

/** What is to be said of a running in after which a turn did not repeat the last. */
export function unsettledWarnings({ turns, changeRatio, isSettled }: Settled): string[] {
  if (isSettled) return [];
  if (changeRatio === Infinity) {
    const count = `${Number(turns.toPrecision(2))} turns`;
    return [
      `Running in was ended after ${longestRunInS} s and ${count}, too few to tell whether a turn repeats the last.`,
    ];
  }
  const change = `${(100 * changeRatio).toFixed(1)} %`;
  return [
    `After ${Number(turns.toPrecision(3))} turns of running in, a turn still differed from the last by ${change}.`,
  ];
}
