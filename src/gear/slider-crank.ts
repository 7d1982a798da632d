import { acos, cos, sin } from "../quantities/portable-maths.js";

/** `outward` runs from the head-end dead centre to the crank end, `return` back again. */
export type Stroke = "outward" | "return";

/** The slider-cranks of a machine's cylinders, all of one rod ratio, exact, with their finite rods. */
export class SliderCranks {
  /** @param rodRatio connecting rod over crank radius, above 1; `Infinity` is harmonic motion */
  constructor(private readonly rodRatio: number) {}

  /**
   * Writes where the pistons stand: share of the stroke from the head-end dead centre, 0 to 1.
   *
   * @param cosine of the crank angle of each cylinder; `sine` and `position` have the same length
   */
  fill(cosine: Float64Array, sine: Float64Array, position: Float64Array): void {
    const n = this.rodRatio;
    for (let k = 0; k < cosine.length; k++) {
      const s = sine[k]!;
      // The rod's slant, n - sqrt(n^2 - s^2), written so that nothing cancels and a rod without end gives 0.
      position[k] = 0.5 * (1 - cosine[k]! + (s * s) / (n + Math.sqrt(n * n - s * s)));
    }
  }

  /** Writes the first and second derivative of those positions by the crank angle, 1/rad and 1/rad2. */
  fillSlopes(cosine: Float64Array, sine: Float64Array, slope: Float64Array, curvature: Float64Array): void {
    const n = this.rodRatio;
    for (let k = 0; k < cosine.length; k++) {
      const c = cosine[k]!;
      const s = sine[k]!;
      const along = 1 / Math.sqrt(n * n - s * s);
      const product = s * c * along;
      slope[k] = 0.5 * (s + product);
      curvature[k] = 0.5 * (c + ((c - s) * (c + s) + product * product) * along);
    }
  }
}

/**
 * Piston position of a slider-crank, exact, with its finite rod.
 *
 * @param crankRad crank angle from the head-end dead centre, any number of turns, either sign
 * @param rodRatio connecting rod over crank radius, above 1; `Infinity` is harmonic motion
 * @returns share of the stroke travelled from the head-end dead centre, 0 to 1
 * @example
 * pistonPositionRatio(Math.PI / 2, 4); // 0.56351: past mid-stroke at the quarter
 */
export function pistonPositionRatio(crankRad: number, rodRatio: number): number {
  const position = new Float64Array(1);
  new SliderCranks(rodRatio).fill(Float64Array.of(cos(crankRad)), Float64Array.of(sin(crankRad)), position);
  return position[0]!;
}

/**
 * Crank angle at which a share of one stroke is done.
 *
 * @param strokeRatio share of that stroke, 0 to 1, from its own dead centre
 * @param rodRatio connecting rod over crank radius, above 1; `Infinity` is harmonic motion
 * @returns angle from that stroke's own dead centre, 0 to pi rad
 * @throws RangeError for a share outside 0 to 1 or a rod not longer than the crank
 */
export function crankAngleOfStrokeRad(strokeRatio: number, rodRatio: number, stroke: Stroke): number {
  if (!(strokeRatio >= 0 && strokeRatio <= 1)) {
    throw new RangeError(
      `crankAngleOfStrokeRad: strokeRatio must be from 0 to 1, got ${strokeRatio}. Give the share of one stroke.`,
    );
  }
  if (!(rodRatio > 1)) {
    throw new RangeError(
      `crankAngleOfStrokeRad: rodRatio must be above 1, got ${rodRatio}. Give the rod over the crank radius.`,
    );
  }
  const fromHead = stroke === "outward" ? strokeRatio : 1 - strokeRatio;
  const angle = acos(cosineAtPosition(fromHead, rodRatio));
  return stroke === "outward" ? angle : Math.PI - angle;
}

/** Cosine rule in the triangle of crank centre, crank pin and crosshead, lengths in crank radii. */
function cosineAtPosition(positionRatio: number, rodRatio: number): number {
  const fromMiddle = 1 - 2 * positionRatio;
  if (rodRatio === Infinity) return fromMiddle;
  const crossheadDistance = rodRatio + fromMiddle;
  const cosine = (1 + fromMiddle * (2 * rodRatio + fromMiddle)) / (2 * crossheadDistance);
  return Math.min(1, Math.max(-1, cosine));
}
