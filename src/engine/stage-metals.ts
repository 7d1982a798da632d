import type { Motion } from "../gear/motion.js";
import { CylinderMetal } from "./cylinder-metal.js";
import type { EngineParts } from "./engine-parts.js";

/** The metal of every cylinder. */
export function makeMetals({ stages }: Motion, ambientK: number): CylinderMetal[] {
  return stages.flatMap(({ cylinder, cylinderCount }) =>
    Array.from({ length: cylinderCount }, () => new CylinderMetal(cylinder, ambientK)),
  );
}

/**
 * State only: metal between what its stage takes in and what it exhausts into.
 * @param chestK temperature of the chest; null: cold, as the machine at rest
 */
export function resetMetals(
  metals: readonly CylinderMetal[],
  { motion, receivers, states }: Pick<EngineParts, "motion" | "receivers" | "states">,
  chestK: number | null,
): void {
  for (let s = 0; s < motion.stages.length; s++) {
    const { firstCylinder, cylinderCount } = motion.stages[s]!;
    const afterK = s < receivers.length ? receivers[s]!.temperatureK : states.exhausted.temperatureK;
    const beforeK = s === 0 ? chestK : receivers[s - 1]!.temperatureK;
    const metalK = chestK === null || beforeK === null ? states.still.temperatureK : 0.5 * (beforeK + afterK);
    for (let k = firstCylinder; k < firstCylinder + cylinderCount; k++) metals[k]!.reset(metalK);
  }
}
