import { fromWords, highWord, lowWord, scaleByPowerOfTwo, withHighWord, withoutLowWord } from "./float-bits.js";

// Every coefficient in this file: [source: Sun Microsystems, fdlibm 5.3, 1993, e_exp.c, e_log.c, e_log10.c, e_pow.c,
// s_expm1.c, s_cbrt.c; the splits of 1/ln 2 and 1/ln 10 from the FreeBSD revision of the same files].

const LN2_HIGH = 6.9314718036912381649e-1;
const LN2_LOW = 1.90821492927058770002e-10;
const INVERSE_LN2 = 1.442695040888963387;
const TWO_TO_54 = 18014398509481984;

/** e to the power x. Relative error below 1e-15 against the exact value, same bits on every engine. */
export function exp(x: number): number {
  if (x !== x) return x;
  if (x > 709.782712893384) return Infinity;
  if (x < -745.1332191019411) return 0;
  let high = x;
  let low = 0;
  let exponent = 0;
  if (x > 0.34657359027997264 || x < -0.34657359027997264) {
    exponent = Math.floor(INVERSE_LN2 * x + 0.5);
    high = x - exponent * LN2_HIGH;
    low = exponent * LN2_LOW;
  }
  const r = high - low;
  const t = r * r;
  const c =
    r -
    t *
      (1.66666666666666019037e-1 +
        t *
          (-2.77777777770155933842e-3 +
            t * (6.61375632143793436117e-5 + t * (-1.6533902205465251539e-6 + t * 4.13813679705723846039e-8))));
  const y = 1 - (low - (r * c) / (2 - c) - high);
  return exponent === 0 ? y : scaleByPowerOfTwo(y, exponent);
}

/** e to the power x, less 1, without loss near 0. */
export function expm1(x: number): number {
  if (x !== x) return x;
  if (x > 709.782712893384) return Infinity;
  if (x < -38.816242) return -1;
  let exponent = 0;
  let r = x;
  let c = 0;
  if (x > 0.34657359027997264 || x < -0.34657359027997264) {
    exponent = Math.floor(INVERSE_LN2 * x + 0.5);
    const high = x - exponent * LN2_HIGH;
    const low = exponent * LN2_LOW;
    r = high - low;
    c = high - r - low;
  } else if (x < 5.5e-17 && x > -5.5e-17) return x;
  const half = 0.5 * r;
  const s = r * half;
  const r1 =
    1 +
    s *
      (-3.33333333333331316428e-2 +
        s *
          (1.58730158725481460165e-3 +
            s * (-7.93650757867487942473e-5 + s * (4.00821782732936239552e-6 + s * -2.01099218183624371326e-7))));
  const t = 3 - r1 * half;
  let e = s * ((r1 - t) / (6 - r * t));
  if (exponent === 0) return r - (r * e - s);
  e = r * (e - c) - c;
  e -= s;
  if (exponent === -1) return 0.5 * (r - e) - 0.5;
  if (exponent === 1) return r < -0.25 ? -2 * (e - (r + 0.5)) : 1 + 2 * (r - e);
  if (exponent <= -2 || exponent > 56) return scaleByPowerOfTwo(1 - (e - r), exponent) - 1;
  const inverse = scaleByPowerOfTwo(1, -exponent);
  if (exponent < 20) return scaleByPowerOfTwo(1 - inverse - (e - r), exponent);
  return scaleByPowerOfTwo(r - (e + inverse) + 1, exponent);
}

/** Tail of ln(1 + f) beyond f - f²/2, for 1 + f between √½ and √2. */
function logTail(f: number, halfSquare: number): number {
  const s = f / (2 + f);
  const z = s * s;
  const w = z * z;
  const even = w * (3.999999999940941908e-1 + w * (2.222219843214978396e-1 + w * 1.531383769920937332e-1));
  const odd =
    z *
    (6.66666666666673513e-1 +
      w * (2.857142874366239149e-1 + w * (1.818357216161805012e-1 + w * 1.479819860511658591e-1)));
  return s * (halfSquare + (even + odd));
}

// x = 2^k (1 + f) with 1 + f between √½ and √2: adding this to the upper word carries into the exponent above √2.
const ROOT_HALF_CARRY = 0x3ff00000 - 0x3fe6a09e;

/** Natural logarithm. NaN below 0, -Infinity at 0. */
export function log(x: number): number {
  if (!(x > 0) || x === Infinity) return x === 0 ? -Infinity : x === Infinity ? x : NaN;
  let k = 0;
  let normal = x;
  if (x < 2.2250738585072014e-308) {
    normal = x * TWO_TO_54;
    k = -54;
  }
  const bits = highWord(normal) + ROOT_HALF_CARRY;
  k += (bits >> 20) - 0x3ff;
  const f = withHighWord(normal, (bits & 0xfffff) + 0x3fe6a09e) - 1;
  const halfSquare = 0.5 * f * f;
  return k * LN2_HIGH - (halfSquare - (logTail(f, halfSquare) + k * LN2_LOW) - f);
}

