import * as z from "zod";
import { DIMENSION_UNITS, type Dimension } from "../quantities/unit-table.js";
import { formatQuantity, parseQuantity, requireQuantity, shownText, type Quantity } from "../quantities/units.js";
import { oneLine } from "./complaint.js";
import { listed, nearestWord } from "./near-word.js";

/** A value as a message shows it. */
export function shownValue(raw: unknown): string {
  if (typeof raw === "string") return oneLine(raw, 40) === "" ? '""' : oneLine(raw, 40);
  if (typeof raw === "number" || typeof raw === "boolean") return String(raw);
  if (Array.isArray(raw)) return "a list";
  return raw === null || raw === undefined ? "nothing" : "a block";
}

/** What a field may be: a dimension and its legal ends, both written as in a file. */
export interface Range {
  readonly dimension: Dimension;
  readonly least: string;
  readonly most: string;
  /** The instrument that shows such a pressure, if it is no ordinary gauge: a barometer's readings are absolute, a vacuum gauge's count down from the atmosphere. */
  readonly readBy?: "barometer" | "vacuum gauge";
}

/** For a number written in one unit, the units it is most often mistaken for, likeliest first. [common practice] */
const MISTAKEN_UNITS: Readonly<Record<string, readonly string[]>> = {
  m: ["mm", "cm", "in"],
  cm: ["mm", "m"],
  mm: ["in", "m", "cm"],
  in: ["mm", "ft"],
  ft: ["in", "mm"],
  km: ["m"],
  m2: ["cm2", "mm2"],
  cm2: ["mm2", "m2"],
  mm2: ["cm2"],
  m3: ["L", "cm3"],
  L: ["cm3", "m3"],
  cm3: ["L"],
  bar: ["psi", "kPa", "mbar"],
  "bar abs": ["mbar abs", "psi abs", "kPa abs"],
  psi: ["bar", "kPa"],
  "psi abs": ["bar abs", "kPa abs"],
  kPa: ["Pa", "bar"],
  "kPa abs": ["hPa abs", "Pa abs", "bar abs"],
  MPa: ["kPa", "bar"],
  Pa: ["kPa", "bar"],
  "Pa abs": ["hPa abs", "kPa abs"],
  "hPa abs": ["mbar abs", "Pa abs"],
  "mbar abs": ["bar abs", "Pa abs"],
  "kg/cm2": ["kPa", "psi"],
  K: ["degC", "degF"],
  degC: ["K", "degF"],
  degF: ["degC", "K"],
  rad: ["deg"],
  deg: ["rad"],
  Hz: ["rpm"],
  rpm: ["Hz"],
  g: ["kg", "t"],
  kg: ["g", "t"],
  t: ["kg", "g"],
  lb: ["long ton"],
  W: ["kW", "MW"],
  kW: ["W", "MW"],
  MW: ["kW", "W"],
  hp: ["W"],
  "kg/s": ["kg/h", "g/min"],
  "kg/h": ["kg/s", "g/min"],
  "N m": ["kN m"],
  "kN m": ["N m"],
  "kg m2": ["kg cm2", "g cm2"],
  "kg cm2": ["kg m2", "g cm2"],
};

/** The same number with another unit that would be legal, as a question; or how to choose. */
export function wayOutOfRange(quantity: Quantity, range: Range, atmospherePa?: number): string {
  const options = atmospherePa === undefined ? {} : { atmospherePa };
  const inside = (text: string): boolean => {
    const parsed = parseQuantity(text, range.dimension, options);
    return parsed.ok && isInside(parsed.value, range);
  };
  if (range.readBy !== undefined && !quantity.unit.endsWith("abs")) return wayOutOfGauge(quantity, range, inside);
  const candidates = (MISTAKEN_UNITS[quantity.unit] ?? []).map((unit) => `${quantity.written} ${unit}`);
  if (quantity.unit === "%") candidates.push(`${Number((quantity.written * 100).toPrecision(6))} %`);
  const meant = candidates.find(inside);
  return meant === undefined ? "Choose a value in that range." : `Did you mean ${meant}?`;
}

