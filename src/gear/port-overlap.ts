import { acos } from "../quantities/portable-maths.js";

/**
 * Share of a circle covered by an equal one.
 *
 * @param distanceRatio distance between the centres over the diameter, from 0; 1 and more: nothing is covered
 * @returns 1 where the centres meet, 0 where the circles only touch
 */
export function lensShare(distanceRatio: number): number {
  if (distanceRatio >= 1) return 0;
  const x = distanceRatio;
  return (2 / Math.PI) * (acos(x) - x * Math.sqrt(1 - x * x));
}

// The lens is smooth over the distance while that is below 0.707 of the diameter, and over the half height beyond.
const SPAN = 0.7071067811865476;
const CELL_COUNT = 64;

/**
 * Open area of two equal round ports by the distance between their centres. The exact lens is tabulated at set-up with
 * its slope, so that running needs a square root and a few products; it stays within 1e-7 of the port's area.
 */
export class PortOverlap {
  readonly portAreaM2: number;
  private readonly inverseDiameter2: number;
  /** Value and rise per cell at each node: over the distance, and over the half height of the lens. */
  private readonly byDistance = new Float64Array(2 * (CELL_COUNT + 1));
  private readonly byHeight = new Float64Array(2 * (CELL_COUNT + 1));

  constructor(portDiameterM: number) {
    this.portAreaM2 = 0.25 * Math.PI * portDiameterM * portDiameterM;
    this.inverseDiameter2 = 1 / (portDiameterM * portDiameterM);
    const cell = SPAN / CELL_COUNT;
    for (let i = 0; i <= CELL_COUNT; i++) {
      const x = i * cell;
      const other = Math.sqrt(1 - x * x);
      this.byDistance[2 * i] = lensShare(x);
      this.byDistance[2 * i + 1] = (-4 / Math.PI) * other * cell;
      this.byHeight[2 * i] = lensShare(other);
      this.byHeight[2 * i + 1] = ((4 / Math.PI) * x * x * cell) / other;
    }
  }

  /**
   * Writes the open areas for the squares of the distances between the centres. Arrays, because a number handed to or
   * from a function may be a new number on the heap.
   */
  fill(distance2M2: Float64Array, areaM2: Float64Array): void {
    const { byDistance, byHeight, inverseDiameter2, portAreaM2 } = this;
    for (let k = 0; k < distance2M2.length; k++) {
      const x2 = distance2M2[k]! * inverseDiameter2;
      areaM2[k] = 0;
      if (x2 >= 1) continue;
      const isNear = x2 <= 0.5;
      const table = isNear ? byDistance : byHeight;
      const at = Math.sqrt(isNear ? x2 : 1 - x2) * (CELL_COUNT / SPAN);
      const i = Math.min(CELL_COUNT - 1, Math.floor(at));
      const t = at - i;
      const value = table[2 * i]!;
      const slope = table[2 * i + 1]!;
      const rise = table[2 * i + 2]! - value;
      const bend = slope + table[2 * i + 3]! - 2 * rise;
      areaM2[k] = portAreaM2 * (value + t * (slope + t * (rise - slope - bend + t * bend)));
    }
  }
}
