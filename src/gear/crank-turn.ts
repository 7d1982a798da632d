import { cos, sin } from "../quantities/portable-maths.js";

// Between two of these points a sine needs three terms of its series for every digit of a double.
const POINT_COUNT = 1024;
const STEP_RAD = (2 * Math.PI) / POINT_COUNT;

/**
 * Cosine and sine of every crank for one shaft angle: one look into a table for the shaft, then a rotation for each
 * crank. Everything passes through typed arrays, because a number handed to or from a function that the compiler does
 * not take in is a new number on the heap.
 */
export class CrankTurn {
  /** Written by the caller before `turn`: the shaft angle, any number of turns, either sign. */
  readonly shaftRad = new Float64Array(1);
  /** One entry per cylinder. Absolute error below 1e-15 in the first turns, growing as the last digit of the angle. */
  readonly cosine: Float64Array;
  readonly sine: Float64Array;
  private readonly offsetCosine: Float64Array;
  private readonly offsetSine: Float64Array;
  /** Cosine and sine at each point of a turn. */
  private readonly points = new Float64Array(2 * POINT_COUNT);

  /** @param offsetsRad shaft angle + offset = crank angle, one for each cylinder */
  constructor(offsetsRad: Float64Array) {
    this.cosine = new Float64Array(offsetsRad.length);
    this.sine = new Float64Array(offsetsRad.length);
    this.offsetCosine = offsetsRad.map((angle) => cos(angle));
    this.offsetSine = offsetsRad.map((angle) => sin(angle));
    for (let i = 0; i < POINT_COUNT; i++) {
      this.points[2 * i] = cos(i * STEP_RAD);
      this.points[2 * i + 1] = sin(i * STEP_RAD);
    }
  }

  /** Fills `cosine` and `sine` for `shaftRad`. */
  turn(): void {
    const { cosine, sine, offsetCosine, offsetSine, points } = this;
    const shaftRad = this.shaftRad[0]!;
    const count = Math.floor(shaftRad / STEP_RAD + 0.5);
    const point = count - POINT_COUNT * Math.floor(count / POINT_COUNT);
    const rest = shaftRad - count * STEP_RAD;
    const r2 = rest * rest;
    const restSine = rest * (1 - r2 * (1 / 6 - r2 * (1 / 120)));
    const restVersed = r2 * (0.5 - r2 * (1 / 24 - r2 * (1 / 720)));
    const pointCosine = points[2 * point]!;
    const pointSine = points[2 * point + 1]!;
    const shaftCosine = pointCosine - (pointCosine * restVersed + pointSine * restSine);
    const shaftSine = pointSine + (pointCosine * restSine - pointSine * restVersed);
    for (let k = 0; k < cosine.length; k++) {
      cosine[k] = shaftCosine * offsetCosine[k]! - shaftSine * offsetSine[k]!;
      sine[k] = shaftSine * offsetCosine[k]! + shaftCosine * offsetSine[k]!;
    }
  }
}