/** Gauge where it can hardly be meant: the same number, absolute or as a vacuum; another unit would turn the meaning round. */
function wayOutOfGauge({ written, unit }: Quantity, range: Range, inside: (text: string) => boolean): string {
  const absolute = `${written} ${unit} abs`;
  const vacuum = `-${written} ${unit}`;
  const isVacuum = range.readBy === "vacuum gauge" && written > 0 && inside(vacuum);
  if (inside(absolute)) return `Write it with abs: ${absolute}.${isVacuum ? ` Or, for a vacuum, ${vacuum}.` : ""}`;
  if (isVacuum) return `For a vacuum of that size write ${vacuum}.`;
  const meant = (MISTAKEN_UNITS[`${unit} abs`] ?? []).map((other) => `${written} ${other}`).find(inside);
  return meant === undefined ? "Write an absolute pressure, with abs after the unit." : `Did you mean ${meant}?`;
}

/** Whether a value in the base unit lies within the ends, both included. */
export function isInside(value: number, range: Range): boolean {
  const least = requireQuantity(range.least, range.dimension, "least");
  const most = requireQuantity(range.most, range.dimension, "most");
  // An end written in another unit may differ in the last bit.
  return value >= least - 1e-12 * Math.abs(least) && value <= most + 1e-12 * Math.abs(most);
}

/** `must be between 2 mm and 3 m, got 305 m. Did you mean 305 mm?`, or null if the value is legal. */
export function rangeFault(quantity: Quantity, range: Range, raw: unknown, atmospherePa?: number): string | null {
  if (isInside(quantity.value, range)) return null;
  const wayOut = wayOutOfRange(quantity, range, atmospherePa);
  const got = `${shownValue(raw)}${absoluteToo(quantity, range)}`;
  return `must be between ${range.least} and ${range.most}, got ${got}. ${wayOut}`;
}

/** A gauge pressure outside absolute ends, told as they are, in as many digits as show it to be outside. */
function absoluteToo({ value, unit }: Quantity, range: Range): string {
  if (range.dimension !== "pressure" || unit.endsWith(" abs")) return "";
  const asAbsolute = (digits: number) => formatQuantity(value, "pressure", "bar abs", { digits });
  let digits = 5;
  while (digits < 12 && isInside(requireQuantity(asAbsolute(digits), "pressure", "got"), range)) digits++;
  return `, that is ${asAbsolute(digits)}`;
}

/** A text with its unit, or what is wrong with it. */
export function readWritten(raw: unknown, dimension: Dimension): Quantity | string {
  if (typeof raw !== "string" && typeof raw !== "number") {
    const { noun, example } = DIMENSION_UNITS[dimension];
    return `must be ${noun} with its unit, got ${shownValue(raw)}. For example ${example}.`;
  }
  const parsed = parseQuantity(String(raw), dimension);
  return parsed.ok ? parsed : `must be ${parsed.rule}, got ${parsed.got}. ${parsed.wayOut}`;
}

/** A field whose reader returns the value, or the complaint as this. */
export class Refused {
  constructor(readonly message: string) {}
}

/** Builds the schema of one value from its reader; `meta` is what the JSON Schema says of it. */
export function leaf<T>(read: (raw: unknown) => T | Refused, meta: Record<string, unknown>): z.ZodType<T> {
  const schema: z.ZodType<T> = z
    .any()
    .transform((raw: unknown, context): T => {
      const result = read(raw);
      if (!(result instanceof Refused)) return result;
      context.issues.push({ code: "custom", message: result.message, input: raw });
      return z.NEVER;
    })
    .meta(meta);
  return schema;
}

function rangeMeta(range: Range, description: string): Record<string, unknown> {
  const { noun, units, baseUnit } = DIMENSION_UNITS[range.dimension];
  return {
    type: ["string", "number"],
    description: `${description} ${noun[0]!.toUpperCase()}${noun.slice(1)}, from ${range.least} to ${range.most}.`,
    "x-units": units.map((unit) => unit.name),
    "x-least": range.least,
    "x-most": range.most,
    "x-base-unit": baseUnit,
    "x-base-least": requireQuantity(range.least, range.dimension, "least"),
    "x-base-most": requireQuantity(range.most, range.dimension, "most"),
  };
}

/** A value with a unit between two ends, read in the dimension's base unit. */
export function quantity(dimension: Dimension, least: string, most: string, description: string): z.ZodType<number> {
  const range: Range = { dimension, least, most };
  return leaf(
    (raw) => {
      const parsed = readWritten(raw, dimension);
      if (typeof parsed === "string") return new Refused(parsed);
      const fault = rangeFault(parsed, range, raw);
      return fault === null ? parsed.value : new Refused(fault);
    },
    rangeMeta(range, description),
  );
}

