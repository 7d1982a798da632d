import { STANDARD_ATMOSPHERE_PA } from "./constants.js";
import { DIMENSION_UNITS, type Dimension, type DimensionUnits, type Unit } from "./unit-table.js";
import { readLeadingNumber } from "./written-number.js";

export type { Dimension } from "./unit-table.js";

/** Why a text is not a quantity, in the pieces of one sentence: `must be <rule>, got <got>. <wayOut>` */
export interface QuantityFault {
  readonly ok: false;
  readonly rule: string;
  readonly got: string;
  readonly wayOut: string;
}

/** A text understood: the value in the dimension's base unit, and the number and unit as they were written. */
export interface Quantity {
  readonly ok: true;
  /** SI: m, m2, m3, absolute Pa, K, rad, m/s, 0..1, kg, W, kg/s, N m, kg m2, s, dB. Rotation in rpm. */
  readonly value: number;
  readonly written: number;
  readonly unit: string;
}

export interface QuantityOptions {
  /** What gauge pressures are counted from. Default: the standard atmosphere. */
  readonly atmospherePa?: number;
}

interface FoundUnit {
  readonly unit: Unit;
  readonly absolute: boolean;
}

const MAX_SHOWN = 40;

/** A text shown in a message: quoted, on one line, cut. */
export function shownText(text: string): string {
  const line = text.replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]+/g, " ").trim();
  return `"${line.length > MAX_SHOWN ? `${line.slice(0, MAX_SHOWN)}…` : line}"`;
}

function findPlain(table: DimensionUnits, name: string): Unit | undefined {
  const exact = table.units.find((unit) => unit.name === name || unit.spellings.includes(name));
  if (exact) return exact;
  // mPa and MPa are nine orders of magnitude apart: the one pair of spellings where the case of a letter decides.
  if (name === "mPa" || name === "mpa") return undefined;
  const lower = name.toLowerCase();
  return table.units.find(
    (unit) => unit.name.toLowerCase() === lower || unit.spellings.some((spelling) => spelling.toLowerCase() === lower),
  );
}

function findUnit(dimension: Dimension, written: string): FoundUnit | undefined {
  const table = DIMENSION_UNITS[dimension];
  const name = written.trim().replace(/\s+/g, " ");
  if (dimension !== "pressure") {
    const unit = findPlain(table, name);
    return unit && { unit, absolute: false };
  }
  const joined = /^(psi|bar) ?([ag])$/i.exec(name);
  const spaced = /^(.+?) ?(?:\((abs|a|gauge|g)\)|(abs|absolute|gauge|gage))$/i.exec(name);
  const plain = joined?.[1] ?? spaced?.[1] ?? name;
  const reference = (joined?.[2] ?? spaced?.[2] ?? spaced?.[3] ?? "gauge").toLowerCase();
  const unit = findPlain(table, plain);
  return unit && { unit, absolute: reference.startsWith("a") };
}