/** ln(1 + x) without loss near 0. */
export function log1p(x: number): number {
  if (!(x > -1) || x === Infinity) return x === -1 ? -Infinity : x === Infinity ? x : NaN;
  if (x < 1.1e-16 && x > -1.1e-16) return x;
  let k = 0;
  let c = 0;
  let f = x;
  if (x > 0.4142135623730951 || x < -0.2928932188134524) {
    const u = 1 + x;
    const bits = highWord(u) + ROOT_HALF_CARRY;
    k = (bits >> 20) - 0x3ff;
    if (k < 54) c = (k >= 2 ? 1 - (u - x) : x - (u - 1)) / u;
    f = withHighWord(u, (bits & 0xfffff) + 0x3fe6a09e) - 1;
  }
  const halfSquare = 0.5 * f * f;
  return k * LN2_HIGH - (halfSquare - (logTail(f, halfSquare) + (k * LN2_LOW + c)) - f);
}

/** Logarithm to base 2; exact at whole powers of 2. */
export function log2(x: number): number {
  if (!(x > 0) || x === Infinity) return x === 0 ? -Infinity : x === Infinity ? x : NaN;
  let k = 0;
  let normal = x;
  if (x < 2.2250738585072014e-308) {
    normal = x * TWO_TO_54;
    k = -54;
  }
  const bits = highWord(normal) + ROOT_HALF_CARRY;
  k += (bits >> 20) - 0x3ff;
  const f = withHighWord(normal, (bits & 0xfffff) + 0x3fe6a09e) - 1;
  const halfSquare = 0.5 * f * f;
  const high = withoutLowWord(f - halfSquare);
  const low = f - high - halfSquare + logTail(f, halfSquare);
  const product = high * 1.44269504072144627571;
  const rest = (low + high) * 1.67517131648865118353e-10 + low * 1.44269504072144627571;
  const sum = k + product;
  return rest + (k - sum + product) + sum;
}

/** Logarithm to base 10. */
export function log10(x: number): number {
  if (!(x > 0) || x === Infinity) return x === 0 ? -Infinity : x === Infinity ? x : NaN;
  let k = 0;
  let normal = x;
  if (x < 2.2250738585072014e-308) {
    normal = x * TWO_TO_54;
    k = -54;
  }
  const bits = highWord(normal) + ROOT_HALF_CARRY;
  k += (bits >> 20) - 0x3ff;
  const f = withHighWord(normal, (bits & 0xfffff) + 0x3fe6a09e) - 1;
  const halfSquare = 0.5 * f * f;
  const high = withoutLowWord(f - halfSquare);
  const low = f - high - halfSquare + logTail(f, halfSquare);
  const product = high * 4.34294481878168880939e-1;
  const whole = k * 3.01029995663611771306e-1;
  const rest =
    k * 3.69423907715893078616e-13 + (low + high) * 2.50829467116452752298e-11 + low * 4.34294481878168880939e-1;
  const sum = whole + product;
  return rest + (whole - sum + product) + sum;
}

/** Hyperbolic sine. */
export function sinh(x: number): number {
  const size = Math.abs(x);
  if (!(size < 710.4758600739439)) return x === x ? (x > 0 ? Infinity : -Infinity) : x;
  const half = x < 0 ? -0.5 : 0.5;
  if (size < 22) {
    if (size < 3.7e-9) return x;
    const t = expm1(size);
    return size < 1 ? half * (2 * t - (t * t) / (t + 1)) : half * (t + t / (t + 1));
  }
  if (size < 709) return half * exp(size);
  const root = exp(0.5 * size);
  return half * root * root;
}

/** Hyperbolic cosine. */
export function cosh(x: number): number {
  const size = Math.abs(x);
  if (!(size < 710.4758600739439)) return x === x ? Infinity : x;
  if (size < 0.34657359027997264) {
    const t = expm1(size);
    return 1 + (t * t) / (2 * (1 + t));
  }
  if (size < 709) {
    const t = exp(size);
    return 0.5 * t + 0.5 / t;
  }
  const root = exp(0.5 * size);
  return 0.5 * root * root;
}

/** Hyperbolic tangent. */
export function tanh(x: number): number {
  const size = Math.abs(x);
  if (!(size < 22)) return x === x ? (x > 0 ? 1 : -1) : x;
  if (size < 2.8e-17) return x;
  let y: number;
  if (size >= 1) y = 1 - 2 / (expm1(2 * size) + 2);
  else {
    const t = expm1(-2 * size);
    y = -t / (t + 2);
  }
  return x < 0 ? -y : y;
}

/** Real cube root of any sign. */
export function cbrt(x: number): number {
  if (x === 0 || x !== x || x === Infinity || x === -Infinity) return x;
  const tiny = Math.abs(x) < 2.2250738585072014e-308;
  const size = tiny ? Math.abs(x) * TWO_TO_54 : Math.abs(x);
  let t = fromWords(Math.floor(highWord(size) / 3) + 715094163, 0);
  let r = t * t * (t / size);
  t *=
    1.87595182427177009643 +
    r * (-1.88497979543377169875 + r * 1.62142972010535446614) +
    r * r * r * (-0.758397934778766047437 + r * 0.145996192886612446982);
  t = fromWords(highWord(t), lowWord(t) & 0xc0000000); // short enough that t·t is exact
  r = size / (t * t);
  t += t * ((r - t) / (t + t + r));
  if (tiny) t /= 262144;
  return x < 0 ? -t : t;
}
