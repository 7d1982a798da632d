import {
  ROW_COUNT,
  ROW_EDGE_COUNT,
  MANTISSA_BITS,
  bitsOf,
  columnEdgeDensity,
  fillColumns,
  rowFraction,
} from "./fluid-table.js";
import type { FluidTable } from "./fluid-table.js";
import { WATER_GAS_CONSTANT_J_PER_KG_K } from "./if97-coefficients.js";
import { liquidEquation, vapourEquation } from "./if97-equations.js";
import type { WaterProperties } from "./if97-equations.js";
import { HIGHEST_VAPOUR_TEMPERATURE_K, saturationEquation } from "./if97.js";

/** Coldest state within the range that the steam table is held to. [source: IAPWS R7-97(2012), eq. 9, triple point] */
export const TRIPLE_POINT_K = 273.16;

/** Lowest density of the steam table. [tuned: 0.5 kPa at 1073 K against IF97, next power of two below, 2026-11-25] */
export const LOWEST_STEAM_DENSITY_KG_PER_M3 = 1 / 1024;

/** Highest density of the steam table: steam of 15 bar with 5 % of vapour. [common practice] */
export const HIGHEST_STEAM_DENSITY_KG_PER_M3 = 128;

// Dry saturated steam of this density has 101 bar: the first column edge beyond 100 bar.
// The other is the last edge below the density of dry steam at the triple point; there, at 272.5 K, the table begins, so
// that its corner stands on an edge. The equations run on smoothly over the 0.7 K below their range.
const HIGHEST_DRY_DENSITY = 56;
const LOWEST_WET_DENSITY = 19 / 4096;
const COLUMNS_PER_OCTAVE_LOG2 = 4;
const SATURATION_STEP_COUNT = 640;

interface Saturation {
  readonly liquid: WaterProperties;
  readonly vapour: WaterProperties;
}

function saturationAt(temperatureK: number): Saturation {
  const pressurePa = saturationEquation(temperatureK);
  return { liquid: liquidEquation(temperatureK, pressurePa), vapour: vapourEquation(temperatureK, pressurePa) };
}

/** Dry saturated vapour of a density; Newton along the line, whose slope dp/dT is Clapeyron's. */
function dryStateOnLine(volume: number, startK: number): WaterProperties {
  let temperatureK = startK;
  for (let k = 0; k < 30; k++) {
    const { liquid, vapour } = saturationAt(temperatureK);
    const slope = (vapour.entropyJPerKgK - liquid.entropyJPerKgK) / (vapour.volumeM3PerKg - liquid.volumeM3PerKg);
    const error = vapour.volumeM3PerKg - volume;
    if (Math.abs(error) < 1e-11 * volume) return vapour;
    temperatureK -= error / (vapour.volumePerTemperature + vapour.volumePerPressure * slope);
  }
  return saturationAt(temperatureK).vapour;
}

/** Vapour of a density at a temperature. */
function dryStateAtTemperature(volume: number, temperatureK: number, startPa: number): WaterProperties {
  let state = vapourEquation(temperatureK, startPa);
  for (let k = 0; k < 30 && Math.abs(state.volumeM3PerKg - volume) > 1e-12 * volume; k++) {
    const pressurePa = state.pressurePa - (state.volumeM3PerKg - volume) / state.volumePerPressure;
    state = vapourEquation(temperatureK, Math.max(pressurePa, 0.5 * state.pressurePa));
  }
  return state;
}

/**
 * Vapour of a density and internal energy, from a state nearby. Writes pressure and temperature to `found`; returns the
 * last state worked out, to start the next search from. Newton squares the error, so the last step needs no look back.
 */
function findDryState(volume: number, energy: number, start: WaterProperties, found: Float64Array): WaterProperties {
  let state = start;
  for (let k = 0; k < 30; k++) {
    const { temperatureK: t, pressurePa: p, volumePerTemperature: vT, volumePerPressure: vP } = state;
    const uT = state.specificHeatJPerKgK - p * vT;
    const uP = -t * vT - p * vP;
    const dv = volume - state.volumeM3PerKg;
    const du = energy - state.internalEnergyJPerKg;
    const determinant = vP * uT - vT * uP;
    found[0] = p + (uT * dv - vT * du) / determinant;
    found[1] = t + (vP * du - uP * dv) / determinant;
    if (Math.abs(dv) < 3e-5 * volume && Math.abs(du) < 30) break;
    state = vapourEquation(found[1], found[0]);
  }
  return state;
}

