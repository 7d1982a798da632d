import { cos, exp, pow, sin } from "../quantities/portable-maths.js";
import { solve } from "./absorption-design.js";

/** Ground under the path of sound: hard, or porous by its flow resistivity. */
export type Ground =
  | { readonly kind: "hard"; /** 1 returns everything, 0 nothing. */ readonly reflectionRatio: number }
  | { readonly kind: "porous"; readonly flowResistivityPaSPerM2: number };

/** Ground of a meadow or a railway bank. [source: Embleton, Piercy & Daigle, JASA 74 (1983) 1239: grass 1.5e5 to 3e5, from memory] */
export const GRASS: Ground = { kind: "porous", flowResistivityPaSPerM2: 2e5 };

/** A complex number's two parts, written by the functions below. */
type Pair = Float64Array;

/**
 * Surface impedance of porous ground over that of air, time factor exp(+jwt): real part, then imaginary.
 * [source: Chessell, JASA 62 (1977) 825, equations 15 and 16, after Delany & Bazley, Applied Acoustics 3 (1970) 105]
 */
export function groundImpedanceRatio(frequencyHz: number, flowResistivityPaSPerM2: number): Float64Array {
  // Their figures are for cgs units of resistivity, a thousandth of these.
  const perResistivity = (1000 * frequencyHz) / flowResistivityPaSPerM2;
  return Float64Array.of(1 + 9.08 * pow(perResistivity, -0.75), -11.9 * pow(perResistivity, -0.73));
}

/**
 * Reflection of a spherical wave from porous ground, real part then imaginary: Q = R + (1 - R) F(w), R that of a plane wave.
 *
 * @param sineOfGrazing height of source and image over the reflected path
 * @param waveNumbers 2 pi f / c times the reflected path
 * [source: Chessell, JASA 62 (1977) 825, local reaction]
 */
export function sphericalReflection(impedance: Float64Array, sineOfGrazing: number, waveNumbers: number): Float64Array {
  const admittance = ratio(Float64Array.of(1, 0), impedance);
  const below = Float64Array.of(sineOfGrazing + admittance[0]!, admittance[1]!);
  const plane = ratio(Float64Array.of(sineOfGrazing - admittance[0]!, -admittance[1]!), below);
  // x = j w of the numerical distance w: (1 + j)/2 sqrt(k r) (sin + admittance), with exp(+jwt). Its real part may be
  // negative: then a surface wave goes along.
  const scale = 0.5 * Math.sqrt(waveNumbers);
  const x = Float64Array.of(scale * (below[0]! - below[1]!), scale * (below[0]! + below[1]!));
  const ground = boundaryLoss(x);
  const rest = product(Float64Array.of(1 - plane[0]!, -plane[1]!), ground);
  return Float64Array.of(plane[0]! + rest[0]!, plane[1]! + rest[1]!);
}

// F = 1 - sqrt(pi) x exp(x^2) erfc(x).
function boundaryLoss(x: Pair): Pair {
  const part = product(x, scaledErrorComplement(x));
  const rootOfPi = Math.sqrt(Math.PI);
  return Float64Array.of(1 - rootOfPi * part[0]!, -rootOfPi * part[1]!);
}

// exp(x^2) erfc(x): a continued fraction far out, a power series near zero. [source: Abramowitz & Stegun, Handbook of
// Mathematical Functions, 1964, 7.1.6 and 7.1.14]
function scaledErrorComplement(x: Pair): Pair {
  const square = product(x, x);
  const size = Math.sqrt(x[0]! * x[0]! + x[1]! * x[1]!);
  const rootOfPi = Math.sqrt(Math.PI);
  if (size > 3 && x[0]! < 0) {
    const mirrored = scaledErrorComplement(Float64Array.of(-x[0]!, -x[1]!));
    const whole = exponential(square);
    return Float64Array.of(2 * whole[0]! - mirrored[0]!, 2 * whole[1]! - mirrored[1]!);
  }
  if (size > 3) {
    // Continued fraction from its far end: x + (k/2)/(x + ...).
    let tail: Pair = Float64Array.of(x[0]!, x[1]!);
    for (let k = 40; k >= 1; k--) {
      const below = ratio(Float64Array.of(0.5 * k, 0), tail);
      tail = Float64Array.of(x[0]! + below[0]!, x[1]! + below[1]!);
    }
    const inverse = ratio(Float64Array.of(1, 0), tail);
    return Float64Array.of(inverse[0]! / rootOfPi, inverse[1]! / rootOfPi);
  }
  // exp(x^2) - 2 x / sqrt(pi) sum of (2 x^2)^k / (1 3 5 ... (2k + 1)).
  let term: Pair = Float64Array.of(1, 0);
  const sum = Float64Array.of(1, 0);
  for (let k = 1; k < 80; k++) {
    term = product(term, Float64Array.of((2 * square[0]!) / (2 * k + 1), (2 * square[1]!) / (2 * k + 1)));
    sum[0] = sum[0]! + term[0]!;
    sum[1] = sum[1]! + term[1]!;
  }
  const series = product(x, sum);
  const grown = exponential(square);
  const scale = 2 / rootOfPi;
  return Float64Array.of(grown[0]! - scale * series[0]!, grown[1]! - scale * series[1]!);
}

