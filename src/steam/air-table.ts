import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K } from "../quantities/constants.js";
import { HIGHEST_AIR_TEMPERATURE_K, LOWEST_AIR_TEMPERATURE_K, airProperties } from "./air-properties.js";
import { MANTISSA_BITS, ROW_COUNT, ROW_EDGE_COUNT, bitsOf, fillColumns, rowFraction } from "./fluid-table.js";
import type { FluidTable } from "./fluid-table.js";

/** Lowest density of the air table. 84 Pa at 300 K. [common practice] */
export const LOWEST_AIR_DENSITY_KG_PER_M3 = 1 / 1024;

/** Highest density of the air table. 200 bar at 20 °C. [common practice] */
export const HIGHEST_AIR_DENSITY_KG_PER_M3 = 256;

/** Makes the table of air: ideal gas, so every column edge holds the same rows. One column an octave. */
export function buildAirTable(): FluidTable {
  const columnBase = bitsOf(LOWEST_AIR_DENSITY_KG_PER_M3);
  const columnShift = MANTISSA_BITS;
  const columnCount = (bitsOf(HIGHEST_AIR_DENSITY_KG_PER_M3) - columnBase) >> columnShift;
  const coldest = airProperties(LOWEST_AIR_TEMPERATURE_K).internalEnergyJPerKg;
  const hottest = airProperties(HIGHEST_AIR_TEMPERATURE_K).internalEnergyJPerKg;
  const edgeLength = ROW_EDGE_COUNT * 2;
  const dry = new Float64Array((columnCount + 1) * edgeLength);
  let temperatureK = LOWEST_AIR_TEMPERATURE_K;
  for (let row = 0; row <= ROW_COUNT; row++) {
    const energy = coldest + rowFraction(row) * (hottest - coldest);
    for (let k = 0; k < 20; k++) {
      const air = airProperties(temperatureK);
      const step = (energy - air.internalEnergyJPerKg) / (air.specificHeatJPerKgK - DRY_AIR_GAS_CONSTANT_J_PER_KG_K);
      temperatureK += step;
      if (Math.abs(step) < 1e-9) break;
    }
    dry[row * 2] = DRY_AIR_GAS_CONSTANT_J_PER_KG_K * temperatureK;
    dry[row * 2 + 1] = temperatureK;
  }
  for (let edge = 1; edge <= columnCount; edge++) dry.copyWithin(edge * edgeLength, 0, edgeLength);
  const lower = new Float64Array(columnCount + 1).fill(coldest);
  const upper = new Float64Array(columnCount + 1).fill(hottest);
  return {
    columnBase,
    columnShift,
    columnCount,
    dryColumnCount: columnCount,
    firstWetColumn: columnCount,
    lowestDensityKgPerM3: LOWEST_AIR_DENSITY_KG_PER_M3,
    highestDensityKgPerM3: HIGHEST_AIR_DENSITY_KG_PER_M3,
    columns: fillColumns(columnBase, columnShift, { floor: lower, lower, upper }),
    dry,
    saturation: new Float64Array(6),
    saturationStepCount: 1,
    lowestTemperatureK: LOWEST_AIR_TEMPERATURE_K,
    saturationStepK: 1,
    wetStart: new Float32Array(0),
  };
}
