import { acos, cos, sin } from "../quantities/portable-maths.js";

/** `outward` runs from the head-end dead centre to the crank end, `return` back again. */
export type Stroke = "outward" | "return";

/**
 * Piston position from the cosine and sine of the crank angle, for callers that already hold them.
 *
 * @param rodRatio connecting rod over crank radius, above 1; `Infinity` is harmonic motion
 * @returns share of the stroke travelled from the head-end dead centre, 0 to 1
 */
export function pistonPositionOf(cosine: number, sine: number, rodRatio: number): number {
  // n - sqrt(n^2 - s^2), written so that nothing cancels and a rod without end gives 0.
  const obliquity = (sine * sine) / (rodRatio + Math.sqrt(rodRatio * rodRatio - sine * sine));
  return 0.5 * (1 - cosine + obliquity);
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
  return pistonPositionOf(cos(crankRad), sin(crankRad), rodRatio);
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
