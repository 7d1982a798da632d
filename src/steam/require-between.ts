/** Throws a RangeError that names the place, the rule with its unit, the value got and a way out. NaN lies outside. */
export function requireBetween(
  where: string,
  name: string,
  value: number,
  lowest: number,
  highest: number,
  unit: string,
  hint: string,
): void {
  if (value >= lowest && value <= highest) return;
  throw new RangeError(
    `${where}: ${name} must be between ${lowest} ${unit} and ${highest} ${unit}, got ${value} ${unit}. ${hint}`,
  );
}
