/** A maximum of a row of levels. */
export interface ProminentMaximum {
  /** Place of the greatest value; of a flat top its first. */
  readonly index: number;
  /** Place of the vertex of the parabola through it and its neighbours. */
  readonly place: number;
  /** Level at that vertex, dB. */
  readonly levelDb: number;
  /** Height above the higher of the two lowest points that part it from higher ground, dB. */
  readonly prominenceDb: number;
}

/**
 * Maxima of `levelsDb` that stand out by at least `leastProminenceDb` (above 0), in order of place. In a `circle` the
 * last value is followed by the first, and places may be below 0; on a `line` the two end values are no maxima, and
 * higher ground is looked for to the ends.
 */
export function prominentMaxima(
  levelsDb: ArrayLike<number>,
  leastProminenceDb: number,
  shape: "line" | "circle",
): ProminentMaximum[] {
  const n = levelsDb.length;
  const at = (i: number): number => levelsDb[((i % n) + n) % n]!;
  const maxima: ProminentMaximum[] = [];
  const inset = shape === "line" ? 1 : 0;
  for (let i = inset; i < n - inset; i++) {
    const [before, top, after] = [at(i - 1), at(i), at(i + 1)];
    if (!(top > before && top >= after)) continue;
    const left = lowestOnTheWay(at, i, -1, shape === "line" ? i : n - 1);
    const right = lowestOnTheWay(at, i, 1, shape === "line" ? n - 1 - i : n - 1);
    const prominenceDb = top - Math.max(left, right);
    if (prominenceDb < leastProminenceDb) continue;
    const bend = before - 2 * top + after;
    const shift = bend < 0 && Number.isFinite(bend) ? (before - after) / (2 * bend) : 0;
    maxima.push({ index: i, place: i + shift, levelDb: top - ((before - after) * shift) / 4, prominenceDb });
  }
  return maxima;
}

function lowestOnTheWay(at: (i: number) => number, from: number, step: number, most: number): number {
  const top = at(from);
  let lowest = top;
  for (let k = 1; k <= most; k++) {
    const value = at(from + k * step);
    if (value > top) break;
    if (value < lowest) lowest = value;
  }
  return lowest;
}
