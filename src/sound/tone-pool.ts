import { requireSampleRateHz, requireWithin } from "./setting-range.js";

// A tone is let go 100 dB below where it began: ln 1e5. [source: exact, definition of the decibel]
const KEPT_NEPERS = 11.512925464970229;
// Highest tone as a share of the sample rate: what lies beyond is left out, not folded in. [common practice]
const GREATEST_SHARE = 0.45;
const LEAST_HZ = 1;

/**
 * Short tones struck one by one, each p = A e^(-d t) (cos w t - d/w sin w t) with w = 2 pi f, heard together: what drops,
 * bubbles, ticks and clacks are made of. It is the rate at which a flow e^(-d t) sin w t changes, as of anything that swells
 * and shrinks; its integral is 0, so that it has no rumble of its own. A tone is struck with its exposure, the integral of its squared pressure over all time, so that its loudness is
 * its energy whatever its pitch and decay. When all places are taken, the faintest tone gives up its own.
 *
 * @example
 * const pool = new TonePool(48000, 8);
 * pool.strikeHz = 1200;
 * pool.strikeDecayPerS = 300;
 * pool.strikeExposurePa2S = 1e-6;
 * pool.strike();
 * pool.add(pressurePa, 0, 128);
 */
export class TonePool {
  /** What `strike` strikes next: fields, for numbers handed over by themselves would be allocated. Pitch in Hz. */
  strikeHz = 0.5;
  /** Pressure falls by a factor e in 1 / this. */
  strikeDecayPerS = 0.5;
  /** Integral of the squared pressure, Pa2 s. */
  strikeExposurePa2S = 0.5;
  private readonly sampleRateHz: number;
  // A place each: cosine and sine part, their turn in a sample.
  private readonly real: Float64Array;
  private readonly imaginary: Float64Array;
  private readonly turnReal: Float64Array;
  private readonly turnImaginary: Float64Array;
  private readonly samplesLeft: Int32Array;
  private soundingCount = 0;
  // Of tones that jump to their beginning half the jump belongs to the sample before: taken off the next one to come.
  private firstHalf = 0.5;

  /** @param placeCount tones at once, 1 to 256 @throws RangeError outside, and for a rate outside 8 to 768 kHz. */
  constructor(
    sampleRateHz: number,
    private readonly placeCount: number,
  ) {
    this.sampleRateHz = requireSampleRateHz("TonePool", sampleRateHz);
    requireWithin("TonePool", "placeCount", placeCount, 1, 256, "");
    const places = () => new Float64Array(placeCount);
    this.real = places();
    this.imaginary = places();
    this.turnReal = places();
    this.turnImaginary = places();
    this.samplesLeft = new Int32Array(placeCount);
    this.reset();
  }

  /** State only: silence. */
  reset(): void {
    this.samplesLeft.fill(0);
    this.real.fill(0);
    this.imaginary.fill(0);
    this.soundingCount = 0;
    this.firstHalf = 0;
  }

  get isSounding(): boolean {
    return this.soundingCount > 0;
  }

