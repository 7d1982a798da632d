import { DRY_AIR_ISENTROPIC_EXPONENT } from "../quantities/constants.js";
import { buildAirTable } from "./air-table.js";
import {
  BITS_OF_ONE,
  COLUMN_DENSITY,
  COLUMN_INVERSE_WIDTH,
  COLUMN_LOWER,
  COLUMN_LOWER_RISE,
  COLUMN_STRIDE,
  COLUMN_DRY_SPREAD,
  COLUMN_DRY_SPREAD_RISE,
  COLUMN_WET_SPREAD,
  COLUMN_WET_SPREAD_RISE,
  ROW_COUNT,
  ROW_EDGE_COUNT,
  ROW_SHIFT,
  HIGHEST_Y,
  rowEdges,
  rowInverseHeights,
} from "./fluid-table.js";
import type { FluidTable } from "./fluid-table.js";
import { buildSteamTable } from "./steam-table.js";

/**
 * Exponent for the flow of steam through openings, dry or wet: droplets are too slow to follow the expansion.
 * [tuned: choked flow against IF97 isentropes, within 1 % superheated and 5 % saturated, 2026-11-25]
 */
export const STEAM_FLOW_EXPONENT = 1.3;

/** Exponent for the flow of air through openings. [source: ISO 2533:1975, Standard Atmosphere, 2.1] */
export const AIR_FLOW_EXPONENT = DRY_AIR_ISENTROPIC_EXPONENT;

const floats = new Float32Array(1);
const words = new Int32Array(floats.buffer);

// A place found within its step needs one look; a poor start a few more; two steps can differ by rounding only.
const MOST_STEPS_TO_PLACE = 64;

/**
 * Pressure and temperature of steam or air of known density and internal energy, both per the tables made from IF97
 * or from the molecules of air. Wet steam is in equilibrium.
 *
 * Steam: 2^-10 to 128 kg/m3, 273.16 to 1073.15 K, to 100 bar. Air: 2^-10 to 256 kg/m3, 100 to 1200 K.
 * Outside, the nearest state of the table is given and counted: one for the density, one for the energy.
 *
 * ```ts
 * const steam = createSteam();
 * steam.lookup(0.5976, 2.506e6); // kg/m3, J/kg
 * steam.pressurePa; // 101 324, dry saturated steam of one atmosphere
 * ```
 */
export class WorkingFluid {
  /**
   * What `look` writes: pressure in Pa; temperature in K; of wet gas the energy short of the saturation line, J/kg. Where
   * `hasSlopes` is set, also the rise of temperature and of pressure with internal energy, K and Pa per J/kg. And, only where
   * the energy lay beyond the table, by how much, J/kg: negative below, positive above.
   */
  readonly answer = new Float64Array(6);
  /** 1 when the last state looked up lies below the saturation line, else 0. */
  isWet = 0;
  /** Whether `look` gives the slopes too: 1 or 0. */
  hasSlopes = 0;
  /** How many values looked up lay outside the table. Anyone may set it back to 0. */
  outOfRangeCount = 0;
  private readonly columnBase: number;
  private readonly columnShift: number;
  private readonly columnCount: number;
  private readonly dryColumnCount: number;
  private readonly firstWetColumn: number;
  private readonly lowestDensity: number;
  private readonly highestDensity: number;
  private readonly columns: Float64Array;
  private readonly dry: Float64Array;
  private readonly wetStart: Float32Array;
  private readonly saturation: Float64Array;
  private readonly saturationStepCount: number;
  private readonly lowestTemperature: number;
  private readonly saturationStepK: number;

  /** Use `createSteam` or `createAir`. */
  constructor(
    readonly name: "steam" | "air",
    /** For the port flow functions. */
    readonly isentropicExponent: number,
    table: FluidTable,
  ) {
    this.columnBase = table.columnBase;
    this.columnShift = table.columnShift;
    this.columnCount = table.columnCount;
    this.dryColumnCount = table.dryColumnCount;
    this.firstWetColumn = table.firstWetColumn;
    this.lowestDensity = table.lowestDensityKgPerM3;
    this.highestDensity = table.highestDensityKgPerM3;
    this.columns = table.columns;
    this.dry = table.dry;
    this.wetStart = table.wetStart;
    this.saturation = table.saturation;
    this.saturationStepCount = table.saturationStepCount;
    this.lowestTemperature = table.lowestTemperatureK;
    this.saturationStepK = table.saturationStepK;
  }

