/**
 * Moves places apart so that none is nearer to the next than `gap`, with the least sum of squared moves.
 *
 * @param wanted where each would like to be, rising
 * @param lowest bound of the first, if all fit; the last stays at or below `highest`
 * @returns places in the same order
 * @example
 * spreadLabels([0, 1, 100], 10, -50, 150); // [-4.5, 5.5, 100]
 */
export function spreadLabels(wanted: readonly number[], gap: number, lowest: number, highest: number): number[] {
  // Less its share of gaps each place need only not fall: a regression that rises, by pooling neighbours.
  const pools: { sum: number; count: number }[] = [];
  wanted.forEach((place, i) => {
    let pool = { sum: place - i * gap, count: 1 };
    for (let before = pools.at(-1); before !== undefined && mean(before) > mean(pool); before = pools.at(-1)) {
      pool = { sum: pool.sum + before.sum, count: pool.count + before.count };
      pools.pop();
    }
    pools.push(pool);
  });
  const top = Math.max(lowest, highest - (wanted.length - 1) * gap);
  const levels = pools.flatMap((pool) => Array.from({ length: pool.count }, () => mean(pool)));
  return levels.map((level, i) => Math.min(top, Math.max(lowest, level)) + i * gap);
}

function mean({ sum, count }: { readonly sum: number; readonly count: number }): number {
  return sum / count;
}
