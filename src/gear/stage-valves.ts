import type { CrankTurn } from "./crank-turn.js";
import { fullGearQuarterThrowM } from "./equivalent-eccentric.js";
import type { CylinderFaults } from "./faults-of-gear.js";
import type { EccentricGear, EventsGear } from "./gear-description.js";
import { HarmonicValves } from "./harmonic-valves.js";
import type { Stage } from "./stages.js";
import { type ValveDimensions, valveDimensions } from "./valve-dimensions.js";

/**
 * Share of its full throw within which the first gear takes the later ones over with it: beyond they stand in full gear,
 * forward or backward, and in mid gear all stand in mid gear. [common practice: one reversing shaft, the high pressure alone linked up]
 */
export const SWING_OVER_RATIO = 0.2;

/** The valves of one stage, which read and write its own stretch of the whole machine's arrays. */
export class StageValves {
  readonly valve: ValveDimensions;
  readonly valves: HarmonicValves;
  readonly admission: "outside" | "inside";
  /** A greater opening than this does not widen the port. */
  readonly openingMaxM: number;
  readonly firstEnd: number;
  readonly firstCylinder: number;

  private readonly cosine: Float64Array;
  private readonly sine: Float64Array;
  private readonly steamAreaM2: Float64Array;
  private readonly exhaustAreaM2: Float64Array;
  private readonly valveMPerRad: Float64Array;
  private readonly fullQuarterM: number;
  private readonly quarterM = new Float64Array(1);

  /** Stands in full forward gear. @param faults of all cylinders @param ends areas of all ends */
  constructor(
    stage: Stage,
    gear: EccentricGear | EventsGear,
    faults: readonly CylinderFaults[],
    turn: CrankTurn,
    ends: { readonly steamAreaM2: Float64Array; readonly exhaustAreaM2: Float64Array },
    valveMPerRad: Float64Array,
  ) {
    const { firstEnd, endCount, firstCylinder, cylinderCount } = stage;
    this.valve = valveDimensions(gear);
    const own = faults.slice(firstCylinder, firstCylinder + cylinderCount);
    this.valves = new HarmonicValves(this.valve, own, endCount === 2 * cylinderCount ? 2 : 1);
    this.admission = gear.admission;
    this.openingMaxM = gear.portWidthM;
    this.firstEnd = firstEnd;
    this.firstCylinder = firstCylinder;
    this.cosine = stretch(turn.cosine, firstCylinder, cylinderCount);
    this.sine = stretch(turn.sine, firstCylinder, cylinderCount);
    this.valveMPerRad = stretch(valveMPerRad, firstCylinder, cylinderCount);
    this.steamAreaM2 = stretch(ends.steamAreaM2, firstEnd, endCount);
    this.exhaustAreaM2 = stretch(ends.exhaustAreaM2, firstEnd, endCount);
    this.fullQuarterM = fullGearQuarterThrowM(this.valve);
    this.valves.setQuarterThrow(this.fullQuarterM);
  }

  /** Settings only: as the first gear stands, by its throw and that of its full gear. */
  follow(firstQuarterM: Float64Array, firstFullQuarterM: number): void {
    const share = firstQuarterM[0]! / (SWING_OVER_RATIO * firstFullQuarterM);
    this.quarterM[0] = this.fullQuarterM * (share > 1 ? 1 : share < -1 ? -1 : share);
    this.valves.takeQuarterThrow(this.quarterM);
  }

  /** Writes the open areas for the cranks as they stand. */
  fillAreas(): void {
    this.valves.fillAreas(this.cosine, this.sine, this.steamAreaM2, this.exhaustAreaM2);
  }

  /** Writes how far each valve moves for a radian of crank, positive towards uncovering the head-end steam port. */
  fillSlopes(): void {
    this.valves.fillSlopes(this.cosine, this.sine, this.valveMPerRad);
  }
}

/** Part of an array, or the array itself where that is all of it. */
function stretch(array: Float64Array, first: number, count: number): Float64Array {
  return first === 0 && count === array.length ? array : array.subarray(first, first + count);
}
