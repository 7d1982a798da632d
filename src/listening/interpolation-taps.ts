import { sin } from "../quantities/portable-maths.js";

/**
 * Weights that read a signal between two samples: of `tapCount` samples around the gap (half before, half after), the
 * set that has the least mean-square error for every signal without content above `bandRatio` of the sampling rate.
 * `delayRatio` (0 to 1) is the place in the gap. Weight i belongs to the sample i + 1 - tapCount / 2 after the one
 * before the gap. [source: Laakso, Valimaki, Karjalainen and Laine, Splitting the unit delay, IEEE Signal Processing
 * Magazine 13(1), 1996, general least-squares design, from memory]
 */
export function interpolationTaps(tapCount: number, bandRatio: number, delayRatio: number): Float64Array {
  const matrix: Float64Array[] = [];
  for (let i = 0; i < tapCount; i++) {
    const row = new Float64Array(tapCount + 1);
    for (let j = 0; j < tapCount; j++) row[j] = sinc(2 * bandRatio * (i - j));
    row[tapCount] = sinc(2 * bandRatio * (i + 1 - tapCount / 2 - delayRatio));
    matrix.push(row);
  }
  return solveSymmetric(matrix);
}

/** sin(pi x) / (pi x). */
function sinc(x: number): number {
  return x === 0 ? 1 : sin(Math.PI * x) / (Math.PI * x);
}

/** Gauss elimination of a positive definite system whose right side is the last column; no pivoting is needed. */
function solveSymmetric(rows: readonly Float64Array[]): Float64Array {
  const n = rows.length;
  for (let k = 0; k < n; k++) {
    for (let i = k + 1; i < n; i++) {
      const factor = rows[i]![k]! / rows[k]![k]!;
      for (let j = k; j <= n; j++) rows[i]![j]! -= factor * rows[k]![j]!;
    }
  }
  const solution = new Float64Array(n);
  for (let k = n - 1; k >= 0; k--) {
    let sum = rows[k]![n]!;
    for (let j = k + 1; j < n; j++) sum -= rows[k]![j]! * solution[j]!;
    solution[k] = sum / rows[k]![k]!;
  }
  return solution;
}
