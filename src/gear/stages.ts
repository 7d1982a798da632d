import { fullGearCutoffRatio } from "./equivalent-eccentric.js";
import { type CylinderGeometry, type GearDescription, isSettable, type ValveGear } from "./gear-description.js";
import { valveDimensions } from "./valve-dimensions.js";

/** Cylinders that expand the same steam side by side, and their places among all cylinders and ends, counted from 0. */
export interface Stage {
  readonly cylinder: CylinderGeometry;
  readonly valveGear: ValveGear;
  readonly firstCylinder: number;
  readonly cylinderCount: number;
  readonly firstEnd: number;
  readonly endCount: number;
}

/** The stages of a machine in the order in which steam goes through them; a simple machine has one. */
export function stagesOf(gear: Omit<GearDescription, "faults">): Stage[] {
  const later = gear.laterStages ?? [];
  const perCylinder = gear.cylinder.acting === "double" ? 2 : 1;
  let firstCylinder = 0;
  const firstCount = later.reduce((rest, { cylinderCount }) => rest - cylinderCount, gear.crankAnglesRad.length);
  const first = { cylinder: gear.cylinder, cylinderCount: firstCount, valveGear: gear.valveGear };
  return [first, ...later].map(({ cylinder, cylinderCount, valveGear }) => {
    const stage: Stage = {
      cylinder,
      valveGear,
      firstCylinder,
      cylinderCount,
      firstEnd: firstCylinder * perCylinder,
      endCount: cylinderCount * perCylinder,
    };
    firstCylinder += cylinderCount;
    return stage;
  });
}

/** The stage that exhausts to the air or the condenser. */
export function lastStageOf(gear: Omit<GearDescription, "faults">): Stage {
  return stagesOf(gear).at(-1)!;
}

/** The stage of one cylinder, counted from 0; past the last one: the last. */
export function stageOf(gear: Omit<GearDescription, "faults">, index: number): Stage {
  const stages = stagesOf(gear);
  return stages.find(({ firstCylinder, cylinderCount }) => index < firstCylinder + cylinderCount) ?? stages.at(-1)!;
}

/** Volume that the pistons of a stage sweep in a turn, both ends counted, rods left out of account, m3. */
export function sweptPerTurnM3({ cylinder, endCount }: Stage): number {
  return endCount * 0.25 * Math.PI * cylinder.boreM * cylinder.boreM * cylinder.strokeM;
}

/**
 * Pressure that stands before each stage in full gear over that before the first: what goes through one stage goes through
 * the next, so that pressure times volume up to cut-off is the same for all. [source: W. H. P. Creighton, The Steam-Engine and Other Heat-Motors, p. 311, hyperbolic expansion, clearance left out]
 */
export function stagePressureRatios(gear: GearDescription): number[] {
  const sizes = stagesOf(gear).map((stage) => {
    const { valveGear } = stage;
    const cutoff = isSettable(valveGear) ? fullGearCutoffRatio(valveDimensions(valveGear)) : 1;
    return cutoff * sweptPerTurnM3(stage);
  });
  return sizes.map((size) => Math.min(1, sizes[0]! / size));
}
