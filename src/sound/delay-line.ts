import { requireWithin } from "./setting-range.js";

/** Shortest delay: the third-order interpolator needs a written sample on either side. [source: Laakso et al., IEEE Signal Processing Magazine 13(1), 1996: best between the middle two of four taps] */
export const LEAST_DELAY_SAMPLES = 2;

/** How fast the delay slides to a new setting, samples per sample: bends pitch by 34 cents while it slides. [common practice] */
export const DEFAULT_SLIDE_RATIO = 0.02;

const WRITE_AHEAD_SAMPLES = 128;

/**
 * Fractional delay: third-order Lagrange interpolation between samples. Constants, ramps, parabolas and cubics pass exactly.
 * A new delay is reached by sliding, never by a jump.
 * [source: Laakso, Välimäki, Karjalainen & Laine, IEEE Signal Processing Magazine 13(1), 1996, 30-60]
 */
export class DelayLine {
  private readonly buffer: Float64Array;
  private readonly mask: number;
  private readonly greatestDelaySamples: number;
  private readonly slideRatio: number;
  private targetSamples = LEAST_DELAY_SAMPLES;
  private currentSamples = LEAST_DELAY_SAMPLES;
  private writeIndex = 0;
  private readIndex = 0;
  private wholeSamples = 0;
  private h0 = 0;
  private h1 = 0;
  private h2 = 0;
  private h3 = 0;

  /**
   * @param greatestDelaySamples room to keep, 2 to 16,777,216 samples
   * @param slideRatio fastest change of the delay in samples per sample, above 0 and below 1
   * @throws RangeError outside these
   */
  constructor(greatestDelaySamples: number, slideRatio = DEFAULT_SLIDE_RATIO) {
    const most = 16_777_216;
    const least = LEAST_DELAY_SAMPLES;
    requireWithin("DelayLine", "greatestDelaySamples", greatestDelaySamples, least, most, " samples");
    requireWithin("DelayLine", "slideRatio", slideRatio, 1e-9, 0.99, "");
    this.greatestDelaySamples = greatestDelaySamples;
    this.slideRatio = slideRatio;
    let size = 8;
    while (size < greatestDelaySamples + 4 + WRITE_AHEAD_SAMPLES) size *= 2;
    this.buffer = new Float64Array(size);
    this.mask = size - 1;
    this.reset();
  }

  /** Settings only: the line slides there. @throws RangeError outside 2 to the room kept. */
  setDelaySamples(delaySamples: number): void {
    const greatest = this.greatestDelaySamples;
    this.targetSamples = requireWithin(
      "DelayLine",
      "delaySamples",
      delaySamples,
      LEAST_DELAY_SAMPLES,
      greatest,
      " samples",
    );
  }

  /** State only: as if `value` had stood for ever; the delay stands at its setting. */
  reset(value = 0): void {
    this.buffer.fill(value);
    this.writeIndex = 0;
    this.readIndex = 0;
    this.currentSamples = this.targetSamples;
    this.weigh();
  }

  /**
   * How many outputs can be read before the next inputs are written, at least 1: what a loop of delay lines needs, since
   * there the inputs come from the outputs.
   */
  samplesAhead(): number {
    return Math.floor(Math.min(this.currentSamples, this.targetSamples)) - 1;
  }

  /** Puts the next `count` outputs at `output[offset]` and after: at most `samplesAhead()` ahead of what was written. */
  read(output: Float64Array, offset: number, count: number): void {
    let done = 0;
    while (done < count && this.currentSamples !== this.targetSamples) {
      this.slide();
      this.interpolate(output, offset + done, 1);
      done++;
    }
    this.interpolate(output, offset + done, count - done);
  }

  /** Takes `count` inputs from `input[offset]` on: at most 128 more than were read. */
  write(input: Float64Array, offset: number, count: number): void {
    const buffer = this.buffer;
    const mask = this.mask;
    const start = this.writeIndex;
    for (let i = 0; i < count; i++) buffer[(start + i) & mask] = input[offset + i]!;
    this.writeIndex = (start + count) & mask;
  }

  /** `output` may be `input`. */
  process(input: Float64Array, output: Float64Array, frameCount: number): void {
    for (let offset = 0; offset < frameCount; offset += WRITE_AHEAD_SAMPLES) {
      const count = Math.min(WRITE_AHEAD_SAMPLES, frameCount - offset);
      this.write(input, offset, count);
      this.read(output, offset, count);
    }
  }

  private interpolate(output: Float64Array, offset: number, count: number): void {
    const { buffer, mask, h0, h1, h2, h3 } = this;
    const newest = this.readIndex - this.wholeSamples;
    for (let i = 0; i < count; i++) {
      const tap = newest + i;
      output[offset + i] =
        h0 * buffer[tap & mask]! +
        h1 * buffer[(tap - 1) & mask]! +
        (h2 * buffer[(tap - 2) & mask]! + h3 * buffer[(tap - 3) & mask]!);
    }
    this.readIndex = (this.readIndex + count) & mask;
  }

  private slide(): void {
    const gap = this.targetSamples - this.currentSamples;
    const step = this.slideRatio;
    this.currentSamples =
      gap > step ? this.currentSamples + step : gap < -step ? this.currentSamples - step : this.targetSamples;
    this.weigh();
  }

  // Four taps, the wanted point between the middle two: x = 1 to 2 samples behind the newest of them.
  private weigh(): void {
    const whole = Math.floor(this.currentSamples) - 1;
    const x = this.currentSamples - whole;
    const toThird = x - 2;
    const toFourth = x - 3;
    const outer = toThird * toFourth;
    const inner = x * (x - 1);
    this.wholeSamples = whole;
    this.h0 = (-(x - 1) * outer) / 6;
    this.h1 = (x * outer) / 2;
    this.h2 = (-inner * toFourth) / 2;
    this.h3 = (inner * toThird) / 6;
  }
}
