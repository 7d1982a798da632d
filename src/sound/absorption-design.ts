import { exp, log10, tan } from "../quantities/portable-maths.js";

/** Numbers that set one absorbing filter: two feed-forward, one feed-back, for the like sections and for the single one. */
export const PARAMETERS = 6; // [common practice: first-order sections]

/** A filter and where the search for its neighbour may begin. */
export interface AbsorptionFit {
  readonly coefficients: Float64Array;
  readonly place: readonly number[];
}

const likeSections = 3;
const mostRounds = 60;
// Third octaves beyond this much loss count ever less: what is left of them is hardly heard. [common practice]
const heardLossDb = 8;
// Where else the search begins: corners well up or further down, shelves deep or a fraction of a decibel.
const firstPlaces = [
  [0, 0, -3, -6],
  [-2, 0, -5, -6],
  [-3, -3, -6, -6],
];
// Slopes are taken over this step, in nepers of a corner. [common practice]
const slopeStep = 1e-5;

/**
 * Three like first-order sections and a single one whose loss comes nearest to `lossDb`, by damped least squares over the
 * logarithms of their corners (pole, and by how much the zero stands above it).
 * [source: Marquardt, J. SIAM 11 (1963) 431-441, from memory]
 *
 * @param before the neighbour's fit, from which to begin
 */
export function designAbsorption(
  sampleRateHz: number,
  frequenciesHz: readonly number[],
  lossDb: readonly number[],
  before: AbsorptionFit | null,
): AbsorptionFit {
  const warped = frequenciesHz.map((frequencyHz) => tan((Math.PI * frequencyHz) / sampleRateHz));
  const weights = lossDb.map((db) => 1 / (1 + (db / heardLossDb) * Math.sqrt(db / heardLossDb)));
  const errorsAt = (place: readonly number[]) => warped.map((x, i) => (lossOf(place, x) - lossDb[i]!) * weights[i]!);
  const starts = before === null ? firstPlaces : [before.place, ...firstPlaces];
  const ends = starts.map((start) => searched(start, errorsAt));
  const best = ends.reduce((a, b) => (b.size < a.size ? b : a));
  return { place: best.place, coefficients: coefficientsOf(best.place) };
}

function searched(start: readonly number[], errorsAt: (place: readonly number[]) => number[]) {
  let place: number[] = [...start];
  let errors = errorsAt(place);
  let damping = 1e-2;
  for (let round = 0; round < mostRounds && damping < 1e9; round++) {
    const slopes = place.map((_, k) => {
      const moved = errorsAt(place.map((value, j) => (j === k ? value + slopeStep : value)));
      return moved.map((e, i) => (e - errors[i]!) / slopeStep);
    });
    const normal = slopes.map((a) => slopes.map((b) => a.reduce((sum, v, i) => sum + v * b[i]!, 0)));
    const pull = slopes.map((a) => a.reduce((sum, v, i) => sum + v * errors[i]!, 0));
    const size = sizeOf(errors);
    for (; damping < 1e9; damping *= 4) {
      const damped = normal.map((row, k) => row.map((v, j) => (j === k ? v * (1 + damping) + 1e-12 : v)));
      const step = solve(damped, pull);
      const next = place.map((value, k) => Math.min(12, Math.max(-12, value - step[k]!)));
      const nextErrors = errorsAt(next);
      if (sizeOf(nextErrors) < size) {
        place = next;
        errors = nextErrors;
        damping *= 0.3;
        break;
      }
    }
  }
  return { place, size: sizeOf(errors) };
}

function sizeOf(errors: readonly number[]): number {
  return errors.reduce((sum, e) => sum + e * e, 0);
}

function lossOf(place: readonly number[], x: number): number {
  return likeSections * sectionLossDb(place[0]!, place[1]!, x) + sectionLossDb(place[2]!, place[3]!, x);
}

function sectionLossDb(pole: number, above: number, x: number): number {
  const poleAt = exp(pole);
  const zeroAt = poleAt + exp(above);
  const low = x / poleAt;
  const high = x / zeroAt;
  return 10 * log10((1 + low * low) / (1 + high * high));
}

// Bilinear transform of (1 + s/zero)/(1 + s/pole), corners already warped.
// [source: Oppenheim & Schafer, Discrete-Time Signal Processing, 3rd ed., 2010, 7.2]
function coefficientsOf(place: readonly number[]): Float64Array {
  const made = new Float64Array(PARAMETERS);
  for (let section = 0; section < 2; section++) {
    const pole = 1 / exp(place[2 * section]!);
    const zero = 1 / (exp(place[2 * section]!) + exp(place[2 * section + 1]!));
    made[3 * section] = (1 + zero) / (1 + pole);
    made[3 * section + 1] = (1 - zero) / (1 + pole);
    made[3 * section + 2] = (1 - pole) / (1 + pole);
  }
  return made;
}

/** Solves a small set of linear equations by elimination with the greatest pivot. */
export function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const size = right.length;
  const rows = matrix.map((row, k) => [...row, right[k]!]);
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let k = column + 1; k < size; k++) {
      if (Math.abs(rows[k]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = k;
    }
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    const own = rows[column]!;
    for (let k = column + 1; k < size; k++) {
      const share = rows[k]![column]! / own[column]!;
      for (let j = column; j <= size; j++) rows[k]![j] = rows[k]![j]! - share * own[j]!;
    }
  }
  const answer = new Array<number>(size).fill(0);
  for (let k = size - 1; k >= 0; k--) {
    let rest = rows[k]![size]!;
    for (let j = k + 1; j < size; j++) rest -= rows[k]![j]! * answer[j]!;
    answer[k] = rest / rows[k]![k]!;
  }
  return answer;
}
