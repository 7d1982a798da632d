import { withoutLowWord } from "./float-bits.js";

// Every coefficient in this file: [source: Sun Microsystems, fdlibm 5.3, 1993, k_sin.c, k_cos.c, e_rem_pio2.c,
// e_asin.c, s_atan.c].

const QUARTER_TURN = 1.570796326794896558;
const QUARTER_TURN_LOW = 6.12323399573676603587e-17;

// The angle left after whole quarter turns are taken away, as a sum of two parts. A typed array, because a
// variable of the module would put a new number on the heap at every write.
const rest = new Float64Array(2);

/**
 * Takes whole quarter turns from x, leaves the remainder in `rest` and returns the quarter, 0 to 3.
 * Pi/2 in three parts of 33 bits: products with a count below 2^20 are exact, so |x| to 1.6e6 loses nothing.
 */
function reduce(x: number): number {
  const count = Math.floor(x * 6.36619772367581382433e-1 + 0.5);
  const first = x - count * 1.57079632673412561417;
  let w = count * 6.0771005063039659766e-11;
  let r = first - w;
  w = count * 2.02226624879595063154e-21 - (first - r - w);
  let y = r - w;
  if (Math.abs(y) < Math.abs(x) * 1.8e-15) {
    const second = r;
    w = count * 2.0222662487111664558e-21;
    r = second - w;
    w = count * 8.47842766036889956997e-32 - (second - r - w);
    y = r - w;
  }
  rest[0] = y;
  rest[1] = r - y - w;
  return count - 4 * Math.floor(count / 4);
}

function sinKernel(x: number, tail: number): number {
  const z = x * x;
  const v = z * x;
  const r =
    8.33333333332248946124e-3 +
    z *
      (-1.98412698298579493134e-4 +
        z * (2.75573137070700676789e-6 + z * (-2.50507602534068634195e-8 + z * 1.58969099521155010221e-10)));
  return x - (z * (0.5 * tail - v * r) - tail - v * -1.66666666666666324348e-1);
}

function cosKernel(x: number, tail: number): number {
  const z = x * x;
  const r =
    z *
    (4.16666666666666019037e-2 +
      z *
        (-1.38888888888741095749e-3 +
          z *
            (2.48015872894767294178e-5 +
              z * (-2.75573143513906633035e-7 + z * (2.0875723212981748279e-9 + z * -1.13596475577881948265e-11)))));
  const half = 0.5 * z;
  const w = 1 - half;
  return w + (1 - w - half + (z * r - x * tail));
}

const EIGHTH_TURN = 0.7853981633974483;
/** Beyond this the reduction has nothing left to say; see `sin`. */
const LARGEST_ANGLE = 1073741824;

/**
 * Sine of x radians. Relative error below 1e-15 while |x| is at most 1.6e6; from there to 2^30 the absolute error is
 * at most |x| times 2e-16; beyond it NaN. Same bits on every engine.
 */
export function sin(x: number): number {
  if (x <= EIGHTH_TURN && x >= -EIGHTH_TURN) return x === 0 ? x : sinKernel(x, 0);
  if (!(x <= LARGEST_ANGLE && x >= -LARGEST_ANGLE)) return NaN;
  const quarter = reduce(x);
  if (quarter === 0) return sinKernel(rest[0]!, rest[1]!);
  if (quarter === 1) return cosKernel(rest[0]!, rest[1]!);
  if (quarter === 2) return -sinKernel(rest[0]!, rest[1]!);
  return -cosKernel(rest[0]!, rest[1]!);
}

/** Cosine of x radians; limits as for `sin`. */
export function cos(x: number): number {
  if (x <= EIGHTH_TURN && x >= -EIGHTH_TURN) return cosKernel(x, 0);
  if (!(x <= LARGEST_ANGLE && x >= -LARGEST_ANGLE)) return NaN;
  const quarter = reduce(x);
  if (quarter === 0) return cosKernel(rest[0]!, rest[1]!);
  if (quarter === 1) return -sinKernel(rest[0]!, rest[1]!);
  if (quarter === 2) return -cosKernel(rest[0]!, rest[1]!);
  return sinKernel(rest[0]!, rest[1]!);
}

/** Tangent of x radians; limits as for `sin`. */
export function tan(x: number): number {
  if (x <= EIGHTH_TURN && x >= -EIGHTH_TURN) return x === 0 ? x : sinKernel(x, 0) / cosKernel(x, 0);
  if (!(x <= LARGEST_ANGLE && x >= -LARGEST_ANGLE)) return NaN;
  const quarter = reduce(x);
  const s = sinKernel(rest[0]!, rest[1]!);
  const c = cosKernel(rest[0]!, rest[1]!);
  return quarter === 0 || quarter === 2 ? s / c : -c / s;
}

