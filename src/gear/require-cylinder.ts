import type { GearDescription } from "./gear-description.js";

/** @throws RangeError for the first size of the cylinders or cranks with which they could not turn */
export function requireCylinder(gear: GearDescription): void {
  const { boreM, strokeM, acting, connectingRodM, pistonRodM, clearanceRatio } = gear.cylinder;
  if (!(boreM > 0 && boreM < Infinity)) refuse("bore", "more than 0 m", boreM, "Give the inside of the cylinder.");
  if (!(strokeM > 0 && strokeM < Infinity)) refuse("stroke", "more than 0 m", strokeM, "Give twice the crank radius.");
  if (gear.valveGear.kind !== "oscillating" && !(connectingRodM > strokeM / 2)) {
    refuse("connectingRod", `longer than the crank, ${strokeM / 2} m`, connectingRodM, "Measure it centre to centre.");
  }
  if (acting === "double" && !(pistonRodM >= 0 && pistonRodM < boreM)) {
    refuse("pistonRod", `from 0 to less than the bore, ${boreM} m`, pistonRodM, "Give the diameter of the rod.");
  }
  if (!(clearanceRatio >= 0 && clearanceRatio < Infinity)) {
    refuse("clearance", "0 or more", clearanceRatio, "It is the volume left at dead centre over the swept volume.");
  }
  if (gear.crankAnglesRad.length === 0) refuse("crankAngles", "at least one", 0, "Give one for each cylinder.");
  for (const angleRad of gear.crankAnglesRad) {
    if (!Number.isFinite(angleRad)) refuse("crankAngles", "finite", angleRad, "Give one for each cylinder.");
  }
}

function refuse(name: string, rule: string, value: number, way: string): never {
  throw new RangeError(`cylinders: ${name} must be ${rule}, got ${value}. ${way}`);
}
