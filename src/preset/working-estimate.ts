import type { EngineDescription } from "../engine/engine-description.js";
import { type GearDescription, isSettable, type ValveGear } from "../gear/gear-description.js";
import { stagesOf, sweptPerTurnM3 } from "../gear/stages.js";
import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K } from "../quantities/constants.js";
import { log } from "../quantities/portable-maths.js";
import { saturatedVapour, steamFromPressureTemperature } from "../steam/steam-states.js";
import { saturationTemperatureK } from "../steam/if97.js";
import { SMALL_BORE_M } from "./cylinder-defaults.js";
import type { MachineKind } from "./machine-schema.js";
import { fullGearCutoffRatio } from "./valve-defaults.js";

/** By what the handbooks reckon the work and the steam of an engine before it is built. */
export const WORKING_ESTIMATE = {
  /** Cut-off at which a machine that is notched up or governed does its day's work. [common practice] */
  cutoffRatio: 0.4,
  /** The same of a locomotive. [common practice] */
  locomotiveCutoffRatio: 0.3,
  /** Initial pressure over the boiler's, both absolute. [source: Steam Engines, Machinery's Reference Series No. 70, 1911, initial pressure] */
  initialPressureRatio: 0.95,
  /** Back pressure over the air outside, 2 lb/in2. [source: Steam Engines, Machinery's Reference Series No. 70, 1911, back pressure] */
  backPressurePa: 13_790,
  /** Area of the diagram over the theoretical. [source: Steam Engines, Machinery's Reference Series No. 70, 1911, small medium-speed engines] */
  diagramRatio: 0.85,
  /** The same of a compound, all cylinders together, 0.6 to 0.8. [common practice] */
  compoundDiagramRatio: 0.7,
  /** Least mean pressure over that of the boiler above the air. [common practice] */
  leastMeanRatio: 0.1,
  /** Steam shut up again in compression, over that which is let in. [source: Steam Engines, Machinery's Reference Series No. 70, 1911, steam by the diagram: 0.049 of 0.369 lb] */
  retainedRatio: 0.13,
  /** Steam used over that which the diagram shows; a fifth condenses. [source: Steam Engines, Machinery's Reference Series No. 70, 1911, steam by the diagram: 33.1 for 26.5 lb/ihp-h] */
  missingQuantity: 1.25,
} as const;

/** Names of what the estimate of steam is worked out from. */
export const WORKING_NAMES = [
  "cylinders.bore",
  "cylinders.stroke",
  "cylinders.count",
  "valveGear",
  "boiler.pressure",
  "boiler.superheat",
  "speed",
  "kind",
  "wheels",
] as const;

/** What a machine may be expected to use and to give at its own speed. */
export interface WorkingEstimate {
  readonly cutoffRatio: number;
  readonly massFlowKgPerS: number;
  readonly meanPressurePa: number;
  /** Swept volume of one end of the last cylinders. */
  readonly sweptM3: number;
  /** Work of one stroke of one end. */
  readonly strokeWorkJ: number;
  /** Mean torque at the shaft, friction not taken off. */
  readonly torqueNm: number;
  /** Of the steam or air as it leaves the boiler. */
  readonly enthalpyJPerKg: number;
}

// The steam tables' own ends, a little inside. [common practice]
const LEAST_STEAM_PA = 1e4;
const MOST_STEAM_PA = 16e6;
const HOTTEST_STEAM_K = 1073;

function supplyState(fluid: "steam" | "air", pressurePa: number, temperatureK: number) {
  if (fluid === "air") {
    const densityKgPerM3 = pressurePa / (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * temperatureK);
    return { densityKgPerM3, enthalpyJPerKg: 0 };
  }
  const pa = Math.min(MOST_STEAM_PA, Math.max(LEAST_STEAM_PA, pressurePa));
  const lineK = saturationTemperatureK(pa);
  // A hair of superheat would be read as water off the line.
  return temperatureK <= lineK + 1
    ? saturatedVapour(pa)
    : steamFromPressureTemperature(pa, Math.min(HOTTEST_STEAM_K, temperatureK));
}

