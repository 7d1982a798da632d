import FFT from "fft.js";
import { cos } from "../quantities/portable-maths.js";
import type { SampleArray } from "./sample-array.js";

/** Mean square by frequency, one-sided; all bins together make the mean square of the signal. */
export interface PowerSpectrum {
  /** Spacing of the bins; bin k stands at k x binHz. */
  readonly binHz: number;
  readonly powers: Float64Array;
  /** `lines`: each bin is a pure tone at its own frequency. `density`: each bin fills half a spacing to either side. */
  readonly kind: "lines" | "density";
}

/** Symmetric Hann window: first and last value 0. */
export function hannSymmetric(length: number): Float64Array {
  return Float64Array.from({ length }, (_, i) => 0.5 - 0.5 * cos((2 * Math.PI * i) / (length - 1)));
}

/** Periodic Hann window: shifted copies at half its length add up to 1. */
export function hannPeriodic(length: number): Float64Array {
  return Float64Array.from({ length }, (_, i) => 0.5 - 0.5 * cos((2 * Math.PI * i) / length));
}

/** Squared magnitudes of the transform of real windows of one power-of-two size. */
export class WindowedPower {
  private readonly fft: FFT;
  private readonly input: Float64Array;
  private readonly output: Float64Array;

  /** `window` has the size of the transform, a power of two of at least 4; otherwise RangeError. */
  constructor(private readonly window: Float64Array) {
    const size = window.length;
    if (size < 4 || (size & (size - 1)) !== 0) {
      throw new RangeError(
        `WindowedPower: window must be a power of two of at least 4 samples, got ${size}. Use periodicSpectrum for whole turns of any length.`,
      );
    }
    this.fft = new FFT(size);
    this.input = new Float64Array(size);
    this.output = new Float64Array(2 * size);
  }

  /** Adds the squared magnitudes of bins 0 to size / 2 of the window that starts at `from` to `sums`. */
  addTo(sums: Float64Array, samples: SampleArray, from: number): void {
    const [size, window, input, output] = [this.window.length, this.window, this.input, this.output];
    for (let i = 0; i < size; i++) input[i] = window[i]! * samples[from + i]!;
    this.fft.realTransform(output, input);
    for (let k = 0; k <= size / 2; k++) {
      sums[k]! += output[2 * k]! * output[2 * k]! + output[2 * k + 1]! * output[2 * k + 1]!;
    }
  }
}

/**
 * Spectrum of a stationary signal: mean over Hann windows of `windowSamples` (a power of two), each half over the last.
 * Samples after the last whole window are left out. Throws RangeError when there is not one window of samples.
 * [source: Welch, The use of fast Fourier transform for the estimation of power spectra, IEEE Trans. Audio 15, 1967]
 */
export function averagedSpectrum(samples: SampleArray, sampleRateHz: number, windowSamples: number): PowerSpectrum {
  if (!(samples.length >= windowSamples)) {
    throw new RangeError(
      `averagedSpectrum: samples must be at least one window of ${windowSamples} long, got ${samples.length}. Use a shorter window.`,
    );
  }
  const window = hannPeriodic(windowSamples);
  const transform = new WindowedPower(window);
  const powers = new Float64Array(windowSamples / 2 + 1);
  let count = 0;
  for (let from = 0; from + windowSamples <= samples.length; from += windowSamples / 2) {
    transform.addTo(powers, samples, from);
    count += 1;
  }
  const energy = window.reduce((sum, w) => sum + w * w, 0);
  for (let k = 0; k < powers.length; k++) {
    const sides = k === 0 || k === powers.length - 1 ? 1 : 2;
    powers[k]! *= sides / (count * windowSamples * energy);
  }
  return { binHz: sampleRateHz / windowSamples, powers, kind: "density" };
}
