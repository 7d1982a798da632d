/** A stretch of the turn between two minima of the folded envelope. */
export interface BeatWindow {
  /** Bin of the minimum before the beat. */
  readonly fromBin: number;
  /** Bins from there to the minimum after it. */
  readonly lengthBins: number;
}

/**
 * How far the folded envelope as a whole stands behind the expected beats, in bins: the shift between `leastLagBins`
 * and one mean spacing more at which the amplitude (root, so that a weak beat has its say) summed over the beats is
 * greatest.
 */
export function envelopeLagBins(envelope: Float64Array, expectedBins: readonly number[], leastLagBins: number): number {
  const n = envelope.length;
  const spacing = Math.ceil(n / expectedBins.length);
  let [best, bestSum] = [leastLagBins, -Infinity];
  for (let step = 0; step < spacing; step++) {
    const lag = leastLagBins + step;
    let sum = 0;
    for (const place of expectedBins) sum += Math.sqrt(envelope[around(Math.floor(place + lag), n)]!);
    if (sum > bestSum) [best, bestSum] = [lag, sum];
  }
  return best;
}

/**
 * The window of each expected beat, in their order: from the lowest bin since the beat before to the lowest before
 * the next.
 */
export function beatWindows(envelope: Float64Array, expectedBins: readonly number[], lagBins: number): BeatWindow[] {
  const n = envelope.length;
  const order = expectedBins.map((_, i) => i).sort((a, b) => expectedBins[a]! - expectedBins[b]!);
  const places = order.map((i) => Math.floor(expectedBins[i]! + lagBins));
  const minima = places.map((place, k) => {
    const next = k + 1 < places.length ? places[k + 1]! : places[0]! + n;
    let lowest = place + 1;
    for (let bin = place + 1; bin < next; bin++) {
      if (envelope[around(bin, n)]! < envelope[around(lowest, n)]!) lowest = bin;
    }
    return lowest;
  });
  const windows = new Array<BeatWindow>(order.length);
  order.forEach((beat, k) => {
    const before = k > 0 ? minima[k - 1]! : minima[minima.length - 1]! - n;
    windows[beat] = { fromBin: around(before, n), lengthBins: minima[k]! - before };
  });
  return windows;
}

function around(bin: number, n: number): number {
  return ((bin % n) + n) % n;
}
