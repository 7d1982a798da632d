import { airProperties } from "./air-properties.js";
import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K } from "../quantities/constants.js";
import { LOWEST_WATER_TEMPERATURE_K, saturationEquation } from "./if97.js";
import { liquidEquation, vapourEquation } from "./if97-equations.js";
import { MIXED_AIR_HEAT_J_PER_KG_K, mixedAirEnergyJPerKg } from "./mixed-air.js";
import { SmoothTable } from "./smooth-table.js";

/** Where the values of a saturation line stand: pressure, and of liquid and vapour volume and internal energy. */
export const COLUMN_PRESSURE = 0;
export const COLUMN_LIQUID_VOLUME = 1;
export const COLUMN_VAPOUR_VOLUME = 2;
export const COLUMN_LIQUID_ENERGY = 3;
export const COLUMN_VAPOUR_ENERGY = 4;
/** Of the vapour once superheated under the same pressure: volume and enthalpy. */
export const COLUMN_HEATED_VOLUME = 5;
export const COLUMN_HEATED_ENTHALPY = 6;

// The triple point is a hundredth of a kelvin above; a kelvin to a step keeps pressure within 1e-7. [common practice]
const lowestK = LOWEST_WATER_TEMPERATURE_K + 0.01;
const stepK = 1;
const lineStepCount = 340;
const differenceK = 0.005; // [common practice]

/** Water and steam in equilibrium, 273.16 to 613.16 K (to 146 bar), from IF97. For set-up. @param superheatK of the heated vapour */
export function makeSaturationLine(superheatK: number): SmoothTable {
  const state = (temperatureK: number, into: Float64Array) => {
    const pressurePa = saturationEquation(temperatureK);
    const liquid = liquidEquation(temperatureK, pressurePa);
    const vapour = vapourEquation(temperatureK, pressurePa);
    const heated = superheatK > 0 ? vapourEquation(temperatureK + superheatK, pressurePa) : vapour;
    into[COLUMN_PRESSURE] = pressurePa;
    into[COLUMN_LIQUID_VOLUME] = liquid.volumeM3PerKg;
    into[COLUMN_VAPOUR_VOLUME] = vapour.volumeM3PerKg;
    into[COLUMN_LIQUID_ENERGY] = liquid.internalEnergyJPerKg;
    into[COLUMN_VAPOUR_ENERGY] = vapour.internalEnergyJPerKg;
    into[COLUMN_HEATED_VOLUME] = heated.volumeM3PerKg;
    into[COLUMN_HEATED_ENTHALPY] = heated.enthalpyJPerKg;
  };
  const below = new Float64Array(7);
  const above = new Float64Array(7);
  return new SmoothTable(lowestK, stepK, lineStepCount, 7, (temperatureK, values, slopes) => {
    state(temperatureK, values);
    state(temperatureK - differenceK, below);
    state(temperatureK + differenceK, above);
    for (let k = 0; k < 7; k++) slopes[k] = (above[k]! - below[k]!) / (2 * differenceK);
  });
}

// [common practice: steps of the table of air's energy, within 1e-9]
const airFirstK = 100;
const airStepK = 5;
const airStepCount = 220;

/**
 * Internal energy of air, 100 to 1200 K; its slope is the heat at constant volume. Among steam it is counted as
 * `mixedAirEnergyJPerKg` has it. For set-up.
 */
export function makeAirEnergy(isAmongSteam: boolean): SmoothTable {
  return new SmoothTable(airFirstK, airStepK, airStepCount, 1, (temperatureK, values, slopes) => {
    if (isAmongSteam) {
      values[0] = mixedAirEnergyJPerKg(temperatureK);
      slopes[0] = MIXED_AIR_HEAT_J_PER_KG_K;
      return;
    }
    const air = airProperties(temperatureK);
    values[0] = air.internalEnergyJPerKg;
    slopes[0] = air.specificHeatJPerKgK - DRY_AIR_GAS_CONSTANT_J_PER_KG_K;
  });
}
