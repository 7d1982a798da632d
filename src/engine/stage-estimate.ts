import { resolveCutoff } from "../gear/equivalent-eccentric.js";
import { stagePressureRatios, stagesOf, sweptPerTurnM3 } from "../gear/stages.js";
import type { FluidState } from "../steam/fluid-state.js";
import type { EngineDescription } from "./engine-description.js";
import { exhaustEnthalpyJPerKg } from "./exhaust-estimate.js";

// A receiver found at work stands above what the machine exhausts into by so much at least. [common practice]
const leastReceiverRatio = 1.05;

/** Pressure before each stage in full gear, Pa. */
export function stagePressuresPa({ gear, boiler }: EngineDescription, outsidePa: number): number[] {
  let beforePa = boiler.pressurePa;
  return stagePressureRatios(gear).map((ratio) => {
    const least = Math.min(leastReceiverRatio * outsidePa, beforePa);
    beforePa = Math.min(beforePa, Math.max(least, ratio * boiler.pressurePa));
    return beforePa;
  });
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