function fullCutoffRatio(valveGear: ValveGear): number {
  // Oscillating cylinders and pumps without a crank take steam to near the end of the stroke. [common practice]
  if (!isSettable(valveGear)) return 0.95;
  return valveGear.kind === "events"
    ? valveGear.fullGearCutoffRatio
    : fullGearCutoffRatio(valveGear.travelM / 2, valveGear.steamLapM, valveGear.leadM);
}

/**
 * Pressure before each stage after the first over that before the first, in full gear: pressure times volume up to cut-off is
 * the same for all. For gears as read, which need not be able to work.
 */
export function laterPressureRatios(gear: GearDescription): number[] {
  const [first, ...later] = stagesOf(gear).map((stage) => fullCutoffRatio(stage.valveGear) * sweptPerTurnM3(stage));
  return later.map((size) => Math.min(1, first! / size));
}

function workingCutoffRatio(kind: MachineKind, gear: GearDescription): number {
  const { valveGear, cylinder } = gear;
  const full = fullCutoffRatio(valveGear);
  if (!isSettable(valveGear)) return full;
  const { cutoffRatio, locomotiveCutoffRatio } = WORKING_ESTIMATE;
  const notchedUp = kind === "locomotive" ? locomotiveCutoffRatio : cutoffRatio;
  const isSmall = kind === "model" || cylinder.boreM < SMALL_BORE_M;
  return Math.min(0.95, Math.max(0.1, isSmall ? full : Math.min(full, notchedUp)));
}

/** Estimates a machine's work and steam at its own speed, by the theoretical diagram with clearance. */
export function estimateWorking(
  kind: MachineKind,
  gear: GearDescription,
  workingFluid: "steam" | "air",
  boiler: EngineDescription["boiler"],
  ambientPa: number,
  condenserPa: number | null,
  speedRpm: number,
): WorkingEstimate {
  const stages = stagesOf(gear);
  const last = stages.at(-1)!;
  const { boreM, strokeM } = last.cylinder;
  // As if all were done in the last cylinders: the mean pressure is referred to them.
  const expansion = sweptPerTurnM3(stages[0]!) / sweptPerTurnM3(last);
  const k = expansion * gear.cylinder.clearanceRatio;
  const cutoffRatio = workingCutoffRatio(kind, gear);
  const c = expansion * cutoffRatio;
  const sweptM3 = (Math.PI / 4) * boreM * boreM * strokeM;
  const initialPa = WORKING_ESTIMATE.initialPressureRatio * boiler.pressurePa;
  const backPa = condenserPa ?? ambientPa + WORKING_ESTIMATE.backPressurePa;
  const forwardRatio = c + (c + k) * log((1 + k) / (c + k));
  const leastPa = WORKING_ESTIMATE.leastMeanRatio * Math.max(1000, boiler.pressurePa - ambientPa);
  const { diagramRatio, compoundDiagramRatio } = WORKING_ESTIMATE;
  const fullness = stages.length > 1 ? compoundDiagramRatio : diagramRatio;
  const meanPressurePa = Math.max(leastPa * expansion, fullness * (initialPa * forwardRatio - backPa));
  const strokesPerTurn = last.endCount;
  const { densityKgPerM3 } = supplyState(workingFluid, initialPa, boiler.temperatureK);
  const { missingQuantity, retainedRatio } = WORKING_ESTIMATE;
  const shownKg = (1 - retainedRatio) * (c + k) * sweptM3 * densityKgPerM3;
  const perTurnKg = strokesPerTurn * shownKg * missingQuantity;
  const strokeWorkJ = meanPressurePa * sweptM3;
  return {
    cutoffRatio,
    massFlowKgPerS: (perTurnKg * Math.abs(speedRpm)) / 60,
    meanPressurePa,
    sweptM3,
    strokeWorkJ,
    torqueNm: (strokeWorkJ * strokesPerTurn) / (2 * Math.PI),
    enthalpyJPerKg: supplyState(workingFluid, boiler.pressurePa, boiler.temperatureK).enthalpyJPerKg,
  };
}
