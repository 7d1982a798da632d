import type { SectionChain } from "./band-filter.js";
import type { SampleArray } from "./sample-array.js";

/**
 * Runs a chain of sections forwards and then backwards over a whole array: no phase shift, the gain of the chain
 * squared. Both ends are first lengthened by 3 x (order + 1) samples turned about the end sample (odd extension), and
 * each pass starts in the steady state of its first sample, so that neither an offset nor a slope rings at the ends.
 * Returns a new array; `samples` is left alone. Throws RangeError when `samples` is no longer than that lengthening.
 * [source: Gustafsson, Determining the initial states in forward-backward filtering, IEEE Trans. Signal Processing
 * 44, 1996, from memory; same padding and start as SciPy's sosfiltfilt defaults]
 */
export function filterZeroPhase(filter: SectionChain, samples: SampleArray): Float64Array {
  const pad = 3 * (filter.order + 1);
  const n = samples.length;
  if (n <= pad) {
    throw new RangeError(
      `filterZeroPhase: samples must be more than ${pad} long for a filter of order ${filter.order}, got ${n}. Give a longer recording.`,
    );
  }
  const line = new Float64Array(n + 2 * pad);
  line.set(samples, pad);
  const [first, last] = [samples[0]!, samples[n - 1]!];
  for (let i = 1; i <= pad; i++) {
    line[pad - i] = 2 * first - samples[i]!;
    line[pad + n - 1 + i] = 2 * last - samples[n - 1 - i]!;
  }
  runFromSteadyState(filter, line);
  line.reverse();
  runFromSteadyState(filter, line);
  line.reverse();
  return line.slice(pad, pad + n);
}

/** Filters `line` in place, as if its first value had stood at the input for ever. */
function runFromSteadyState(filter: SectionChain, line: Float64Array): void {
  const c = filter.coefficients;
  let level = line[0]!;
  for (let at = 0; at < c.length; at += 5) {
    const [b0, b1, b2, a1, a2] = [c[at]!, c[at + 1]!, c[at + 2]!, c[at + 3]!, c[at + 4]!];
    const settled = (level * (b0 + b1 + b2)) / (1 + a1 + a2);
    let state2 = b2 * level - a2 * settled;
    let state1 = b1 * level - a1 * settled + state2;
    for (let i = 0; i < line.length; i++) {
      const x = line[i]!;
      const y = b0 * x + state1;
      state1 = b1 * x - a1 * y + state2;
      state2 = b2 * x - a2 * y;
      line[i] = y;
    }
    level = settled;
  }
}
