const VULGAR_FRACTIONS: readonly (readonly [string, string])[] = [
  ["½", "1/2"],
  ["¼", "1/4"],
  ["¾", "3/4"],
  ["⅛", "1/8"],
  ["⅜", "3/8"],
  ["⅝", "5/8"],
  ["⅞", "7/8"],
];

/** A number at the start of a text, and what follows it. */
export interface LeadingNumber {
  readonly number: number;
  readonly rest: string;
}

const WHOLE_AND_FRACTION = /^([+-]?)(?:(\d{1,15})(?:\s+|\s*-\s*))?(\d{1,15})\s*\/\s*(\d{1,15})/;
const DECIMAL = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?/;

/**
 * Reads `17`, `-0.5`, `1e-3`, `1/4`, `7 1/2`, `7-1/2` or `7½` off the front of a text. Null if there is no number.
 * A fraction over 0 reads as NaN or infinite; the caller refuses what is not finite.
 */
export function readLeadingNumber(text: string): LeadingNumber | null {
  let plain = text.trim().replace(/^[−–]/, "-");
  for (const [sign, fraction] of VULGAR_FRACTIONS) plain = plain.replace(sign, ` ${fraction} `);
  plain = plain.replace(/^([+-])\s+/, "$1").trimStart();
  const mixed = WHOLE_AND_FRACTION.exec(plain);
  if (mixed) {
    const size = Number(mixed[2] ?? 0) + Number(mixed[3]) / Number(mixed[4]);
    return { number: mixed[1] === "-" ? -size : size, rest: plain.slice(mixed[0].length) };
  }
  const decimal = DECIMAL.exec(plain);
  if (!decimal) return null;
  return { number: Number(decimal[0]), rest: plain.slice(decimal[0].length) };
}
