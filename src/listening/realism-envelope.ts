import { greatestIndex, PHASE_BIN_COUNT } from "./beat-phase.js";

/**
 * Levels between which rise and fall are timed, and the level of the width, parts of the height. [common practice:
 * definition of the realism measures]
 */
export const RISE_LEVELS = { low: 0.1, half: 0.5, high: 0.9 } as const;

/** Times of the folded envelope of a beat. */
export interface BeatShapeTimes {
  readonly attackS: number;
  readonly decayS: number;
  readonly halfWidthRatio: number;
}

/**
 * Rise, fall and width of the amplitude envelope (root of the folded power, least value to 0, greatest to 1), each
 * crossing being the first met on the way down from the peak, interpolated between bins.
 */
export function beatShapeTimes(folded: Float64Array, periodS: number): BeatShapeTimes {
  const root = folded.map(Math.sqrt);
  const [least, greatest] = [Math.min(...root), Math.max(...root)];
  const middle = PHASE_BIN_COUNT / 2;
  const shift = greatestIndex(root) - middle;
  const envelope = root.map((_, i) => {
    const from = (i + shift + PHASE_BIN_COUNT) % PHASE_BIN_COUNT;
    return (root[from]! - least) / (greatest - least);
  });
  const { low, half, high } = RISE_LEVELS;
  const binS = periodS / PHASE_BIN_COUNT;
  return {
    attackS: (crossing(envelope, high, -1) - crossing(envelope, low, -1)) * binS,
    decayS: (crossing(envelope, low, 1) - crossing(envelope, high, 1)) * binS,
    halfWidthRatio: (crossing(envelope, half, 1) - crossing(envelope, half, -1)) / PHASE_BIN_COUNT,
  };
}

function crossing(envelope: Float64Array, level: number, step: 1 | -1): number {
  const last = envelope.length - 1;
  let i = envelope.length / 2;
  while (i > 0 && i < last && envelope[i]! >= level) i += step;
  const [before, after] = [envelope[i - step]!, envelope[i]!];
  return i - step + (step * (before - level)) / (before - after + 1e-12);
}
