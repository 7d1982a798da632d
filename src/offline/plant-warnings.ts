import type { Engine } from "../engine/engine.js";

/** What a boiler went through in a render that its keeper should know. */
export function plantWarnings({ plant, supply }: Pick<Engine, "plant" | "supply">): string[] {
  if (plant === null || plant.isHeld) return [];
  const warnings: string[] = [];
  if (supply.faintWhistleSinceS >= 0) {
    warnings.push(
      `The whistle was opened at ${supply.faintWhistleSinceS.toFixed(0)} s with no steam up: it is silent until there is. Open it later.`,
    );
  }
  if (plant.lowWaterSinceS >= 0) {
    warnings.push(
      `Low water from ${plant.lowWaterSinceS.toFixed(0)} s on: the plates over the fire are no longer covered. ` +
        `On a real boiler draw the fire and call the competent person; do not feed cold water onto bare plates.`,
    );
  }
  if (plant.heldCount > 0) {
    warnings.push(
      `The boiler was asked for more than it could give, or boiled dry or over, ${plant.heldCount} times, and was held.`,
    );
  }
  return warnings;
}
