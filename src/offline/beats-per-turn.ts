import type { EngineDescription } from "../engine/engine-description.js";
import { isCrankless, isSettable } from "../gear/gear-description.js";
import { caution } from "./caution.js";
import { eventsReport } from "./events-report.js";
import { beatsPerDoubleStroke } from "./steady-pump.js";

/**
 * Distinct exhaust beats of a turn, or of a double stroke where there is no crank; 0 with a condenser.
 *
 * @param cutoffRatio nominal, signed; null is full gear; without effect on a gear that cannot be set
 */
export function beatsPerTurnOf(description: EngineDescription, cutoffRatio: number | null): number {
  const { gear, exhaust, speedRpm } = description;
  const exhaustsToAir = exhaust.condenser === null;
  if (isCrankless(gear)) return beatsPerDoubleStroke(gear, exhaustsToAir);
  return eventsReport({
    ...{ gear, cutoffRatio: isSettable(gear.valveGear) ? cutoffRatio : null, exhaustsToAir, speedRpm, caution },
    ...{ relativeLevelsDb: null, assumed: [], warnings: [] },
  }).beatsPerTurn;
}
