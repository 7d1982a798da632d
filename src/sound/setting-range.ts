/**
 * Refuses a setting that is not a number within its legal range. Builds its words only when it does.
 *
 * @param where the unit that asks, as its class is called
 * @param name the setting, unit suffix included
 * @param unit after the numbers of the range: " m", " samples", or nothing for a ratio
 * @returns the value, for use in an initialiser
 * @throws RangeError outside `least` to `greatest` (both legal), and for NaN.
 */
export function requireWithin(
  where: string,
  name: string,
  value: number,
  least: number,
  greatest: number,
  unit: string,
): number {
  if (value >= least && value <= greatest) return value;
  throw new RangeError(
    `${where}: ${name} must be between ${least}${unit} and ${greatest}${unit}, got ${value}. Check its unit.`,
  );
}

/** Sample rates that every signal unit takes: 8 kHz to 768 kHz. @throws RangeError outside. */
export function requireSampleRateHz(where: string, sampleRateHz: number): number {
  return requireWithin(where, "sampleRateHz", sampleRateHz, 8000, 768_000, " Hz");
}