  /**
   * What `look` reads: density in kg/m3, then internal energy in J/kg. A loop writes here, because numbers handed to a
   * function too long to be woven into its caller would each take 16 bytes of the heap.
   */
  readonly query = new Float64Array(2);

  /**
   * Where `look` begins to search the saturation line, and after a wet answer where it ended: whoever follows one volume
   * hands back what it was left. -1 is nowhere yet. The answer does not depend on it.
   */
  nearStep = -1;

  /** Writes `pressurePa`, `temperatureK` and `isWet`. Any number is legal, NaN included. */
  lookup(densityKgPerM3: number, internalEnergyJPerKg: number): void {
    this.query[0] = densityKgPerM3;
    this.query[1] = internalEnergyJPerKg;
    this.nearStep = -1;
    this.look();
  }

  /** Of the last state looked up. */
  get pressurePa(): number {
    return this.answer[0]!;
  }

  /** Of the last state looked up. */
  get temperatureK(): number {
    return this.answer[1]!;
  }

  /** The same for the state in `query`, answered in `answer` and `isWet`. */
  look(): void {
    const columns = this.columns;
    let density = this.query[0]!;
    const energy = this.query[1]!;
    if (!(density >= this.lowestDensity)) {
      density = this.lowestDensity;
      this.outOfRangeCount++;
    } else if (density > this.highestDensity) {
      density = this.highestDensity;
      this.outOfRangeCount++;
    }
    floats[0] = density;
    let column = (words[0]! - this.columnBase) >> this.columnShift;
    if (column >= this.columnCount) column = this.columnCount - 1;
    const at = column * COLUMN_STRIDE;
    const across = (density - columns[at + COLUMN_DENSITY]!) * columns[at + COLUMN_INVERSE_WIDTH]!;
    const above = energy - columns[at + COLUMN_LOWER]! - across * columns[at + COLUMN_LOWER_RISE]!;
    if (column < this.dryColumnCount && (above >= 0 || column < this.firstWetColumn)) {
      const dry = this.dry;
      const spread = columns[at + COLUMN_DRY_SPREAD]! + across * columns[at + COLUMN_DRY_SPREAD_RISE]!;
      const unbound = 1 + above * spread;
      if (!(unbound >= 1)) {
        this.answer[5] = above;
        this.outOfRangeCount++;
      } else if (unbound > HIGHEST_Y) {
        this.answer[5] = above - (HIGHEST_Y - 1) / spread;
        this.outOfRangeCount++;
      }
      // Branches that set the number to the table's end would make it one of the heap, once they have been taken.
      const y = Math.min(HIGHEST_Y, unbound >= 1 ? unbound : 1);
      floats[0] = y;
      let row = (words[0]! - BITS_OF_ONE) >> ROW_SHIFT;
      if (row >= ROW_COUNT) row = ROW_COUNT - 1;
      const up = (y - rowEdges[row]!) * rowInverseHeights[row]!;
      const left = (column * ROW_EDGE_COUNT + row) * 2;
      const right = left + ROW_EDGE_COUNT * 2;
      const dq0 = dry[left + 2]! - dry[left]!;
      const dq1 = dry[right + 2]! - dry[right]!;
      const dt0 = dry[left + 3]! - dry[left + 1]!;
      const dt1 = dry[right + 3]! - dry[right + 1]!;
      const q0 = dry[left]! + up * dq0;
      const q1 = dry[right]! + up * dq1;
      const t0 = dry[left + 1]! + up * dt0;
      const t1 = dry[right + 1]! + up * dt1;
      this.answer[0] = density * (q0 + across * (q1 - q0));
      this.answer[1] = t0 + across * (t1 - t0);
      this.answer[2] = 0;
      this.isWet = 0;
      if (this.hasSlopes === 0) return;
      const perEnergy = spread * rowInverseHeights[row]!;
      this.answer[3] = perEnergy * (dt0 + across * (dt1 - dt0));
      this.answer[4] = perEnergy * density * (dq0 + across * (dq1 - dq0));
      return;
    }
    // On the line energy is A(T) + B(T) v, so temperature follows from a table of one dimension; the table of starts
    // only saves the search.
    const saturation = this.saturation;
    const volume = 1 / density;
    const lastStep = this.saturationStepCount - 1;
    let step = this.nearStep;
    if (step < 0) {
      const spread = columns[at + COLUMN_WET_SPREAD]! + across * columns[at + COLUMN_WET_SPREAD_RISE]!;
      // One expression: branches that set the number would make it one of the heap. NaN ends in the last row.
      const wetStart = this.wetStart;
      const y = Math.max(1, Math.min(HIGHEST_Y, HIGHEST_Y + above * spread));
      floats[0] = y;
      let row = (words[0]! - BITS_OF_ONE) >> ROW_SHIFT;
      if (row >= ROW_COUNT) row = ROW_COUNT - 1;
      const up = (y - rowEdges[row]!) * rowInverseHeights[row]!;
      const left = column * ROW_EDGE_COUNT + row;
      const right = left + ROW_EDGE_COUNT;
      const s0 = wetStart[left]! + up * (wetStart[left + 1]! - wetStart[left]!);
      const s1 = wetStart[right]! + up * (wetStart[right + 1]! - wetStart[right]!);
      step = (s0 + across * (s1 - s0)) | 0;
    }
    if (step > lastStep) step = lastStep;
    for (let k = 0; k < MOST_STEPS_TO_PLACE; k++) {
      const from = step * 3;
      const start = saturation[from]! + saturation[from + 1]! * volume;
      const share = (energy - start) / (saturation[from + 3]! + saturation[from + 4]! * volume - start);
      if (share >= 0 && share < 1) break;
      const next = step + Math.floor(share);
      const nearest = !(next > 0) ? 0 : next > lastStep ? lastStep : next | 0;
      if (nearest === step) break;
      step = nearest;
    }
    this.nearStep = step;
    const found = step * 3;
    const foundJPerKg = saturation[found]! + saturation[found + 1]! * volume;
    const spanJPerKg = saturation[found + 3]! + saturation[found + 4]! * volume - foundJPerKg;
    let within = (energy - foundJPerKg) / spanJPerKg;
    if (!(within >= 0)) {
      this.answer[5] = energy - foundJPerKg;
      within = 0;
      this.outOfRangeCount++;
    } else if (within > 1) {
      this.answer[5] = energy - foundJPerKg - spanJPerKg;
      within = 1;
      this.outOfRangeCount++;
    }
    const from = step * 3 + 2;
    const pressureStepPa = saturation[from + 3]! - saturation[from]!;
    this.answer[0] = saturation[from]! + within * pressureStepPa;
    this.answer[1] = this.lowestTemperature + (step + within) * this.saturationStepK;
    this.answer[2] = above < 0 ? -above : 0;
    this.isWet = 1;
    if (this.hasSlopes === 0) return;
    this.answer[3] = this.saturationStepK / spanJPerKg;
    this.answer[4] = pressureStepPa / spanJPerKg;
  }
}

let steamTable: FluidTable | null = null;
let airTable: FluidTable | null = null;

/** Steam. The first call makes the table, which all share. */
export function createSteam(): WorkingFluid {
  steamTable ??= buildSteamTable();
  return new WorkingFluid("steam", STEAM_FLOW_EXPONENT, steamTable);
}

/** Air. The first call makes the table, which all share. */
export function createAir(): WorkingFluid {
  airTable ??= buildAirTable();
  return new WorkingFluid("air", AIR_FLOW_EXPONENT, airTable);
}