/** The units a dimension may be written in, as words: `mm, cm, m or in`. */
export function allowedUnits(dimension: Dimension): string {
  const names = DIMENSION_UNITS[dimension].units.map((unit) => unit.name);
  const list = names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} or ${names[names.length - 1]}`;
  return dimension === "pressure" ? `${list}, gauge unless abs is written` : list;
}

function otherDimension(dimension: Dimension, written: string): string | null {
  for (const other of Object.keys(DIMENSION_UNITS) as Dimension[]) {
    if (other !== dimension && findUnit(other, written)) return DIMENSION_UNITS[other].noun;
  }
  return null;
}

function readFeetAndInches(text: string): { feet: string; inches: string } | null {
  const match = /^(.+?)\s*(?:ft|foot|feet|'|′)\s*([\d.\s/½¼¾⅛⅜⅝⅞-]+?)\s*(?:in|inch|inches|"|″)$/i.exec(text);
  return match && { feet: match[1]!, inches: match[2]! };
}

/**
 * Reads a value with its unit: `17 in`, `7 1/2in`, `5 ft 6 in`, `160 psi`, `1.01325 bar abs`, `97rpm`, `75 %`.
 * Never throws: what is wrong comes back in words. A bare number is seconds where a time is meant, a bare 0 is 0
 * where 0 is the same in every unit, and any other bare number is a fault.
 */
export function parseQuantity(
  text: string,
  dimension: Dimension,
  options: QuantityOptions = {},
): Quantity | QuantityFault {
  const table = DIMENSION_UNITS[dimension];
  const fault = (wayOut: string): QuantityFault => ({
    ok: false,
    rule: `${table.noun} in ${allowedUnits(dimension)}`,
    got: shownText(text),
    wayOut,
  });
  if (text.length > 200) return fault(`For example ${table.example}.`);
  const trimmed = text.trim();

  if (dimension === "length") {
    const compound = readFeetAndInches(trimmed);
    const feet = compound && readLeadingNumber(compound.feet);
    const inches = compound && readLeadingNumber(compound.inches);
    if (feet && inches && feet.rest.trim() === "" && inches.rest.trim() === "" && inches.number >= 0) {
      const sign = compound.feet.trim().startsWith("-") ? -1 : 1;
      const written = feet.number + (sign * inches.number) / 12;
      const value = ((12 * feet.number + sign * inches.number) * 127) / 5000;
      if (Number.isFinite(value)) return { ok: true, value, written, unit: "ft" };
    }
  }

  const leading = readLeadingNumber(trimmed);
  if (!leading) {
    const known = findUnit(dimension, trimmed);
    return fault(known ? `Put a number before ${trimmed}.` : `For example ${table.example}.`);
  }
  if (!Number.isFinite(leading.number)) return fault("The number is not finite.");
  const unitText = leading.rest.trim();
  if (/^[,.]\d/.test(unitText)) return fault("Write the decimal sign as a point and leave out thousands separators.");
  if (unitText === "") {
    if (leading.number === 0 && table.zeroNeedsNoUnit) return { ok: true, value: 0, written: 0, unit: "" };
    if (table.bareUnit === null) {
      const asPercent = dimension === "ratio" && Math.abs(leading.number) <= 1 ? leading.number * 100 : null;
      if (asPercent !== null) return fault(`Write ${Number(asPercent.toPrecision(12))} % for it.`);
      return fault(`Add the unit, for example ${table.example}.`);
    }
  }
  const found = findUnit(dimension, unitText === "" ? table.bareUnit! : unitText);
  if (!found) {
    if (/^mpa\b/i.test(unitText)) return fault("Write MPa for megapascals.");
    const noun = otherDimension(dimension, unitText);
    const shown = shownText(unitText);
    return fault(
      noun ? `${shown} is the unit of ${noun}. For example ${table.example}.` : `The unit ${shown} is not known.`,
    );
  }
  const value = (leading.number * found.unit.factor) / found.unit.divisor + found.unit.offset;
  const gauge = dimension === "pressure" && !found.absolute;
  const counted = gauge ? value + (options.atmospherePa ?? STANDARD_ATMOSPHERE_PA) : value;
  // A perfect vacuum written gauge, to twelve digits, may fall a last digit short of it.
  const total = gauge && counted < 0 && counted > -1e-6 ? 0 : counted;
  if (!Number.isFinite(total)) return fault("The number is too large.");
  if (dimension === "temperature" && total < 0) {
    return { ...fault("Nothing is colder."), rule: "a temperature not below absolute zero (0 K, -273.15 degC)" };
  }
  if (dimension === "pressure" && total < 0) {
    return {
      ...fault(gauge ? "Write abs after the unit if an absolute pressure is meant." : "A perfect vacuum is 0 bar abs."),
      rule: "a pressure not below a perfect vacuum (0 bar abs)",
    };
  }
  const unit = found.absolute ? `${found.unit.name} abs` : found.unit.name;
  return { ok: true, value: total, written: leading.number, unit };
}

/** A fault as one sentence about the thing named. */
export function quantityFaultText(name: string, fault: QuantityFault): string {
  return `${name} must be ${fault.rule}, got ${fault.got}. ${fault.wayOut}`;
}

/**
 * `parseQuantity` for command-line options: the value in the base unit, or an error whose message is the fault.
 * @throws RangeError when the text is not such a quantity.
 */
export function requireQuantity(
  text: string,
  dimension: Dimension,
  name: string,
  options: QuantityOptions = {},
): number {
  const parsed = parseQuantity(text, dimension, options);
  if (!parsed.ok) throw new RangeError(quantityFaultText(name, parsed));
  return parsed.value;
}

export interface FormatOptions extends QuantityOptions {
  /** Significant digits of the number, 1 to 17. Default 12: reading it back is exact to 1e-11. */
  readonly digits?: number;
}

/**
 * Writes a value of the base unit in any unit of its dimension, so that `parseQuantity` reads it back.
 * A pressure is gauge unless `unit` says `abs`.
 * @throws RangeError for a unit the dimension does not have.
 */
export function formatQuantity(value: number, dimension: Dimension, unit: string, options: FormatOptions = {}): string {
  const found = findUnit(dimension, unit);
  if (!found) throw new RangeError(`unit must be ${allowedUnits(dimension)}, got ${shownText(unit)}.`);
  const gauge = dimension === "pressure" && !found.absolute;
  const counted = gauge ? value - (options.atmospherePa ?? STANDARD_ATMOSPHERE_PA) : value;
  const plain = ((counted - found.unit.offset) * found.unit.divisor) / found.unit.factor;
  const number = Number(plain.toPrecision(options.digits ?? 12));
  return `${number === 0 ? 0 : number} ${found.unit.name}${found.absolute ? " abs" : ""}`;
}
