import { ExhaustGas } from "../flow/exhaust-gas.js";
import type { MouthSurroundings } from "../flow/mouth.js";
import { stagesOf } from "../gear/stages.js";
import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K, DRY_AIR_ISENTROPIC_EXPONENT } from "../quantities/constants.js";
import type { FluidState } from "../steam/fluid-state.js";
import { mixedAirState } from "../steam/mixed-air.js";
import { fitPipeGas } from "../steam/pipe-gas.js";
import { stateFromPressureEnthalpy, stateFromPressureTemperature } from "../steam/state-from.js";
import { saturatedVapour } from "../steam/steam-states.js";
import { createAir, createSteam, type WorkingFluid } from "../steam/working-fluid.js";
import type { EngineDescription } from "./engine-description.js";
import { smokeboxDensityKgPerM3, smokeboxSoundSpeedMPerS } from "./exhaust-network.js";
import { stageExhaustJPerKg } from "./stage-estimate.js";

/** The states of the working fluid that a machine starts from and is surrounded by. */
export interface FluidStates {
  readonly boiler: FluidState;
  /** What leaks in from the open air; of a steam machine with its energy counted as mixed with steam. */
  readonly air: FluidState;
  /** What fills the machine at rest: air, or the condenser's vapour. */
  readonly still: FluidState;
  /** Share of air among steam in what comes from the open, and in what fills the machine at rest: 1 or 0. */
  readonly airRatio: number;
  readonly stillAirRatio: number;
  /** The working fluid as it stands in the pipes of a machine at work: dry saturated steam, or air, at the outside pressure. */
  readonly exhausted: FluidState;
  readonly outsidePa: number;
}

// Table of pipe enthalpies: range and size. [tuned: kink at the saturation line stays within 0.2 % of p v, 2026-11]
const enthalpyCount = 512;
const enthalpyRangeJPerKg = { steam: [0.75e6, 4.0e6], air: [1.2e5, 1.25e6] } as const;

/** The working fluid's tables. */
export function makeFluid(name: "steam" | "air"): WorkingFluid {
  return name === "steam" ? createSteam() : createAir();
}

/** Boiler, air and rest states. @throws RangeError outside the tables */
export function fluidStates(description: EngineDescription, fluid: WorkingFluid): FluidStates {
  const { boiler, ambient, exhaust } = description;
  const condenserPa = exhaust.condenser?.pressurePa ?? null;
  const isSteam = description.workingFluid === "steam";
  const air = isSteam
    ? mixedAirState(ambient.pressurePa, ambient.temperatureK)
    : stateFromPressureTemperature(fluid, ambient.pressurePa, ambient.temperatureK);
  const isSaturated = isSteam && boiler.superheatK <= 0;
  const outsidePa = condenserPa ?? ambient.pressurePa;
  const exhausted = isSteam
    ? saturatedVapour(outsidePa)
    : stateFromPressureTemperature(fluid, outsidePa, ambient.temperatureK);
  return {
    boiler: isSaturated
      ? saturatedVapour(boiler.pressurePa)
      : stateFromPressureTemperature(fluid, boiler.pressurePa, boiler.temperatureK),
    air,
    still: condenserPa === null ? air : exhausted,
    airRatio: isSteam ? 1 : 0,
    stillAirRatio: isSteam && condenserPa === null ? 1 : 0,
    exhausted,
    outsidePa,
  };
}

/** The pipes' gas, fitted to the machine's mean exhaust in full gear. */
export function makeExhaustGas(description: EngineDescription, fluid: WorkingFluid, states: FluidStates): ExhaustGas {
  const lastStage = stagesOf(description.gear).length - 1;
  const mean = stageExhaustJPerKg(description, states.boiler, lastStage, states.outsidePa);
  const [first, last] = enthalpyRangeJPerKg[description.workingFluid];
  const held = Math.min(Math.max(mean, first * 1.02), last * 0.98);
  const gas = fitPipeGas(fluid, states.outsidePa, held);
  const specificWork = (enthalpyJPerKg: number) =>
    states.outsidePa / stateFromPressureEnthalpy(fluid, states.outsidePa, enthalpyJPerKg).densityKgPerM3;
  const exhaustGas = new ExhaustGas(gas, specificWork, first, last, enthalpyCount);
  if (states.airRatio > 0) {
    const airLatent = states.air.enthalpyJPerKg - exhaustGas.airPipeEnthalpy(states.air.temperatureK);
    exhaustGas.airLatentRiseJPerKg = airLatent - (held - exhaustGas.pipeEnthalpyFor(held));
  }
  return exhaustGas;
}

/** What stands outside the mouths: open air, smokebox or condenser. */
export function surroundingsOf(description: EngineDescription, states: FluidStates): MouthSurroundings {
  const { ambient, exhaust } = description;
  const boxK = exhaust.smokebox?.temperatureK ?? null;
  const { still, stillAirRatio } = states;
  // The gas of a smokebox counts as air.
  const drawn = stillAirRatio > 0 && boxK !== null ? mixedAirState(states.outsidePa, boxK) : still;
  return {
    pressurePa: states.outsidePa,
    densityKgPerM3:
      boxK === null
        ? ambient.pressurePa / (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * ambient.temperatureK)
        : smokeboxDensityKgPerM3(ambient.pressurePa, boxK),
    soundSpeedMPerS:
      boxK === null
        ? Math.sqrt(DRY_AIR_ISENTROPIC_EXPONENT * DRY_AIR_GAS_CONSTANT_J_PER_KG_K * ambient.temperatureK)
        : smokeboxSoundSpeedMPerS(boxK),
    inflowDensityKgPerM3: drawn.densityKgPerM3,
    inflowEnthalpyJPerKg: drawn.enthalpyJPerKg,
    inflowAirRatio: stillAirRatio,
    radiates: exhaust.condenser === null,
  };
}

/** Speed of sound of what comes from the boiler, m/s. */
export function boilerSoundSpeedMPerS({ boiler }: FluidStates, exponent: number): number {
  return Math.sqrt((exponent * boiler.pressurePa) / boiler.densityKgPerM3);
}