  /** Strikes a tone that begins at the next sample. One above 0.45 of the sample rate is not struck. */
  strike(): void {
    const { sampleRateHz, strikeHz: hz, strikeDecayPerS: decay, strikeExposurePa2S: exposure, samplesLeft } = this;
    if (!(exposure > 0 && exposure < 1e12 && hz > LEAST_HZ && hz < GREATEST_SHARE * sampleRateHz && decay > 0)) return;
    const { real, imaginary } = this;
    let place = 0;
    let least = Infinity;
    for (let k = 0; k < this.placeCount; k++) {
      const energy = samplesLeft[k] === 0 ? -1 : real[k]! * real[k]! + imaginary[k]! * imaginary[k]!;
      if (energy < least) {
        least = energy;
        place = k;
      }
    }
    if (samplesLeft[place] === 0) this.soundingCount++;
    // Sine and cosine of half the turn by their series, good to 1e-8, and the fall as a fraction of squares: functions would
    // hand their numbers over on the heap.
    const a = (Math.PI * hz) / sampleRateHz;
    const q = a * a;
    const sine = a * (1 - (q / 6) * (1 - (q / 20) * (1 - (q / 42) * (1 - (q / 72) * (1 - q / 110)))));
    const cosine = 1 - (q / 2) * (1 - (q / 12) * (1 - (q / 30) * (1 - (q / 56) * (1 - (q / 90) * (1 - q / 132)))));
    const x = decay / sampleRateHz;
    const fall = x < 2 ? (12 - x * (6 - x)) / (12 + x * (6 + x)) : 0.1;
    // As B e^(-d t) sin(w t + phase), B^2 = A^2 (1 + d^2/w^2), its integral squared is B^2 w^2 / (4 d (d^2 + w^2)) = A^2 / 4 d.
    const w = 2 * Math.PI * hz;
    const start = Math.sqrt(exposure * 4 * decay);
    real[place] = (-start * decay) / w;
    imaginary[place] = start;
    this.firstHalf -= 0.5 * start;
    this.turnReal[place] = fall * (cosine * cosine - sine * sine);
    this.turnImaginary[place] = 2 * fall * sine * cosine;
    samplesLeft[place] = Math.min(1e9, Math.ceil((KEPT_NEPERS * sampleRateHz) / decay));
  }

  /** Adds the next `count` samples of all tones to `output` from `from` on. */
  add(output: Float64Array, from: number, count: number): void {
    if (this.soundingCount === 0 || count === 0) return;
    output[from] = output[from]! + this.firstHalf;
    this.firstHalf = 0;
    const { samplesLeft } = this;
    let first = -1;
    for (let k = 0; k < this.placeCount; k++) {
      if (samplesLeft[k] === 0) continue;
      if (first < 0) {
        first = k;
        continue;
      }
      // Each tone waits for its own last sample only: two side by side take hardly longer than one.
      const left = samplesLeft[first]!;
      const other = samplesLeft[k]!;
      const shorter = left < other ? left : other;
      const run = shorter < count ? shorter : count;
      this.addPair(output, from, run, first, k);
      if (run < count) {
        this.addOne(output, from + run, count - run, first);
        this.addOne(output, from + run, count - run, k);
      }
      first = -1;
    }
    if (first >= 0) this.addOne(output, from, count, first);
  }

  private addPair(output: Float64Array, from: number, run: number, j: number, k: number): void {
    const { real, imaginary, turnReal, turnImaginary } = this;
    const c0 = turnReal[j]!;
    const s0 = turnImaginary[j]!;
    const c1 = turnReal[k]!;
    const s1 = turnImaginary[k]!;
    let x0 = real[j]!;
    let y0 = imaginary[j]!;
    let x1 = real[k]!;
    let y1 = imaginary[k]!;
    for (let i = from; i < from + run; i++) {
      output[i] = output[i]! + y0 + y1;
      const next0 = c0 * x0 - s0 * y0;
      y0 = c0 * y0 + s0 * x0;
      x0 = next0;
      const next1 = c1 * x1 - s1 * y1;
      y1 = c1 * y1 + s1 * x1;
      x1 = next1;
    }
    real[j] = x0;
    imaginary[j] = y0;
    real[k] = x1;
    imaginary[k] = y1;
    this.end(j, run);
    this.end(k, run);
  }

  private addOne(output: Float64Array, from: number, count: number, k: number): void {
    const { real, imaginary, samplesLeft } = this;
    const left = samplesLeft[k]!;
    const run = left < count ? left : count;
    if (run === 0) return;
    const c = this.turnReal[k]!;
    const s = this.turnImaginary[k]!;
    let x = real[k]!;
    let y = imaginary[k]!;
    for (let i = from; i < from + run; i++) {
      output[i] = output[i]! + y;
      const next = c * x - s * y;
      y = c * y + s * x;
      x = next;
    }
    real[k] = x;
    imaginary[k] = y;
    this.end(k, run);
  }

  private end(k: number, run: number): void {
    const left = this.samplesLeft[k]! - run;
    this.samplesLeft[k] = left;
    if (left === 0) this.soundingCount--;
  }
}
