import { type CylinderGeometry, type GearDescription, isSettable, type LaterStage } from "./gear-description.js";
import { stagesOf } from "./stages.js";

/** @throws RangeError for the first size of the cylinders or cranks with which they could not turn */
export function requireCylinder(gear: GearDescription): void {
  requireIron(gear.cylinder, gear.valveGear.kind === "oscillating");
  if (gear.crankAnglesRad.length === 0) refuse("crankAngles", "at least one", 0, "Give one for each cylinder.");
  for (const angleRad of gear.crankAnglesRad) {
    if (!Number.isFinite(angleRad)) refuse("crankAngles", "finite", angleRad, "Give one for each cylinder.");
  }
  if (gear.laterStages !== undefined && gear.laterStages.length > 0) requireStages(gear, gear.laterStages);
}

function requireStages(gear: GearDescription, later: readonly LaterStage[]): void {
  if (!isSettable(gear.valveGear)) {
    const rule = "eccentric or events where other cylinders take the exhaust";
    throw new RangeError(`valveGear: kind must be ${rule}, got ${gear.valveGear.kind}. Leave the others out.`);
  }
  const { strokeM, connectingRodM, acting } = gear.cylinder;
  const [first, ...others] = stagesOf(gear);
  if (!(first!.cylinderCount >= 1)) {
    refuse("crankAngles", "one for each cylinder of every stage", gear.crankAnglesRad.length, "Give one for each.");
  }
  for (const { cylinderCount } of others) {
    if (!(Number.isInteger(cylinderCount) && cylinderCount >= 1)) {
      refuse("count", "a whole number, from 1, in every stage", cylinderCount, "Count the cylinders.");
    }
  }
  for (const { cylinder } of later) {
    requireIron(cylinder, false);
    const isAlike = cylinder.strokeM === strokeM && cylinder.connectingRodM === connectingRodM;
    if (!isAlike || cylinder.acting !== acting) {
      refuse(
        "stroke",
        `that of the first cylinders, ${strokeM} m, like rod and acting`,
        cylinder.strokeM,
        "Copy them.",
      );
    }
  }
}

function requireIron(cylinder: CylinderGeometry, isOscillating: boolean): void {
  const { boreM, strokeM, acting, connectingRodM, pistonRodM, clearanceRatio } = cylinder;
  if (!(boreM > 0 && boreM < Infinity)) refuse("bore", "more than 0 m", boreM, "Give the inside of the cylinder.");
  if (!(strokeM > 0 && strokeM < Infinity)) refuse("stroke", "more than 0 m", strokeM, "Give twice the crank radius.");
  if (!isOscillating && !(connectingRodM > strokeM / 2)) {
    refuse("connectingRod", `longer than the crank, ${strokeM / 2} m`, connectingRodM, "Measure it centre to centre.");
  }
  if (acting === "double" && !(pistonRodM >= 0 && pistonRodM < boreM)) {
    refuse("pistonRod", `from 0 to less than the bore, ${boreM} m`, pistonRodM, "Give the diameter of the rod.");
  }
  if (!(clearanceRatio >= 0 && clearanceRatio < Infinity)) {
    refuse("clearance", "0 or more", clearanceRatio, "It is the volume left at dead centre over the swept volume.");
  }
}

function refuse(name: string, rule: string, value: number, way: string): never {
  throw new RangeError(`cylinders: ${name} must be ${rule}, got ${value}. ${way}`);
}