/** Makes the table of steam, dry and wet, from IF97. Takes a few tens of milliseconds. */
export function buildSteamTable(): FluidTable {
  const columnBase = bitsOf(LOWEST_STEAM_DENSITY_KG_PER_M3);
  const columnShift = MANTISSA_BITS - COLUMNS_PER_OCTAVE_LOG2;
  const columnCount = (bitsOf(HIGHEST_STEAM_DENSITY_KG_PER_M3) - columnBase) >> columnShift;
  const dryColumnCount = (bitsOf(HIGHEST_DRY_DENSITY) - columnBase) >> columnShift;
  const firstWetColumn = (bitsOf(LOWEST_WET_DENSITY) - columnBase) >> columnShift;
  const edgeVolume = (edge: number) => 1 / columnEdgeDensity(columnBase, columnShift, edge);

  const floor = new Float64Array(columnCount + 1);
  const lower = new Float64Array(columnCount + 1);
  const upper = new Float64Array(columnCount + 1);
  const dry = new Float64Array((dryColumnCount + 1) * ROW_EDGE_COUNT * 2);
  const lowestTemperatureK = dryStateOnLine(1 / LOWEST_WET_DENSITY, TRIPLE_POINT_K).temperatureK;
  let lineTemperatureK = lowestTemperatureK;
  for (let edge = 0; edge <= dryColumnCount; edge++) {
    const volume = edgeVolume(edge);
    const first =
      edge < firstWetColumn
        ? dryStateAtTemperature(
            volume,
            lowestTemperatureK,
            (0.99 * lowestTemperatureK * WATER_GAS_CONSTANT_J_PER_KG_K) / volume,
          )
        : dryStateOnLine(volume, lineTemperatureK);
    lineTemperatureK = first.temperatureK;
    const last = dryStateAtTemperature(volume, HIGHEST_VAPOUR_TEMPERATURE_K, first.pressurePa);
    lower[edge] = first.internalEnergyJPerKg;
    upper[edge] = last.internalEnergyJPerKg;
    let state = first;
    const found = new Float64Array(2);
    for (let row = 0; row <= ROW_COUNT; row++) {
      const energy =
        first.internalEnergyJPerKg + rowFraction(row) * (last.internalEnergyJPerKg - first.internalEnergyJPerKg);
      state = findDryState(volume, energy, state, found);
      const at = (edge * ROW_EDGE_COUNT + row) * 2;
      dry[at] = found[0]! * volume;
      dry[at + 1] = found[1]!;
    }
  }

  // The hottest wet state is the dry one at the last dry edge, so the two parts meet there.
  const saturationStepK = (lineTemperatureK - lowestTemperatureK) / SATURATION_STEP_COUNT;
  const saturation = new Float64Array((SATURATION_STEP_COUNT + 1) * 3);
  for (let step = 0; step <= SATURATION_STEP_COUNT; step++) {
    const { liquid, vapour } = saturationAt(lowestTemperatureK + step * saturationStepK);
    const slope =
      (vapour.internalEnergyJPerKg - liquid.internalEnergyJPerKg) / (vapour.volumeM3PerKg - liquid.volumeM3PerKg);
    saturation[step * 3] = liquid.internalEnergyJPerKg - slope * liquid.volumeM3PerKg;
    saturation[step * 3 + 1] = slope;
    saturation[step * 3 + 2] = vapour.pressurePa;
  }
  const wetEnergy = (step: number, volume: number) => saturation[step * 3]! + saturation[step * 3 + 1]! * volume;
  for (let edge = dryColumnCount + 1; edge <= columnCount; edge++) {
    lower[edge] = wetEnergy(SATURATION_STEP_COUNT, edgeVolume(edge));
    upper[edge] = lower[edge]!;
  }
  const wetStart = new Float32Array((columnCount + 1) * ROW_EDGE_COUNT);
  for (let edge = firstWetColumn; edge <= columnCount; edge++) {
    const volume = edgeVolume(edge);
    const bottom = wetEnergy(0, volume);
    floor[edge] = bottom;
    let step = 0;
    for (let row = 0; row <= ROW_COUNT; row++) {
      const energy = bottom + rowFraction(row) * (lower[edge]! - bottom);
      while (step < SATURATION_STEP_COUNT - 1 && wetEnergy(step + 1, volume) < energy) step++;
      const left = wetEnergy(step, volume);
      const place = step + (energy - left) / (wetEnergy(step + 1, volume) - left);
      wetStart[edge * ROW_EDGE_COUNT + row] = Math.max(0, Math.min(SATURATION_STEP_COUNT, place));
    }
  }

  return {
    columnBase,
    columnShift,
    columnCount,
    dryColumnCount,
    firstWetColumn,
    lowestDensityKgPerM3: LOWEST_STEAM_DENSITY_KG_PER_M3,
    highestDensityKgPerM3: HIGHEST_STEAM_DENSITY_KG_PER_M3,
    columns: fillColumns(columnBase, columnShift, { floor, lower, upper }),
    dry,
    saturation,
    saturationStepCount: SATURATION_STEP_COUNT,
    lowestTemperatureK,
    saturationStepK,
    wetStart,
  };
}