// Bands in which the filter is fitted. [common practice: octaves of noise work]
const fittedHz = [63, 125, 250, 500, 1000, 2000, 4000, 8000];

/**
 * First-order filter (two feed-forward, one feed-back coefficient) nearest to the ground's reflection at one place. Over
 * grass the octave bands of both waves come within 1 dB of the model to 30 m, and of a high source within 2 dB to 150 m; a
 * source near the ground is up to 10 dB out there, in the bands that the ground takes away.
 *
 * @returns for hard ground its ratio and zeros
 */
export function groundFilter(
  ground: Ground,
  sampleRateHz: number,
  sineOfGrazing: number,
  reflectedM: number,
  soundSpeedMPerS: number,
): Float64Array {
  if (ground.kind === "hard") return Float64Array.of(ground.reflectionRatio, 0, 0);
  // Levy's method: b0 + b1 s - Q a1 s = Q, straight in all three, s in radians per second over a reference.
  const reference = 2 * Math.PI * 1000;
  const rows: number[][] = [];
  const right: number[] = [];
  for (const frequencyHz of fittedHz) {
    if (frequencyHz > 0.4 * sampleRateHz) continue;
    const impedance = groundImpedanceRatio(frequencyHz, ground.flowResistivityPaSPerM2);
    const w = (2 * Math.PI * frequencyHz) / reference;
    const q = sphericalReflection(impedance, sineOfGrazing, (2 * Math.PI * frequencyHz * reflectedM) / soundSpeedMPerS);
    // A high frequency would count by its size alone: each counts alike.
    const weight = 1 / Math.sqrt(1 + w * w);
    rows.push([weight, 0, weight * w * q[1]!], [0, weight * w, -weight * w * q[0]!]);
    right.push(weight * q[0]!, weight * q[1]!);
  }
  const normal = [0, 1, 2].map((i) => [0, 1, 2].map((j) => rows.reduce((sum, row) => sum + row[i]! * row[j]!, 0)));
  const pull = [0, 1, 2].map((i) => rows.reduce((sum, row, k) => sum + row[i]! * right[k]!, 0));
  const [b0, b1, a1] = solve(normal, pull) as [number, number, number];
  // A pole on the wrong side would run away; the least lag that a sample can carry stands in its place.
  const scale = (2 * sampleRateHz) / reference;
  const lag = Math.max(a1, 1 / scale);
  const below = 1 + lag * scale;
  return Float64Array.of((b0 + b1 * scale) / below, (b0 - b1 * scale) / below, (1 - lag * scale) / below);
}

function product(a: Pair, b: Pair): Pair {
  return Float64Array.of(a[0]! * b[0]! - a[1]! * b[1]!, a[0]! * b[1]! + a[1]! * b[0]!);
}

function ratio(a: Pair, b: Pair): Pair {
  const size = b[0]! * b[0]! + b[1]! * b[1]!;
  return Float64Array.of((a[0]! * b[0]! + a[1]! * b[1]!) / size, (a[1]! * b[0]! - a[0]! * b[1]!) / size);
}

function exponential(a: Pair): Pair {
  const size = exp(a[0]!);
  return Float64Array.of(size * cos(a[1]!), size * sin(a[1]!));
}