/** (asin(x) - x) / x as a rational function of x². */
function asinTail(t: number): number {
  const p =
    t *
    (1.66666666666666657415e-1 +
      t *
        (-3.25565818622400915405e-1 +
          t *
            (2.01212532134862925881e-1 +
              t * (-4.00555345006794114027e-2 + t * (7.91534994289814532176e-4 + t * 3.4793310759602116757e-5)))));
  const q =
    1 +
    t *
      (-2.40339491173441421878 +
        t * (2.02094576023350569471 + t * (-6.8828397160545329303e-1 + t * 7.70381505559019352791e-2)));
  return p / q;
}

/** Inverse sine, -π/2 to π/2. NaN outside -1 to 1. */
export function asin(x: number): number {
  const size = Math.abs(x);
  if (!(size <= 1)) return NaN;
  if (size === 1) return x * QUARTER_TURN;
  if (size < 0.5) return size < 7.4e-9 ? x : x + x * asinTail(x * x);
  const t = (1 - size) * 0.5;
  const tail = asinTail(t);
  const s = Math.sqrt(t);
  let y: number;
  if (size >= 0.975) y = QUARTER_TURN - (2 * (s + s * tail) - QUARTER_TURN_LOW);
  else {
    const w = withoutLowWord(s);
    const c = (t - w * w) / (s + w);
    const p = 2 * s * tail - (QUARTER_TURN_LOW - 2 * c);
    y = EIGHTH_TURN - (p - (EIGHTH_TURN - 2 * w));
  }
  return x > 0 ? y : -y;
}

/** Inverse cosine, 0 to π. NaN outside -1 to 1. */
export function acos(x: number): number {
  const size = Math.abs(x);
  if (!(size <= 1)) return NaN;
  if (size === 1) return x > 0 ? 0 : Math.PI;
  if (size < 0.5) {
    if (size < 6e-17) return QUARTER_TURN;
    return QUARTER_TURN - (x - (QUARTER_TURN_LOW - x * asinTail(x * x)));
  }
  if (x < 0) {
    const z = (1 + x) * 0.5;
    const s = Math.sqrt(z);
    return Math.PI - 2 * (s + (asinTail(z) * s - QUARTER_TURN_LOW));
  }
  const z = (1 - x) * 0.5;
  const s = Math.sqrt(z);
  const high = withoutLowWord(s);
  const c = (z - high * high) / (s + high);
  return 2 * (high + (asinTail(z) * s + c));
}

/** Inverse tangent, -π/2 to π/2. */
export function atan(x: number): number {
  if (x !== x) return x;
  const size = Math.abs(x);
  if (size > 7.4e19) return x > 0 ? QUARTER_TURN : -QUARTER_TURN;
  let t = size;
  let high = 0;
  let low = 0;
  if (size >= 0.4375) {
    if (size < 1.1875) {
      if (size < 0.6875) {
        high = 4.63647609000806093515e-1;
        low = 2.26987774529616870924e-17;
        t = (2 * size - 1) / (2 + size);
      } else {
        high = 7.85398163397448278999e-1;
        low = 3.06161699786838301793e-17;
        t = (size - 1) / (size + 1);
      }
    } else if (size < 2.4375) {
      high = 9.82793723247329054082e-1;
      low = 1.39033110312309984516e-17;
      t = (size - 1.5) / (1 + 1.5 * size);
    } else {
      high = QUARTER_TURN;
      low = QUARTER_TURN_LOW;
      t = -1 / size;
    }
  } else if (size < 7.4e-9) return x;
  const z = t * t;
  const w = z * z;
  const odd =
    z *
    (3.33333333333329318027e-1 +
      w *
        (1.42857142725034663711e-1 +
          w *
            (9.09088713343650656196e-2 +
              w * (6.66107313738753120669e-2 + w * (4.97687799461593236017e-2 + w * 1.62858201153657823623e-2)))));
  const even =
    w *
    (-1.99999999998764832476e-1 +
      w *
        (-1.1111110405462355788e-1 +
          w * (-7.69187620504482999495e-2 + w * (-5.83357013379057348645e-2 + w * -3.6531572744216915527e-2))));
  const y = high === 0 ? t - t * (odd + even) : high - (t * (odd + even) - low - t);
  return x < 0 ? -y : y;
}

/** Angle of the point (x, y), -π to π, with the signed zeros of the language's own function. */
export function atan2(y: number, x: number): number {
  if (x !== x || y !== y) return NaN;
  const xNegative = x < 0 || (x === 0 && 1 / x < 0);
  const yNegative = y < 0 || (y === 0 && 1 / y < 0);
  if (y === 0) return xNegative ? (yNegative ? -Math.PI : Math.PI) : y;
  if (x === 0) return yNegative ? -QUARTER_TURN : QUARTER_TURN;
  let angle: number;
  if (Math.abs(x) === Infinity) angle = Math.abs(y) === Infinity ? EIGHTH_TURN : 0;
  else if (Math.abs(y) === Infinity) angle = QUARTER_TURN;
  else angle = atan(Math.abs(y / x));
  if (xNegative) angle = Math.PI - (angle - 2 * QUARTER_TURN_LOW);
  return yNegative ? -angle : angle;
}
