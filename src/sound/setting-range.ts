/**
 * Refuses a setting that is not a number within its legal range.
 *
 * @param where the unit that asks, as its class is called
 * @param name the setting, unit suffix included
 * @param rule the range in words, units included ("between 1 mm and 3 m")
 * @returns the value, for use in an initialiser
 * @throws RangeError outside `least` to `greatest` (both legal), and for NaN.
 */
export function requireWithin(
  where: string,
  name: string,
  value: number,
  least: number,
  greatest: number,
  rule: string,
): number {
  if (value >= least && value <= greatest) return value;
  throw new RangeError(`${where}: ${name} must be ${rule}, got ${value}. Check the unit.`);
}

/** Sample rates that every signal unit takes: 8 kHz to 768 kHz. @throws RangeError outside. */
export function requireSampleRateHz(where: string, sampleRateHz: number): number {
  return requireWithin(where, "sampleRateHz", sampleRateHz, 8000, 768_000, "between 8000 Hz and 768000 Hz");
}
