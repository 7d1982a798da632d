import type { CylinderGeometry, GearDescription, ValveGear } from "./gear-description.js";

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

/** The iron of one cylinder, counted from 0. */
export function cylinderOf(gear: GearDescription, index: number): CylinderGeometry {
  const stage = stagesOf(gear).find(({ firstCylinder, cylinderCount }) => index < firstCylinder + cylinderCount);
  return (stage ?? gear).cylinder;
}

/** Volume that the pistons of a stage sweep in a turn, both ends counted, rods left out of account, m3. */
export function sweptPerTurnM3({ cylinder, endCount }: Stage): number {
  return endCount * 0.25 * Math.PI * cylinder.boreM * cylinder.boreM * cylinder.strokeM;
}
