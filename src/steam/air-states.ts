import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K as R, STANDARD_ATMOSPHERE_PA } from "../quantities/constants.js";
import { log } from "../quantities/portable-maths.js";
import { HIGHEST_AIR_TEMPERATURE_K, LOWEST_AIR_TEMPERATURE_K, airProperties } from "./air-properties.js";
import type { FluidState } from "./fluid-state.js";
import { requireBetween } from "./require-between.js";
import { solveTemperatureK } from "./solve-temperature.js";

const RANGE_HINT = "Air is modelled from 100 K to 1200 K.";

/** Air of a pressure and temperature, ideal gas. Pa above 0, 100 to 1200 K; outside: RangeError. */
export function airFromPressureTemperature(pressurePa: number, temperatureK: number): FluidState {
  const where = "stateFromPressureTemperature";
  requirePressure(where, pressurePa);
  const lowest = LOWEST_AIR_TEMPERATURE_K;
  requireBetween(where, "temperatureK", temperatureK, lowest, HIGHEST_AIR_TEMPERATURE_K, "K", "Is it in kelvin?");
  return airState(pressurePa, temperatureK);
}

/** Air of a pressure and enthalpy. Pa, J/kg; hotter or colder than the model: RangeError. */
export function airFromPressureEnthalpy(pressurePa: number, enthalpyJPerKg: number): FluidState {
  const where = "stateFromPressureEnthalpy";
  requirePressure(where, pressurePa);
  const enthalpyAt = (t: number) => airProperties(t).enthalpyJPerKg;
  const lowest = enthalpyAt(LOWEST_AIR_TEMPERATURE_K);
  const highest = enthalpyAt(HIGHEST_AIR_TEMPERATURE_K);
  requireBetween(where, "enthalpyJPerKg", enthalpyJPerKg, lowest, highest, "J/kg", RANGE_HINT);
  const slopeAt = (t: number) => airProperties(t).specificHeatJPerKgK;
  return airState(pressurePa, solveAirK(enthalpyJPerKg, enthalpyAt, slopeAt));
}

/** Air of a pressure and entropy: the far end of an isentropic expansion. Pa, J/(kg K). */
export function airFromPressureEntropy(pressurePa: number, entropyJPerKgK: number): FluidState {
  const where = "stateFromPressureEntropy";
  requirePressure(where, pressurePa);
  const entropyAt = (t: number) => airEntropyJPerKgK(pressurePa, t);
  const lowest = entropyAt(LOWEST_AIR_TEMPERATURE_K);
  const highest = entropyAt(HIGHEST_AIR_TEMPERATURE_K);
  requireBetween(where, "entropyJPerKgK", entropyJPerKgK, lowest, highest, "J/(kg K)", RANGE_HINT);
  const slopeAt = (t: number) => airProperties(t).specificHeatJPerKgK / t;
  return airState(pressurePa, solveAirK(entropyJPerKgK, entropyAt, slopeAt));
}

function airEntropyJPerKgK(pressurePa: number, temperatureK: number): number {
  return airProperties(temperatureK).standardEntropyJPerKgK - R * log(pressurePa / STANDARD_ATMOSPHERE_PA);
}

function requirePressure(where: string, pressurePa: number): void {
  if (!(pressurePa > 0 && pressurePa < Infinity))
    throw new RangeError(`${where}: pressurePa must be above 0 Pa, got ${pressurePa} Pa. Give an absolute pressure.`);
}

function solveAirK(target: number, valueAt: (t: number) => number, slopeAt: (t: number) => number): number {
  return solveTemperatureK(target, LOWEST_AIR_TEMPERATURE_K, HIGHEST_AIR_TEMPERATURE_K, 300, valueAt, slopeAt);
}

function airState(pressurePa: number, temperatureK: number): FluidState {
  const air = airProperties(temperatureK);
  const heat = air.specificHeatJPerKgK;
  return {
    pressurePa,
    temperatureK,
    densityKgPerM3: pressurePa / (R * temperatureK),
    internalEnergyJPerKg: air.internalEnergyJPerKg,
    enthalpyJPerKg: air.enthalpyJPerKg,
    entropyJPerKgK: airEntropyJPerKgK(pressurePa, temperatureK),
    qualityRatio: null,
    soundSpeedMPerS: Math.sqrt((heat / (heat - R)) * R * temperatureK),
  };
}
