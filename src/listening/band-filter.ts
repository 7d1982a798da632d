import { tan } from "../quantities/portable-maths.js";
import { butterworthPoles, type ComplexNumber } from "./butterworth-poles.js";

/** Numbers kept per section in {@link SectionChain.coefficients}: b0, b1, b2, a1, a2 (a0 = 1). */
const SECTION_LENGTH = 5;

/** A filter as second-order sections in series. */
export interface SectionChain {
  /** b0 b1 b2 a1 a2 of each section in turn; a0 is 1. */
  readonly coefficients: Float64Array;
  /** Poles of the whole chain: N for low- and high-pass, 2 N for a band-pass of order N. */
  readonly order: number;
}

/**
 * Butterworth low-pass of `order` 1 to 12, -3.01 dB at `cornerHz`, unity gain at 0 Hz; bilinear transform with the
 * corner prewarped. Throws RangeError unless 0 < cornerHz < sampleRateHz / 2. [source: Butterworth poles and bilinear
 * transform, as in Oppenheim and Schafer, Discrete-Time Signal Processing, ch. 7, from memory]
 */
export function butterworthLowPass(order: number, cornerHz: number, sampleRateHz: number): SectionChain {
  const corner = prewarped("butterworthLowPass", "cornerHz", cornerHz, sampleRateHz);
  return chain(order, rowsOfPoles(order, corner), lowPassSection);
}

/**
 * Butterworth high-pass of `order` 1 to 12, -3.01 dB at `cornerHz`, unity gain at the Nyquist frequency.
 * Throws RangeError unless 0 < cornerHz < sampleRateHz / 2.
 */
export function butterworthHighPass(order: number, cornerHz: number, sampleRateHz: number): SectionChain {
  const corner = prewarped("butterworthHighPass", "cornerHz", cornerHz, sampleRateHz);
  return chain(order, rowsOfPoles(order, corner), highPassSection);
}

/**
 * Butterworth band-pass, -3.01 dB at both edges, `order` 1 to 12 poles to each side (2 x `order` in all).
 * Throws RangeError unless 0 < lowHz < highHz < sampleRateHz / 2.
 */
export function butterworthBandPass(order: number, lowHz: number, highHz: number, sampleRateHz: number): SectionChain {
  const low = prewarped("butterworthBandPass", "lowHz", lowHz, sampleRateHz);
  const high = prewarped("butterworthBandPass", "highHz", highHz, sampleRateHz);
  if (!(low < high)) {
    throw new RangeError(
      `butterworthBandPass: lowHz must be below highHz, got ${lowHz} and ${highHz}. Swap the two edges.`,
    );
  }
  const width = high - low;
  const centreSquared = low * high;
  const rows: number[][] = [];
  for (const pole of butterworthPoles(order)) {
    const [re, im] = [pole.re * width, pole.im * width];
    if (pole.im === 0) {
      rows.push([-re, centreSquared]);
      continue;
    }
    // Each prototype pole p gives the two roots of s^2 - p B s + w0^2; each root pairs with its own conjugate.
    const root = complexSquareRoot({ re: (re * re - im * im) / 4 - centreSquared, im: (re * im) / 2 });
    for (const sign of [1, -1]) {
      const s = { re: re / 2 + sign * root.re, im: im / 2 + sign * root.im };
      rows.push([-2 * s.re, s.re * s.re + s.im * s.im]);
    }
  }
  const centre = Math.sqrt(centreSquared);
  return chain(2 * order, rows, (a1, a0) => bandPassSection(a1, a0, centre));
}

/**
 * The octave band about `centreHz`: order 4, edges centreHz / sqrt 2 and centreHz x sqrt 2, the upper held at 0.49 of
 * the sampling rate. Meant for whole-array measures; its skirts are those of a Butterworth filter, not an IEC 61260
 * class.
 */
export function octaveBandPass(centreHz: number, sampleRateHz: number): SectionChain {
  const highHz = Math.min(centreHz * Math.SQRT2, HIGHEST_EDGE_RATIO * sampleRateHz);
  return butterworthBandPass(OCTAVE_FILTER_ORDER, centreHz / Math.SQRT2, highHz, sampleRateHz);
}

/**
 * Order of the octave and envelope band-passes. [common practice] (order 4 to each side, as the realism measures
 * define it)
 */
export const OCTAVE_FILTER_ORDER = 4;

