import { dryStateAtTemperature, dryStateOnLine, findDryState, saturationAt } from "./dry-steam-search.js";
import {
  ROW_COUNT,
  ROW_EDGE_COUNT,
  MANTISSA_BITS,
  bitsOf,
  columnEdgeDensity,
  fillColumns,
  rowFraction,
} from "./fluid-table.js";
import type { EdgeEnergies, FluidTable } from "./fluid-table.js";
import { WATER_GAS_CONSTANT_J_PER_KG_K } from "./if97-coefficients.js";
import { HIGHEST_VAPOUR_TEMPERATURE_K } from "./if97.js";

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

const COLUMN_BASE = bitsOf(LOWEST_STEAM_DENSITY_KG_PER_M3);
const COLUMN_SHIFT = MANTISSA_BITS - COLUMNS_PER_OCTAVE_LOG2;
const columnOf = (density: number) => (bitsOf(density) - COLUMN_BASE) >> COLUMN_SHIFT;
const COLUMN_COUNT = columnOf(HIGHEST_STEAM_DENSITY_KG_PER_M3);
const DRY_COLUMN_COUNT = columnOf(HIGHEST_DRY_DENSITY);
const FIRST_WET_COLUMN = columnOf(LOWEST_WET_DENSITY);

function edgeVolume(edge: number): number {
  return 1 / columnEdgeDensity(COLUMN_BASE, COLUMN_SHIFT, edge);
}

/** Fills p/density and T of the dry part, and the energies between which it lies. Returns T at the end of the line. */
function fillDry(dry: Float64Array, energies: EdgeEnergies, lowestTemperatureK: number): number {
  const found = new Float64Array(2);
  const idealPa = lowestTemperatureK * WATER_GAS_CONSTANT_J_PER_KG_K;
  let lineTemperatureK = lowestTemperatureK;
  for (let edge = 0; edge <= DRY_COLUMN_COUNT; edge++) {
    const volume = edgeVolume(edge);
    const first =
      edge < FIRST_WET_COLUMN
        ? dryStateAtTemperature(volume, lowestTemperatureK, (0.99 * idealPa) / volume)
        : dryStateOnLine(volume, lineTemperatureK);
    const last = dryStateAtTemperature(volume, HIGHEST_VAPOUR_TEMPERATURE_K, first.pressurePa);
    const span = last.internalEnergyJPerKg - first.internalEnergyJPerKg;
    lineTemperatureK = first.temperatureK;
    energies.lower[edge] = first.internalEnergyJPerKg;
    energies.upper[edge] = last.internalEnergyJPerKg;
    let state = first;
    for (let row = 0; row <= ROW_COUNT; row++) {
      state = findDryState(volume, first.internalEnergyJPerKg + rowFraction(row) * span, state, found);
      const at = (edge * ROW_EDGE_COUNT + row) * 2;
      dry[at] = found[0]! * volume;
      dry[at + 1] = found[1]!;
    }
  }
  return lineTemperatureK;
}

/** Energy of wet steam is A(T) + B(T) v, since both it and the volume are shared out by the same quality. */
function fillSaturation(saturation: Float64Array, lowestTemperatureK: number, stepK: number): void {
  for (let step = 0; step <= SATURATION_STEP_COUNT; step++) {
    const { liquid, vapour } = saturationAt(lowestTemperatureK + step * stepK);
    const energyRise = vapour.internalEnergyJPerKg - liquid.internalEnergyJPerKg;
    const slope = energyRise / (vapour.volumeM3PerKg - liquid.volumeM3PerKg);
    saturation[step * 3] = liquid.internalEnergyJPerKg - slope * liquid.volumeM3PerKg;
    saturation[step * 3 + 1] = slope;
    saturation[step * 3 + 2] = vapour.pressurePa;
  }
}

/** Fills the place in the saturation table of wet states at the edges of columns and rows, and the floor. */
function fillWetStart(wetStart: Float32Array, energies: EdgeEnergies, saturation: Float64Array): void {
  const wetEnergy = (step: number, volume: number) => saturation[step * 3]! + saturation[step * 3 + 1]! * volume;
  for (let edge = FIRST_WET_COLUMN; edge <= COLUMN_COUNT; edge++) {
    const volume = edgeVolume(edge);
    const bottom = wetEnergy(0, volume);
    energies.floor[edge] = bottom;
    if (edge > DRY_COLUMN_COUNT) energies.lower[edge] = wetEnergy(SATURATION_STEP_COUNT, volume);
    const span = energies.lower[edge]! - bottom;
    let step = 0;
    for (let row = 0; row <= ROW_COUNT; row++) {
      const energy = bottom + rowFraction(row) * span;
      while (step < SATURATION_STEP_COUNT - 1 && wetEnergy(step + 1, volume) < energy) step++;
      const left = wetEnergy(step, volume);
      const place = step + (energy - left) / (wetEnergy(step + 1, volume) - left);
      wetStart[edge * ROW_EDGE_COUNT + row] = Math.max(0, Math.min(SATURATION_STEP_COUNT, place));
    }
  }
}

/** Makes the table of steam, dry and wet, from IF97. Takes some 50 to 100 ms. */
export function buildSteamTable(): FluidTable {
  const energies: EdgeEnergies = {
    floor: new Float64Array(COLUMN_COUNT + 1),
    lower: new Float64Array(COLUMN_COUNT + 1),
    upper: new Float64Array(COLUMN_COUNT + 1),
  };
  const dry = new Float64Array((DRY_COLUMN_COUNT + 1) * ROW_EDGE_COUNT * 2);
  const saturation = new Float64Array((SATURATION_STEP_COUNT + 1) * 3);
  const wetStart = new Float32Array((COLUMN_COUNT + 1) * ROW_EDGE_COUNT);
  const lowestTemperatureK = dryStateOnLine(1 / LOWEST_WET_DENSITY, TRIPLE_POINT_K).temperatureK;
  // The hottest wet state is the dry one at the last dry edge, so the two parts meet there.
  const hottestWetK = fillDry(dry, energies, lowestTemperatureK);
  const saturationStepK = (hottestWetK - lowestTemperatureK) / SATURATION_STEP_COUNT;
  fillSaturation(saturation, lowestTemperatureK, saturationStepK);
  fillWetStart(wetStart, energies, saturation);
  return {
    columnBase: COLUMN_BASE,
    columnShift: COLUMN_SHIFT,
    columnCount: COLUMN_COUNT,
    dryColumnCount: DRY_COLUMN_COUNT,
    firstWetColumn: FIRST_WET_COLUMN,
    lowestDensityKgPerM3: LOWEST_STEAM_DENSITY_KG_PER_M3,
    highestDensityKgPerM3: HIGHEST_STEAM_DENSITY_KG_PER_M3,
    columns: fillColumns(COLUMN_BASE, COLUMN_SHIFT, energies),
    dry,
    saturation,
    saturationStepCount: SATURATION_STEP_COUNT,
    lowestTemperatureK,
    saturationStepK,
    wetStart,
  };
}
