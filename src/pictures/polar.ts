import { cos, sin } from "../quantities/portable-maths.js";
import { coordinate } from "./svg-text.js";

/** A point from the middle of the ring; y falls towards the top of the page. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Where a shaft angle falls at a radius: 0 at the top, forward is clockwise. */
export function pointAt(angleDeg: number, radius: number): Point {
  const angleRad = (angleDeg * Math.PI) / 180;
  return { x: radius * sin(angleRad), y: -radius * cos(angleRad) };
}

/** `x y` of a point, for a path. */
export function pathPoint(angleDeg: number, radius: number): string {
  const { x, y } = pointAt(angleDeg, radius);
  return `${coordinate(x)} ${coordinate(y)}`;
}

/**
 * An open arc as the `d` of a path.
 *
 * @param sweepDeg signed: positive runs clockwise; up to a whole turn
 */
export function arcPath(radius: number, fromDeg: number, sweepDeg: number): string {
  const way = sweepDeg < 0 ? 0 : 1;
  const r = coordinate(radius);
  // A path has no arc of a whole turn, so that every arc goes in two halves.
  const middle = pathPoint(fromDeg + sweepDeg / 2, radius);
  const end = pathPoint(fromDeg + sweepDeg, radius);
  return `M${pathPoint(fromDeg, radius)}A${r} ${r} 0 0 ${way} ${middle}A${r} ${r} 0 0 ${way} ${end}`;
}

// Chords this short leave the arc by less than a hundredth of a unit at the ring's radius.
const LONGEST_CHORD_DEG = 1;

/**
 * A closed band that stands on a circle, of a height that changes evenly along it, as the `d` of a path.
 *
 * @param radius of the circle on which it stands
 * @param sweepDeg signed as for `arcPath`
 */
export function bandPath(
  radius: number,
  fromHeight: number,
  toHeight: number,
  fromDeg: number,
  sweepDeg: number,
): string {
  const steps = Math.max(1, Math.ceil(Math.abs(sweepDeg) / LONGEST_CHORD_DEG));
  const outer: string[] = [];
  const inner: string[] = [];
  for (let i = 0; i <= steps; i++) {
    const angleDeg = fromDeg + (sweepDeg * i) / steps;
    outer.push(pathPoint(angleDeg, radius + fromHeight + ((toHeight - fromHeight) * i) / steps));
    inner.push(pathPoint(angleDeg, radius));
  }
  return `M${outer.join("L")}L${inner.reverse().join("L")}Z`;
}

/** A turn that stands a text on the circle at an angle, head up: for a group whose origin is on the line of the text. */
export function standingOn(angleDeg: number, radius: number): string {
  const inTurn = angleDeg - 360 * Math.floor(angleDeg / 360);
  const isBelow = inTurn > 90 && inTurn < 270;
  const { x, y } = pointAt(angleDeg, radius);
  return `translate(${coordinate(x)} ${coordinate(y)}) rotate(${coordinate(isBelow ? inTurn - 180 : inTurn)})`;
}
