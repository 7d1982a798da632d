/**
 * What `WorkingFluid.lookup` reads. Density is entered through the bits of its single-precision form: exponent and
 * the first bits of the mantissa are the column, evenly spaced within each octave, with no logarithm. Within a column
 * the dry gas lies between a lower and an upper internal energy; below the lower one it is wet. Rows are spread over
 * the fraction of that span by the same trick, so they are finest at the lower end, which for steam is the saturation
 * line.
 */
export interface FluidTable {
  /** Column = (bits of density - base) >> shift. */
  readonly columnBase: number;
  readonly columnShift: number;
  readonly columnCount: number;
  /** Columns from this one on hold no dry gas within range: the line lies above the highest pressure. */
  readonly dryColumnCount: number;
  /** Columns before this one hold no wet gas: at their densities the gas is dry at the lowest temperature. */
  readonly firstWetColumn: number;
  readonly lowestDensityKgPerM3: number;
  readonly highestDensityKgPerM3: number;
  /** Per column, see the `COLUMN_` offsets. */
  readonly columns: Float64Array;
  /** Dry gas: p/density and T at (column edge, row edge), `ROW_EDGE_COUNT` rows an edge. */
  readonly dry: Float64Array;
  /** Wet: A, B and p at even steps of temperature; energy of any wet state is A(T) + B(T) v. */
  readonly saturation: Float64Array;
  readonly saturationStepCount: number;
  readonly lowestTemperatureK: number;
  readonly saturationStepK: number;
  /** Wet: place in `saturation` to start from, at (column edge, row edge). */
  readonly wetStart: Float32Array;
}

export const COLUMN_DENSITY = 0;
export const COLUMN_INVERSE_WIDTH = 1;
/** Energy at which the dry gas begins, at the column's left edge; then its rise to the right edge. */
export const COLUMN_LOWER = 2;
export const COLUMN_LOWER_RISE = 3;
/** Rise of y per J/kg above that energy, likewise: 31 over the span of the dry gas. */
export const COLUMN_DRY_SPREAD = 4;
export const COLUMN_DRY_SPREAD_RISE = 5;
/** Rise of y per J/kg within the wet gas, which ends at that energy, likewise. */
export const COLUMN_WET_SPREAD = 6;
export const COLUMN_WET_SPREAD_RISE = 7;
export const COLUMN_STRIDE = 8;

/** Bits of a single-precision mantissa. [source: IEEE 754-2019, table 3.5] */
export const MANTISSA_BITS = 23;
/** Bits of the number 1 in single precision. [source: IEEE 754-2019, table 3.5] */
export const BITS_OF_ONE = 127 << MANTISSA_BITS;

// Rows: y = 1 + 31 f runs over five octaves of sixteen rows while f runs from 0 to 1.
const ROW_OCTAVES = 5;
const ROWS_PER_OCTAVE_LOG2 = 4;
export const ROW_SHIFT = MANTISSA_BITS - ROWS_PER_OCTAVE_LOG2;
export const HIGHEST_Y = 1 << ROW_OCTAVES;
export const ROW_COUNT = ROW_OCTAVES << ROWS_PER_OCTAVE_LOG2;
export const ROW_EDGE_COUNT = ROW_COUNT + 1;

const floats = new Float32Array(1);
const words = new Int32Array(floats.buffer);

/** Single-precision bits as an integer. */
export function bitsOf(value: number): number {
  floats[0] = value;
  return words[0]!;
}

function valueOf(bits: number): number {
  words[0] = bits;
  return floats[0]!;
}

/** Left edge of a column. kg/m3. */
export function columnEdgeDensity(columnBase: number, columnShift: number, column: number): number {
  return valueOf(columnBase + (column << columnShift));
}

/** Edges of the rows on the scale y = 1 + 31 f. */
export const rowEdges = /* @__PURE__ */ buildRowEdges();

function buildRowEdges(): Float64Array {
  const edges = new Float64Array(ROW_EDGE_COUNT);
  for (let row = 0; row <= ROW_COUNT; row++) edges[row] = valueOf(BITS_OF_ONE + (row << ROW_SHIFT));
  return edges;
}

/** One over the height of each row on that scale. */
export const rowInverseHeights = /* @__PURE__ */ rowEdges
  .slice(0, ROW_COUNT)
  .map((y, row) => 1 / (rowEdges[row + 1]! - y));

/** Fraction of the span between lower and upper energy at the edge of a row, 0 to 1. */
export function rowFraction(row: number): number {
  return (rowEdges[row]! - 1) / (HIGHEST_Y - 1);
}

/** Energies at the column edges (one more than there are columns), J/kg. */
export interface EdgeEnergies {
  /** Where the wet gas begins; of no account where there is none. */
  readonly floor: Float64Array;
  /** Where the wet gas ends and the dry one begins. */
  readonly lower: Float64Array;
  /** Where the dry gas ends; of no account where there is none. */
  readonly upper: Float64Array;
}

/** Fills the numbers of every column. */
export function fillColumns(columnBase: number, columnShift: number, energies: EdgeEnergies): Float64Array {
  const { floor, lower, upper } = energies;
  const count = lower.length - 1;
  const columns = new Float64Array(count * COLUMN_STRIDE);
  const spread = (from: number, to: number) => (to > from ? (HIGHEST_Y - 1) / (to - from) : 0);
  for (let column = 0; column < count; column++) {
    const at = column * COLUMN_STRIDE;
    const left = columnEdgeDensity(columnBase, columnShift, column);
    const right = columnEdgeDensity(columnBase, columnShift, column + 1);
    const dryLeft = spread(lower[column]!, upper[column]!);
    const wetLeft = spread(floor[column]!, lower[column]!);
    columns[at + COLUMN_DENSITY] = left;
    columns[at + COLUMN_INVERSE_WIDTH] = 1 / (right - left);
    columns[at + COLUMN_LOWER] = lower[column]!;
    columns[at + COLUMN_LOWER_RISE] = lower[column + 1]! - lower[column]!;
    columns[at + COLUMN_DRY_SPREAD] = dryLeft;
    columns[at + COLUMN_DRY_SPREAD_RISE] = spread(lower[column + 1]!, upper[column + 1]!) - dryLeft;
    columns[at + COLUMN_WET_SPREAD] = wetLeft;
    columns[at + COLUMN_WET_SPREAD_RISE] = spread(floor[column + 1]!, lower[column + 1]!) - wetLeft;
  }
  return columns;
}
