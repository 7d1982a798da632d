import FFT from "fft.js";
import { cos, sin } from "../quantities/portable-maths.js";
import type { PowerSpectrum } from "./power-spectrum.js";
import type { SampleArray } from "./sample-array.js";

/** Most samples that a periodic spectrum takes: the chirp's squares stay exact whole numbers. [common practice] */
export const LONGEST_PERIOD_SAMPLES = 4_194_304;

/**
 * Exact line spectrum of a signal that repeats after `samples.length` samples (one turn, or several whole ones): no
 * window, no leakage, any length. Powers of all lines add up to the mean square. Throws RangeError for fewer than 2
 * samples or over 4 million. [source: Bluestein, A linear filtering approach to the computation of discrete Fourier
 * transform, IEEE Trans. Audio 18, 1970]
 */
export function periodicSpectrum(samples: SampleArray, sampleRateHz: number): PowerSpectrum {
  const n = samples.length;
  if (n < 2 || n > LONGEST_PERIOD_SAMPLES) {
    throw new RangeError(
      `periodicSpectrum: samples must be 2 to ${LONGEST_PERIOD_SAMPLES} long, got ${n}. Take fewer whole turns.`,
    );
  }
  let size = 2;
  while (size < 2 * n - 1) size *= 2;
  const fft = new FFT(size);
  const chirp = chirpOf(n);
  const signal = new Float64Array(2 * size);
  const kernel = new Float64Array(2 * size);
  for (let i = 0; i < n; i++) {
    const [re, im] = [chirp[2 * i]!, chirp[2 * i + 1]!];
    signal[2 * i] = samples[i]! * re;
    signal[2 * i + 1] = -samples[i]! * im;
    for (const at of i === 0 ? [0] : [i, size - i]) {
      kernel[2 * at] = re;
      kernel[2 * at + 1] = im;
    }
  }
  const [first, second] = [new Float64Array(2 * size), new Float64Array(2 * size)];
  fft.transform(first, signal);
  fft.transform(second, kernel);
  for (let k = 0; k < 2 * size; k += 2) {
    const [a, b, c, d] = [first[k]!, first[k + 1]!, second[k]!, second[k + 1]!];
    signal[k] = a * c - b * d;
    signal[k + 1] = a * d + b * c;
  }
  fft.inverseTransform(first, signal);
  const powers = new Float64Array(Math.floor(n / 2) + 1);
  for (let k = 0; k < powers.length; k++) {
    // The last chirp factor has magnitude 1 and so drops out of the power.
    const sides = k === 0 || 2 * k === n ? 1 : 2;
    powers[k] = (sides * (first[2 * k]! * first[2 * k]! + first[2 * k + 1]! * first[2 * k + 1]!)) / (n * n);
  }
  return { binHz: sampleRateHz / n, powers, kind: "lines" };
}

/** exp(i pi k^2 / n), its angle reduced exactly before the sine. */
function chirpOf(n: number): Float64Array {
  const chirp = new Float64Array(2 * n);
  for (let k = 0; k < n; k++) {
    const angle = (Math.PI * ((k * k) % (2 * n))) / n;
    chirp[2 * k] = cos(angle);
    chirp[2 * k + 1] = sin(angle);
  }
  return chirp;
}
