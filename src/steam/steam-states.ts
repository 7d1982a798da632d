import type { FluidState } from "./fluid-state.js";
import { liquidEquation, vapourEquation } from "./if97-equations.js";
import type { WaterProperties } from "./if97-equations.js";
import {
  HIGHEST_VAPOUR_TEMPERATURE_K,
  LOWEST_SATURATION_PRESSURE_PA,
  LOWEST_WATER_TEMPERATURE_K,
  liquidProperties,
  saturatedLiquid,
  saturatedVapourProperties,
  saturationTemperatureK,
  vapourProperties,
} from "./if97.js";
import { requireBetween } from "./require-between.js";
import { solveTemperatureK } from "./solve-temperature.js";

// A temperature this close under the line is meant to be on it: saturation plus a superheat of nothing.
const LINE_TOLERANCE_K = 1e-6;

function stateOfOnePhase(water: WaterProperties, qualityRatio: 0 | 1 | null): FluidState {
  return {
    pressurePa: water.pressurePa,
    temperatureK: water.temperatureK,
    densityKgPerM3: 1 / water.volumeM3PerKg,
    internalEnergyJPerKg: water.internalEnergyJPerKg,
    enthalpyJPerKg: water.enthalpyJPerKg,
    entropyJPerKgK: water.entropyJPerKgK,
    qualityRatio,
    soundSpeedMPerS: water.soundSpeedMPerS,
  };
}

function wetState(liquid: WaterProperties, vapour: WaterProperties, x: number): FluidState {
  const mix = (l: number, v: number) => l + x * (v - l);
  const volume = mix(liquid.volumeM3PerKg, vapour.volumeM3PerKg);
  return {
    pressurePa: vapour.pressurePa,
    temperatureK: vapour.temperatureK,
    densityKgPerM3: 1 / volume,
    internalEnergyJPerKg: mix(liquid.internalEnergyJPerKg, vapour.internalEnergyJPerKg),
    enthalpyJPerKg: mix(liquid.enthalpyJPerKg, vapour.enthalpyJPerKg),
    entropyJPerKgK: mix(liquid.entropyJPerKgK, vapour.entropyJPerKgK),
    qualityRatio: x,
    soundSpeedMPerS: vapour.soundSpeedMPerS * Math.sqrt(volume / vapour.volumeM3PerKg),
  };
}

/** Dry saturated steam. @param pressurePa absolute, 611.213 Pa to 16.529 MPa; outside: RangeError */
export function saturatedVapour(pressurePa: number): FluidState {
  return stateOfOnePhase(saturatedVapourProperties(pressurePa), 1);
}

/** Steam, or water where it is colder than boiling; on the line, dry saturated steam. Pa, K; outside IF97: RangeError. */
export function steamFromPressureTemperature(pressurePa: number, temperatureK: number): FluidState {
  if (pressurePa >= LOWEST_SATURATION_PRESSURE_PA) {
    const lineK = saturationTemperatureK(pressurePa);
    if (Math.abs(temperatureK - lineK) <= LINE_TOLERANCE_K) return saturatedVapour(pressurePa);
    if (temperatureK < lineK) return stateOfOnePhase(liquidProperties(temperatureK, pressurePa), null);
  }
  return stateOfOnePhase(vapourProperties(temperatureK, pressurePa), null);
}

/** Steam of a pressure and enthalpy, wet included. Pa, J/kg; outside IF97: RangeError. */
export function steamFromPressureEnthalpy(pressurePa: number, enthalpyJPerKg: number): FluidState {
  return steamFromPressureAnd("enthalpyJPerKg", pressurePa, enthalpyJPerKg);
}

/** Steam of a pressure and entropy, wet included: the far end of an isentropic expansion. Pa, J/(kg K). */
export function steamFromPressureEntropy(pressurePa: number, entropyJPerKgK: number): FluidState {
  return steamFromPressureAnd("entropyJPerKgK", pressurePa, entropyJPerKgK);
}

function steamFromPressureAnd(
  name: "enthalpyJPerKg" | "entropyJPerKgK",
  pressurePa: number,
  target: number,
): FluidState {
  const isEnthalpy = name === "enthalpyJPerKg";
  const slopeOf = (water: WaterProperties) =>
    isEnthalpy ? water.specificHeatJPerKgK : water.specificHeatJPerKgK / water.temperatureK;
  const canBoil = pressurePa >= LOWEST_SATURATION_PRESSURE_PA;
  // Below the pressure of the coldest boiling there is vapour only, and the same search serves.
  const coldestVapour = canBoil
    ? saturatedVapourProperties(pressurePa)
    : vapourProperties(LOWEST_WATER_TEMPERATURE_K, pressurePa);
  let equation = vapourEquation;
  let start = coldestVapour;
  let lowestK = coldestVapour.temperatureK;
  let highestK = HIGHEST_VAPOUR_TEMPERATURE_K;
  if (canBoil && target <= coldestVapour[name]) {
    const liquid = saturatedLiquid(pressurePa);
    if (target >= liquid[name])
      return wetState(liquid, coldestVapour, (target - liquid[name]) / (coldestVapour[name] - liquid[name]));
    equation = liquidEquation;
    start = liquid;
    lowestK = LOWEST_WATER_TEMPERATURE_K;
    highestK = liquid.temperatureK;
  }
  const lowest = canBoil ? liquidEquation(LOWEST_WATER_TEMPERATURE_K, pressurePa)[name] : coldestVapour[name];
  const highest = vapourEquation(HIGHEST_VAPOUR_TEMPERATURE_K, pressurePa)[name];
  const where = isEnthalpy ? "stateFromPressureEnthalpy" : "stateFromPressureEntropy";
  const unit = isEnthalpy ? "J/kg" : "J/(kg K)";
  const hint = `At ${pressurePa} Pa that would be colder than 273.15 K or hotter than 1073.15 K.`;
  requireBetween(where, name, target, lowest, highest, unit, hint);
  const temperatureK = solveTemperatureK(
    target,
    lowestK,
    highestK,
    start.temperatureK + (target - start[name]) / slopeOf(start),
    (t) => equation(t, pressurePa)[name],
    (t) => slopeOf(equation(t, pressurePa)),
  );
  return stateOfOnePhase(equation(temperatureK, pressurePa), null);
}