/**
 * Highest upper edge of a band-pass as a part of the sampling rate, so that the bilinear transform stays defined.
 * [common practice]
 */
export const HIGHEST_EDGE_RATIO = 0.49;

/** Power gain |H|^2 of one pass through the chain at `frequencyHz`; a zero-phase filter passes its square. */
export function powerGain(filter: SectionChain, sampleRateHz: number, frequencyHz: number): number {
  // With t = tan(w/2), |b0 + b1/z + b2/z^2|^2 is rational in t^2: no sine is needed.
  const t = tan((Math.PI * frequencyHz) / sampleRateHz);
  const cosine = (1 - t * t) / (1 + t * t);
  const c = filter.coefficients;
  let gain = 1;
  for (let i = 0; i < c.length; i += SECTION_LENGTH) {
    gain *= quadraticPower(c[i]!, c[i + 1]!, c[i + 2]!, cosine) / quadraticPower(1, c[i + 3]!, c[i + 4]!, cosine);
  }
  return gain;
}

function quadraticPower(b0: number, b1: number, b2: number, cosine: number): number {
  return b0 * b0 + b1 * b1 + b2 * b2 + 2 * (b0 * b1 + b1 * b2) * cosine + 2 * b0 * b2 * (2 * cosine * cosine - 1);
}

type SectionMaker = (s1: number, s0: number) => readonly number[];

/**
 * `rows` hold the analogue denominators s^2 + s1 s + s0 (or s + s0, marked by an infinite s1) with tan-warped
 * frequencies.
 */
function chain(order: number, rows: readonly (readonly number[])[], make: SectionMaker): SectionChain {
  const coefficients = new Float64Array(rows.length * SECTION_LENGTH);
  rows.forEach((row, index) => coefficients.set(make(row[0]!, row[1]!), index * SECTION_LENGTH));
  return { coefficients, order };
}

function rowsOfPoles(order: number, corner: number): number[][] {
  return butterworthPoles(order).map((pole) =>
    pole.im === 0 ? [Infinity, corner] : [-2 * pole.re * corner, corner * corner],
  );
}

function lowPassSection(s1: number, s0: number): readonly number[] {
  if (s1 === Infinity) return [s0 / (1 + s0), s0 / (1 + s0), 0, (s0 - 1) / (s0 + 1), 0];
  const a = 1 + s1 + s0;
  return [s0 / a, (2 * s0) / a, s0 / a, (2 * (s0 - 1)) / a, (1 - s1 + s0) / a];
}

function highPassSection(s1: number, s0: number): readonly number[] {
  if (s1 === Infinity) return [1 / (1 + s0), -1 / (1 + s0), 0, (s0 - 1) / (s0 + 1), 0];
  const a = 1 + s1 + s0;
  return [1 / a, -2 / a, 1 / a, (2 * (s0 - 1)) / a, (1 - s1 + s0) / a];
}

/** Scaled to unity at the warped centre, so that no section of the chain overflows or underflows its neighbours. */
function bandPassSection(s1: number, s0: number, centre: number): readonly number[] {
  const a = 1 + s1 + s0;
  const detuning = s0 - centre * centre;
  const gain = Math.sqrt(detuning * detuning + s1 * s1 * centre * centre) / centre;
  return [gain / a, 0, -gain / a, (2 * (s0 - 1)) / a, (1 - s1 + s0) / a];
}

function complexSquareRoot(z: ComplexNumber): ComplexNumber {
  const modulus = Math.sqrt(z.re * z.re + z.im * z.im);
  const re = Math.sqrt((modulus + Math.abs(z.re)) / 2);
  const other = re === 0 ? 0 : Math.abs(z.im) / (2 * re);
  const sign = z.im < 0 ? -1 : 1;
  return z.re >= 0 ? { re, im: sign * other } : { re: other, im: sign * re };
}

function prewarped(where: string, name: string, frequencyHz: number, sampleRateHz: number): number {
  if (!(frequencyHz > 0 && frequencyHz < sampleRateHz / 2)) {
    throw new RangeError(
      `${where}: ${name} must be above 0 and below half the sampling rate of ${sampleRateHz} Hz, got ${frequencyHz}. ` +
        "Lower the edge or record at a higher rate.",
    );
  }
  return tan((Math.PI * frequencyHz) / sampleRateHz);
}
