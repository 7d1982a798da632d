/** The golden ratio's share of 2^32, odd: steps that never line up. [source: Knuth, The Art of Computer Programming, vol. 3, 1998, 6.4] */
const GOLDEN = 0x9e3779b1;
const TWO_TO_32 = 4294967296;
// 2^-31 [source: exact, half of the range of 32 bits is brought to 1]
const PER_HALF_RANGE = 4.656612873077393e-10;

/** A 32-bit integer hash: each bit of the input turns about half of the bits of the output. [source: Wellons, hash-prospector, 2018, lowbias32] */
function mix(x: number): number {
  let h = x | 0;
  h = Math.imul(h ^ (h >>> 16), 0x7feb352d);
  h = Math.imul(h ^ (h >>> 15), 0x846ca68b);
  return h ^ (h >>> 16);
}

/** Multiply a uniform value by this for noise of unit variance: the variance of -1..1 is 1/3. [source: exact, the second moment of a uniform law] */
export const UNIFORM_TO_UNIT_VARIANCE = Math.sqrt(3);

/** Length of a loop of noise. One object is shared by all the streams of a machine, so that all fold together. */
export class NoisePeriod {
  /** Positions after which noise repeats, counted from 0; a whole number, 0 for never. */
  samples = 0;
}

/**
 * White noise that can be asked for at any position: a hash of seed, stream and index, no hidden state. Values are
 * uniform between -1 and 1 with mean 0 and variance 1/3; times `UNIFORM_TO_UNIT_VARIANCE` they have unit variance.
 * One stream per noise source. Index: any whole number from -2^52 to 2^52; a period folds it, so that a loop repeats.
 *
 * @example
 * const hiss = new NoiseStream(7, 0);
 * hiss.uniformAt(48000) === new NoiseStream(7, 0).uniformAt(48000); // true
 */
export class NoiseStream {
  private readonly firstKey: number;
  private readonly secondKey: number;

  /** @throws RangeError unless `seed` is a whole number within ±2^53 and `streamIndex` a whole number from 0 to 2^31. */
  constructor(
    seed: number,
    streamIndex: number,
    private readonly period = new NoisePeriod(),
  ) {
    if (!Number.isSafeInteger(seed)) throw new RangeError(`seed must be a whole number within ±2^53, got ${seed}.`);
    if (!Number.isInteger(streamIndex) || streamIndex < 0 || streamIndex > 0x7fffffff) {
      throw new RangeError(`streamIndex must be a whole number from 0 to 2^31 - 1, got ${streamIndex}.`);
    }
    const seedHash = mix((seed | 0) ^ mix(Math.floor(seed / TWO_TO_32) + GOLDEN));
    this.firstKey = mix(seedHash + Math.imul(streamIndex + 1, GOLDEN));
    this.secondKey = mix((this.firstKey ^ 0x5bd1e995) + Math.imul(seedHash, 0x85ebca6b) + streamIndex);
  }

  /** Value at a position, -1 to 1. Allocates nothing, never throws. */
  uniformAt(position: number): number {
    const index = this.fold(position);
    const upper = Math.floor(index / TWO_TO_32);
    const bits = draw(index | 0, upper === 0 ? this.firstKey : this.firstKey ^ mix(upper), this.secondKey + upper);
    return ((bits >>> 0) + 0.5) * PER_HALF_RANGE - 1;
  }

  /** `frameCount` values from `firstIndex` on, the same as `uniformAt` gives one by one. Allocates nothing, never throws. */
  fill(firstIndex: number, output: Float64Array, frameCount: number): void {
    const secondKey = this.secondKey;
    const period = this.period.samples;
    let i = 0;
    while (i < frameCount) {
      const index = this.fold(firstIndex + i);
      const upper = Math.floor(index / TWO_TO_32);
      const toUpper = (upper + 1) * TWO_TO_32 - index;
      const left = period > 0 && period - index < toUpper ? period - index : toUpper;
      const end = left < frameCount - i ? i + left : frameCount;
      const firstKey = upper === 0 ? this.firstKey : this.firstKey ^ mix(upper);
      const key = (secondKey + upper) | 0;
      let lower = index | 0;
      for (; i < end; i++) {
        output[i] = ((draw(lower, firstKey, key) >>> 0) + 0.5) * PER_HALF_RANGE - 1;
        lower = (lower + 1) | 0;
      }
    }
  }

  /**
   * Samples from a position to the next multiple of `stepSamples`, counted from the beginning of the loop and cut off at its
   * end: what goes by steps of several samples then repeats with the noise. Allocates nothing, never throws.
   */
  samplesToStep(position: number, stepSamples: number): number {
    const index = this.fold(position);
    const left = stepSamples - (index - Math.floor(index / stepSamples) * stepSamples);
    const period = this.period.samples;
    return period > 0 && period - index < left ? period - index : left;
  }

  private fold(position: number): number {
    const period = this.period.samples;
    return period > 0 ? position - Math.floor(position / period) * period : position;
  }
}

// The second key enters between the rounds: with one key only, two streams would be the same numbers in another order.
// Whole numbers of 32 bits come and go without the heap; the value is made of them where it is stored.
function draw(lower: number, firstKey: number, secondKey: number): number {
  let h = lower ^ firstKey;
  h = Math.imul(h ^ (h >>> 16), 0x7feb352d);
  h = (h ^ (h >>> 15)) + secondKey;
  h = Math.imul(h ^ (h >>> 16), 0x846ca68b);
  h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
  return h ^ (h >>> 16);
}
