import fc from "fast-check";

/** What no field is. */
export const odd = fc.oneof(
  fc.constantFrom<unknown>(
    0,
    -1,
    1e9,
    NaN,
    Infinity,
    true,
    false,
    null,
    "",
    "0",
    "17",
    "1e9 m",
    "-5 mm",
    "0 in",
    "abs",
    "%",
    [],
    {},
    [[]],
    "1/0 in",
  ),
  fc.string({ maxLength: 12 }),
  fc.double(),
);

/** A size between two ends, evenly in its logarithm, in one of some units. */
export function amount(low: number, high: number, ...units: string[]): fc.Arbitrary<string> {
  return fc
    .tuple(fc.double({ min: Math.log(low), max: Math.log(high), noNaN: true }), fc.constantFrom(...units))
    .map(([exponent, unit]) => `${Number(Math.exp(exponent).toPrecision(4))} ${unit}`);
}

/** A field: mostly a value of its kind, now and then anything. */
export function field(value: fc.Arbitrary<unknown>, oddShare: number): fc.Arbitrary<unknown> {
  return fc.oneof({ weight: 1000 - oddShare, arbitrary: value }, { weight: oddShare, arbitrary: odd });
}

/** A random tree as YAML in flow form: what JSON cannot say (NaN, infinity) included. */
export function written(value: unknown): string {
  if (typeof value === "number" && !Number.isFinite(value))
    return Number.isNaN(value) ? ".nan" : value > 0 ? ".inf" : "-.inf";
  if (Array.isArray(value)) return `[${value.map(written).join(", ")}]`;
  if (typeof value === "object" && value !== null) {
    return `{ ${Object.entries(value)
      .map(([key, child]) => `${JSON.stringify(key)}: ${written(child)}`)
      .join(", ")} }`;
  }
  return JSON.stringify(value) ?? "~";
}
