/**
 * What is left of `values`, taken at even steps, when the best parabola (least squares) is taken off; with fewer than
 * three values nothing is left.
 */
export function afterQuadratic(values: ArrayLike<number>): Float64Array {
  const n = values.length;
  const residual = Float64Array.from(values);
  if (n < 3) return residual.fill(0);
  // Constant, line and parabola that are orthogonal over evenly spaced places: each can be taken off by itself.
  const middle = (n - 1) / 2;
  const bow = (n * n - 1) / 12;
  for (const shape of [() => 1, (i: number) => i - middle, (i: number) => (i - middle) * (i - middle) - bow]) {
    let [along, length] = [0, 0];
    for (let i = 0; i < n; i++) {
      along += residual[i]! * shape(i);
      length += shape(i) * shape(i);
    }
    for (let i = 0; i < n; i++) residual[i]! -= (along / length) * shape(i);
  }
  return residual;
}

/** Slope of the least-squares line through (x, y). */
export function lineSlope(x: ArrayLike<number>, y: ArrayLike<number>): number {
  const n = x.length;
  let [meanX, meanY] = [0, 0];
  for (let i = 0; i < n; i++) {
    meanX += x[i]! / n;
    meanY += y[i]! / n;
  }
  let [xx, xy] = [0, 0];
  for (let i = 0; i < n; i++) {
    xx += (x[i]! - meanX) * (x[i]! - meanX);
    xy += (x[i]! - meanX) * (y[i]! - meanY);
  }
  return xy / xx;
}

/** Root of the mean squared distance from the mean (n in the divisor). */
export function populationDeviation(values: ArrayLike<number>): number {
  const n = values.length;
  let mean = 0;
  for (let i = 0; i < n; i++) mean += values[i]! / n;
  let sum = 0;
  for (let i = 0; i < n; i++) sum += (values[i]! - mean) * (values[i]! - mean);
  return Math.sqrt(sum / n);
}
