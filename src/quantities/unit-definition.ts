import { STANDARD_GRAVITY_M_PER_S2 } from "./constants.js";

/** value in the base unit = number x factor / divisor + offset; the divisor keeps 118 mm at 0.118 m to the last bit */
export interface Unit {
  readonly name: string;
  readonly factor: number;
  readonly divisor: number;
  readonly offset: number;
  /** Other spellings that are read as this unit. */
  readonly spellings: readonly string[];
}

/** A dimension as it is written: its noun, the unit its values have inside the program, and the units it may carry. */
export interface DimensionUnits {
  readonly noun: string;
  /** Unit of the parsed value. SI everywhere, save that rotation is counted in rpm, as the engine's own fields are. */
  readonly baseUnit: string;
  readonly units: readonly Unit[];
  /** What a bare number stands for: nothing (a fault), or a unit by name. A bare 0 is read wherever 0 is the same in every unit. */
  readonly bareUnit: string | null;
  readonly zeroNeedsNoUnit: boolean;
  /** Shown as the way out. */
  readonly example: string;
}

/** One row of a table; a size of two numbers is factor over divisor. */
export function unit(
  name: string,
  size: number | readonly [factor: number, divisor: number],
  spellings: readonly string[] = [],
  offset = 0,
): Unit {
  const [factor, divisor] = typeof size === "number" ? ([size, 1] as const) : size;
  return { name, factor, divisor, offset, spellings };
}

// International definitions, exact. [source: NIST SP 811 (2008), appendix B: inch 25.4 mm, pound 0.453 592 37 kg,
// pound-force from standard gravity, mile 1609.344 m; horsepower 550 ft·lbf/s; degree Fahrenheit 5/9 K;
// kilogram-force 9.806 65 N; conventional inch of mercury 3386.389 Pa, to its seven digits; long ton 2240 lb, short 2000]
export const INCH_M = 0.0254;
export const FOOT_M = 0.3048;
export const POUND_KG = 0.45359237;
export const POUND_FORCE_N = 4.4482216152605;
export const KILOGRAM_FORCE_N = STANDARD_GRAVITY_M_PER_S2;
export const INCH_OF_MERCURY_PA = 3386.389;