/** A pressure as it was written: gauge pressures wait for the atmosphere that the same file names. */
export interface WrittenPressure {
  readonly text: string;
  readonly range: Range;
}

/** A pressure, checked for its writing only; its range is checked when the atmosphere is known. */
export function pressure(
  least: string,
  most: string,
  description: string,
  readBy?: Range["readBy"],
): z.ZodType<WrittenPressure> {
  const range: Range = { dimension: "pressure", least, most, ...(readBy === undefined ? {} : { readBy }) };
  return leaf(
    (raw) => {
      const parsed = readWritten(raw, "pressure");
      return typeof parsed === "string" ? new Refused(parsed) : { text: String(raw), range };
    },
    rangeMeta(range, `${description} Gauge unless abs is written.`),
  );
}

/** A value that may be written in either of two dimensions, told apart by its unit. */
export function either<A, B>(
  first: Range,
  second: Range,
  description: string,
  make: { readonly first: (value: number) => A; readonly second: (value: number) => B },
): z.ZodType<A | B> {
  return leaf(
    (raw): A | B | Refused => {
      const asSecond = readWritten(raw, second.dimension);
      const asFirst = readWritten(raw, first.dimension);
      if (typeof asFirst === "string" && typeof asSecond === "string") {
        return new Refused(`${asFirst} Or write ${DIMENSION_UNITS[second.dimension].example}.`);
      }
      if (typeof asFirst !== "string") {
        const fault = rangeFault(asFirst, first, raw);
        return fault === null ? make.first(asFirst.value) : new Refused(fault);
      }
      const parsed = asSecond as Quantity;
      const fault = rangeFault(parsed, second, raw);
      return fault === null ? make.second(parsed.value) : new Refused(fault);
    },
    {
      type: ["string", "number"],
      description: `${description} From ${first.least} to ${first.most}, or from ${second.least} to ${second.most}.`,
    },
  );
}

/** One word of a list. */
export function choice<Word extends string>(words: readonly Word[], description: string): z.ZodType<Word> {
  return leaf(
    (raw) => {
      const found = words.find((word) => word === raw);
      if (found !== undefined) return found;
      const near = typeof raw === "string" ? nearestWord(raw, words) : null;
      const wayOut = near === null ? `For example ${words[0]}.` : `Nearest: ${near}.`;
      return new Refused(`must be ${listed(words)}, got ${shownValue(raw)}. ${wayOut}`);
    },
    { enum: words, description },
  );
}

/** A whole number between two ends, without a unit. */
export function whole(least: number, most: number, description: string): z.ZodType<number> {
  return leaf(
    (raw) => {
      if (typeof raw === "number" && Number.isInteger(raw) && raw >= least && raw <= most) return raw;
      if (least === most) return new Refused(`must be ${least}, got ${shownValue(raw)}. No other is known here.`);
      const wayOut = typeof raw === "number" ? "Choose one in that range." : "Write a bare number.";
      return new Refused(`must be a whole number from ${least} to ${most}, got ${shownValue(raw)}. ${wayOut}`);
    },
    { type: "integer", minimum: least, maximum: most, description },
  );
}

function flagWayOut(raw: unknown): string {
  const word = typeof raw === "string" ? raw.trim().toLowerCase() : "";
  if (word === "true" || word === "false") return `Write ${word}, without quotes and in small letters.`;
  if (word === "yes" || word === "on") return "Write true.";
  return word === "no" || word === "off" ? "Write false." : "Write one of the two, without quotes.";
}

/** True or false. */
export function flag(description: string): z.ZodType<boolean> {
  return leaf(
    (raw) =>
      typeof raw === "boolean" ? raw : new Refused(`must be true or false, got ${shownValue(raw)}. ${flagWayOut(raw)}`),
    { type: "boolean", description },
  );
}

/** Free text of one line. A bare number is taken as its digits. */
export function freeText(longest: number, description: string): z.ZodType<string> {
  return leaf(
    (raw) => {
      if (typeof raw !== "string" && typeof raw !== "number") {
        return new Refused(`must be a text, got ${shownValue(raw)}. Put it in quotes.`);
      }
      const text = String(raw).trim();
      if (text === "") return new Refused("must not be empty. Give a name, or leave the key out.");
      if (text.length > longest) {
        return new Refused(
          `must be at most ${longest} letters long, got ${text.length}, beginning ${shownText(text)}. Shorten it.`,
        );
      }
      return text;
    },
    { type: ["string", "number"], maxLength: longest, description },
  );
}
