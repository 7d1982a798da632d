/**
 * Reflection of a thin-walled open end by the integrals themselves (Levine & Schwinger, Phys. Rev. 73 (1948) 383-406,
 * eqs VI.4 and VI.5). Bessel functions by their series
 * (Abramowitz & Stegun 9.1.10, 9.1.11, 9.6.10), K1 by its integral (9.6.24); J1 and Y1 up to x = 5 only.
 */
export function levineSchwingerReflectionRatio(z: number): number {
  const integral = overLine((x) => (Math.atan(besselK1(x) / (Math.PI * besselI1(x))) * (1 - z / Math.hypot(z, x))) / x);
  return Math.sqrt(Math.PI * z) * Math.exp(-z + integral / Math.PI);
}

export function levineSchwingerCorrectionRatio(z: number): number {
  // First integral with x = z sin t: its weight becomes dt / (z sin t).
  const inside = overArc((t) => {
    const x = z * Math.sin(t);
    return Math.log(Math.PI * besselJ1(x) * Math.hypot(besselJ1(x), besselY1(x))) / x;
  });
  const outside = overLine((x) => Math.log(1 / (2 * besselI1(x) * besselK1(x))) / (x * Math.hypot(x, z)));
  return (inside + outside) / Math.PI;
}

/** 0 to infinity, x = exp(pi/2 sinh t): trapezoids converge exponentially. */
function overLine(f: (x: number) => number): number {
  const step = 1 / 32;
  let sum = 0;
  for (let t = -3.4; t <= 3.4; t += step) {
    const x = Math.exp((Math.PI / 2) * Math.sinh(t));
    const value = f(x) * x * (Math.PI / 2) * Math.cosh(t);
    if (Number.isFinite(value)) sum += value;
  }
  return sum * step;
}

/** 0 to pi/2 by the tanh-sinh rule. */
function overArc(f: (t: number) => number): number {
  const step = 1 / 32;
  let sum = 0;
  for (let u = -3.2; u <= 3.2; u += step) {
    const inner = (Math.PI / 2) * Math.sinh(u);
    const t = (Math.PI / 4) * (1 + Math.tanh(inner));
    const weight = ((Math.PI / 4) * (Math.PI / 2) * Math.cosh(u)) / Math.cosh(inner) ** 2;
    const value = f(t) * weight;
    if (Number.isFinite(value)) sum += value;
  }
  return sum * step;
}

export function besselJ1(x: number): number {
  let term = x / 2;
  let sum = term;
  for (let k = 1; k < 60; k++) {
    term *= (-x * x) / 4 / (k * (k + 1));
    sum += term;
  }
  return sum;
}

export function besselI1(x: number): number {
  if (x > 30) return (Math.exp(Math.min(x, 700)) / Math.sqrt(2 * Math.PI * x)) * asymptotic(x, -1);
  let term = x / 2;
  let sum = term;
  for (let k = 1; k < 200; k++) {
    term *= (x * x) / 4 / (k * (k + 1));
    sum += term;
    if (term < sum * 1e-17) break;
  }
  return sum;
}

export function besselK1(x: number): number {
  if (x > 30) return Math.sqrt(Math.PI / (2 * x)) * Math.exp(-Math.min(x, 700)) * asymptotic(x, 1);
  // K1(x) = integral of exp(-x cosh t) cosh t over t from 0 up.
  const step = 1 / 64;
  let sum = 0.5 * Math.exp(-x);
  for (let t = step; t < 40; t += step) {
    const term = Math.exp(-x * Math.cosh(t)) * Math.cosh(t);
    sum += term;
    if (term < sum * 1e-18 && x * Math.cosh(t) > 40) break;
  }
  return sum * step;
}

function asymptotic(x: number, sign: number): number {
  // A&S 9.7.1, 9.7.2 with mu = 4.
  const y = 8 * x;
  return 1 + (sign * 3) / y - 15 / (2 * y * y) + (sign * 315) / (6 * y ** 3) - 14175 / (24 * y ** 4);
}

export function besselY1(x: number): number {
  // A&S 9.1.11; psi(k + 1) = -0.57721566 + the harmonic sum of k.
  const euler = 0.5772156649015329;
  let term = x / 2;
  let psi = -2 * euler + 1;
  let sum = psi * term;
  for (let k = 1; k < 60; k++) {
    term *= (-x * x) / 4 / (k * (k + 1));
    psi += 1 / k + 1 / (k + 1);
    sum += psi * term;
  }
  return -2 / (Math.PI * x) + (2 / Math.PI) * Math.log(x / 2) * besselJ1(x) - sum / Math.PI;
}
