import { sin } from "../quantities/portable-maths.js";

/** Ticks that one output sample is made of. [tuned: 8 taps keep images of flows below 0.05 of the tick rate under -77 dB, 2026-11-25] */
export const INTERPOLATOR_TAP_COUNT = 8;

/** Ticks by which the output lags. [source: exact, half of the taps] */
export const INTERPOLATOR_DELAY_TICKS = 4;
// The band over which the least-squares fit is made, as a share of the tick rate. [tuned: at 0.35 the droop stays below
// 0.2 dB in the band and images of its edge 34 to 36 dB down; at 0.4 images at 0.1 rise by 7 dB, 2026-11-25]
const FITTED_BAND_RATIO = 0.35;
// Constant, ramp, parabola and cubic pass exactly, so what is slow leaves no images for the monopole to raise.
const EXACT_POWER_COUNT = 4;

/**
 * From fluid ticks to the audio rate: eight ticks a sample, one set of weights per phase. Between the ticks a cubic passes
 * exactly; over 0 to 0.35 of the tick rate the weights are the least-squares best. With one sample per tick it is a
 * plain delay.
 *
 * A tick pushed at audio sample n appears in the output at n + `delaySamples`.
 *
 * @example
 * const interpolator = new TickInterpolator(4);
 * interpolator.reset(flow[0]);
 * interpolator.processTicks(rows, 2, rowLength, 32, audio, 0); // column 2 of 32 rows -> 128 samples
 */
export class TickInterpolator {
  /** Exact: four ticks, in audio samples. */
  readonly delaySamples: number;
  private readonly weights: Float64Array;
  private readonly history = new Float64Array(INTERPOLATOR_TAP_COUNT);

  /**
   * @param samplesPerTick audio samples per fluid tick, a whole number from 1 to 64
   * @throws RangeError otherwise
   */
  constructor(readonly samplesPerTick: number) {
    if (!Number.isInteger(samplesPerTick) || samplesPerTick < 1 || samplesPerTick > 64) {
      throw new RangeError(
        `TickInterpolator: samplesPerTick must be a whole number from 1 to 64, got ${samplesPerTick}. Use 1, 2 or 4.`,
      );
    }
    this.delaySamples = INTERPOLATOR_DELAY_TICKS * samplesPerTick;
    this.weights = new Float64Array(samplesPerTick * INTERPOLATOR_TAP_COUNT);
    for (let phase = 0; phase < samplesPerTick; phase++) {
      fitPhase(phase / samplesPerTick, this.weights, phase * INTERPOLATOR_TAP_COUNT);
    }
  }

  /** State only: as if `value` had stood for ever. */
  reset(value = 0): void {
    this.history.fill(value);
  }

  /** Takes the next tick; `process` then writes the samples that follow it. */
  pushTick(value: number): void {
    this.age();
    this.history[0] = value;
  }

  private age(): void {
    const history = this.history;
    for (let i = INTERPOLATOR_TAP_COUNT - 1; i > 0; i--) history[i] = history[i - 1]!;
  }

  /** Writes `samplesPerTick` samples at `output[outputOffset]` and after. */
  process(output: Float64Array, outputOffset: number): void {
    const history = this.history;
    const weights = this.weights;
    const length = weights.length;
    const h0 = history[0]!;
    const h1 = history[1]!;
    const h2 = history[2]!;
    const h3 = history[3]!;
    const h4 = history[4]!;
    const h5 = history[5]!;
    const h6 = history[6]!;
    const h7 = history[7]!;
    let out = outputOffset;
    for (let w = 0; w < length; w += INTERPOLATOR_TAP_COUNT) {
      output[out++] =
        weights[w]! * h0 +
        weights[w + 1]! * h1 +
        (weights[w + 2]! * h2 + weights[w + 3]! * h3) +
        (weights[w + 4]! * h4 + weights[w + 5]! * h5 + (weights[w + 6]! * h6 + weights[w + 7]! * h7));
    }
  }

  /**
   * One column of a record of rows: takes `ticks[firstIndex + t * stride]` for t below `tickCount` and writes
   * `tickCount * samplesPerTick` samples. Same numbers as `pushTick` and `process` in turn.
   */
  processTicks(
    ticks: Float64Array,
    firstIndex: number,
    stride: number,
    tickCount: number,
    output: Float64Array,
    outputOffset: number,
  ): void {
    let out = outputOffset;
    let index = firstIndex;
    for (let t = 0; t < tickCount; t++) {
      this.age();
      this.history[0] = ticks[index]!;
      this.process(output, out);
      out += this.samplesPerTick;
      index += stride;
    }
  }
}

/**
 * Weights of one phase, `fraction` of a tick after the fourth tick back. Least squares: the mean over the band of
 * |sum of h_i exp(j w d_i) - 1|^2, d_i = distance of tick i in ticks, subject to sum of h_i d_i^n = (1 for n = 0, else 0).
 */
function fitPhase(fraction: number, weights: Float64Array, offset: number): void {
  if (fraction === 0) {
    weights[offset + INTERPOLATOR_DELAY_TICKS] = 1;
    return;
  }
  const taps = INTERPOLATOR_TAP_COUNT;
  const size = taps + EXACT_POWER_COUNT;
  const width = size + 1;
  const rows = new Float64Array(size * width);
  for (let i = 0; i < taps; i++) {
    const distance = i - INTERPOLATOR_DELAY_TICKS + fraction;
    for (let j = 0; j < taps; j++) rows[i * width + j] = bandMean(i - j);
    rows[i * width + size] = bandMean(distance);
    let power = 1;
    for (let n = 0; n < EXACT_POWER_COUNT; n++) {
      rows[i * width + taps + n] = power;
      rows[(taps + n) * width + i] = power;
      power *= distance;
    }
  }
  rows[taps * width + size] = 1;
  solveInPlace(rows, size);
  let sum = 0;
  for (let i = 0; i < taps; i++) sum += rows[i * width + size]!;
  for (let i = 0; i < taps; i++) weights[offset + i] = rows[i * width + size]! / sum;
}

/** Mean over the fitted band of cos(2 pi nu distance). */
function bandMean(distance: number): number {
  const x = 2 * Math.PI * FITTED_BAND_RATIO * distance;
  return x === 0 ? 1 : sin(x) / x;
}

/** Gauss with row pivoting on `size` rows of `size + 1`; the last column becomes the solution. */
function solveInPlace(rows: Float64Array, size: number): void {
  const width = size + 1;
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let r = column + 1; r < size; r++) {
      if (Math.abs(rows[r * width + column]!) > Math.abs(rows[pivot * width + column]!)) pivot = r;
    }
    for (let c = 0; c < width; c++) {
      const kept = rows[column * width + c]!;
      rows[column * width + c] = rows[pivot * width + c]!;
      rows[pivot * width + c] = kept;
    }
    const scale = 1 / rows[column * width + column]!;
    for (let c = column; c < width; c++) rows[column * width + c]! *= scale;
    for (let r = 0; r < size; r++) {
      const factor = r === column ? 0 : rows[r * width + column]!;
      if (factor === 0) continue;
      for (let c = column; c < width; c++) rows[r * width + c]! -= factor * rows[column * width + c]!;
    }
  }
}
