import { fullGearCutoffRatio, resolveCutoff } from "../gear/equivalent-eccentric.js";
import { isSettable } from "../gear/gear-description.js";
import { type Stage, stagesOf, sweptPerTurnM3 } from "../gear/stages.js";
import { valveDimensions } from "../gear/valve-dimensions.js";
import type { FluidState } from "../steam/fluid-state.js";
import type { EngineDescription } from "./engine-description.js";
import { exhaustEnthalpyJPerKg } from "./exhaust-estimate.js";

// A receiver found at work stands above what the machine exhausts into by so much at least. [common practice]
const leastReceiverRatio = 1.05;

/** Nominal cut-off of a stage in full gear, 0 to 1. */
function fullCutoffRatio({ valveGear }: Stage): number {
  return isSettable(valveGear) ? fullGearCutoffRatio(valveDimensions(valveGear)) : 1;
}

/**
 * Pressure before each stage in full gear, Pa: what goes through one stage goes through the next, so that pressure times
 * volume up to cut-off is the same for all. [source: textbook theory of compound engines, hyperbolic expansion, from memory]
 */
export function stagePressuresPa(description: EngineDescription, outsidePa: number): number[] {
  const { gear, boiler } = description;
  const [first, ...later] = stagesOf(gear);
  const sentOn = boiler.pressurePa * fullCutoffRatio(first!) * sweptPerTurnM3(first!);
  let beforePa = boiler.pressurePa;
  const receiversPa = later.map((stage) => {
    const ideal = sentOn / (fullCutoffRatio(stage) * sweptPerTurnM3(stage));
    const least = Math.min(leastReceiverRatio * outsidePa, beforePa);
    beforePa = Math.min(beforePa, Math.max(least, ideal));
    return beforePa;
  });
  return [boiler.pressurePa, ...receiversPa];
}

/** Mean enthalpy of what a stage, counted from 0, exhausts in full gear at a back pressure, J/kg; set-up only. */
export function stageExhaustJPerKg(
  { gear }: EngineDescription,
  boiler: FluidState,
  stage: number,
  backPa: number,
): number {
  const stages = stagesOf(gear);
  const expansion = sweptPerTurnM3(stages[0]!) / sweptPerTurnM3(stages[stage]!);
  return exhaustEnthalpyJPerKg(
    boiler.pressurePa,
    boiler.densityKgPerM3,
    boiler.enthalpyJPerKg,
    backPa,
    expansion * (resolveCutoff(gear, null).cutoffRatio ?? 1),
    expansion * gear.cylinder.clearanceRatio,
  );
}
