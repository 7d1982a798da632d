import { highWord, scaleByPowerOfTwo, withHighWord, withoutLowWord } from "./float-bits.js";

function isOdd(y: number): boolean {
  const size = Math.abs(y);
  return size < 9007199254740992 && Math.floor(size) === size && size - 2 * Math.floor(size / 2) === 1;
}

/**
 * x to the power y, with the special cases of the language's own operator. Relative error below 1e-15.
 * The logarithm is carried in two parts, so that large exponents lose nothing.
 * Coefficients: [source: Sun Microsystems, fdlibm 5.3, 1993, e_pow.c].
 */
export function pow(x: number, y: number): number {
  if (y === 0) return 1;
  if (y !== y || x !== x) return NaN;
  const size = Math.abs(x);
  if (y === Infinity || y === -Infinity) {
    if (size === 1) return NaN;
    return size > 1 === y > 0 ? Infinity : 0;
  }
  const negative = x < 0 || (x === 0 && 1 / x < 0);
  const sign = negative && isOdd(y) ? -1 : 1;
  if (size === 0 || size === Infinity) return sign * ((size === 0) === y > 0 ? 0 : Infinity);
  if (negative && Math.floor(y) !== y) return NaN;
  if (y === 1) return x;
  if (y === -1) return 1 / x;
  if (size === 1) return sign;

  // log2(size) = t1 + t2
  let n = 0;
  let a = size;
  if (size < 2.2250738585072014e-308) {
    a = size * 9007199254740992;
    n = -53;
  }
  let bits = highWord(a);
  n += (bits >> 20) - 0x3ff;
  const j = bits & 0xfffff;
  bits = j | 0x3ff00000;
  let nearThreeHalves = 0;
  if (j > 0x3988e) {
    if (j < 0xbb67a) nearThreeHalves = 1;
    else {
      n += 1;
      bits -= 0x00100000;
    }
  }
  a = withHighWord(a, bits);
  const base = nearThreeHalves === 1 ? 1.5 : 1;
  let u = a - base;
  let v = 1 / (a + base);
  const s = u * v;
  const sHigh = withoutLowWord(s);
  let tHigh = withHighWord(0, ((bits >> 1) | 0x20000000) + 0x00080000 + (nearThreeHalves << 18));
  let tLow = a - (tHigh - base);
  const sLow = v * (u - sHigh * tHigh - sHigh * tLow);
  let s2 = s * s;
  let r =
    s2 *
    s2 *
    (5.99999999999994648725e-1 +
      s2 *
        (4.28571428578550184252e-1 +
          s2 *
            (3.33333329818377432918e-1 +
              s2 * (2.72728123808534006489e-1 + s2 * (2.30660745775561754067e-1 + s2 * 2.06975017800338417784e-1)))));
  r += sLow * (sHigh + s);
  s2 = sHigh * sHigh;
  tHigh = withoutLowWord(3 + s2 + r);
  tLow = r - (tHigh - 3 - s2);
  u = sHigh * tHigh;
  v = sLow * tHigh + tLow * s;
  let pHigh = withoutLowWord(u + v);
  let pLow = v - (pHigh - u);
  const zHigh = 9.61796700954437255859e-1 * pHigh;
  const zLow =
    -7.02846165095275826516e-9 * pHigh +
    pLow * 9.61796693925975554329e-1 +
    (nearThreeHalves === 1 ? 1.35003920212974897128e-8 : 0);
  const offset = nearThreeHalves === 1 ? 5.84962487220764160156e-1 : 0;
  const t1 = withoutLowWord(zHigh + zLow + offset + n);
  const t2 = zLow - (t1 - n - offset - zHigh);

  // y log2(size) = pHigh + pLow, then 2 to that power
  const yHigh = withoutLowWord(y);
  pLow = (y - yHigh) * t1 + y * t2;
  pHigh = yHigh * t1;
  const exponent = pLow + pHigh;
  if (exponent >= 1024) return sign * Infinity;
  if (exponent <= -1076) return sign * 0;
  const whole = Math.floor(exponent + 0.5);
  pHigh -= whole;
  const t = withoutLowWord(pLow + pHigh);
  u = t * 6.93147182464599609375e-1;
  v = (pLow - (t - pHigh)) * 6.93147180559945286227e-1 + t * -1.90465429995776804525e-9;
  const z = u + v;
  const w = v - (z - u);
  const z2 = z * z;
  const c =
    z -
    z2 *
      (1.66666666666666019037e-1 +
        z2 *
          (-2.77777777770155933842e-3 +
            z2 * (6.61375632143793436117e-5 + z2 * (-1.6533902205465251539e-6 + z2 * 4.13813679705723846039e-8))));
  r = (z * c) / (c - 2) - (w + z * w);
  return sign * scaleByPowerOfTwo(1 - (r - z), whole);
}
