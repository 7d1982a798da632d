import { describe, expect, test } from "vitest";
import ts from "typescript";
import * as constants from "../../src/quantities/constants.js";
import { filesUnder, parse, readText } from "./source-tree.js";

const home = "src/quantities/constants.ts";
// The lower end of the water tables is their own, though it is the same figure.
const meantOtherwise = ["src/steam/if97.ts: 273.15 is ZERO_CELSIUS_K"];
// Figures of fewer digits may be met by chance.
const leastDigits = 4;
const digitsOf = (value: number): number => value.toExponential().replace(/e.*|[.]/g, "").length;
const known = Object.entries(constants).filter(([, value]) => digitsOf(value) >= leastDigits);

/** Literals of a text that say a known constant again, to four digits, whatever figures they break off at. */
function repeatedConstants(path: string, text: string): string[] {
  const found: string[] = [];
  const look = (node: ts.Node): void => {
    if (ts.isNumericLiteral(node)) {
      const value = Number(node.text);
      const [name] = known.find(([, constant]) => Math.abs(value / constant - 1) < 2e-5) ?? [];
      if (name !== undefined && digitsOf(value) >= leastDigits) found.push(`${path}: ${node.text} is ${name}`);
    }
    ts.forEachChild(node, look);
  };
  look(parse(path, text));
  return found;
}

describe("a constant of nature stands in one place", () => {
  test("in the whole of src", () => {
    const paths = filesUnder("src").filter((path) => path.endsWith(".ts") && path !== home);
    expect(paths.length).toBeGreaterThan(100);
    expect(paths.flatMap((path) => repeatedConstants(path, readText(path)))).toEqual(meantOtherwise);
  });

  test("a second writing of one is found, in however many digits; other figures are not", () => {
    expect(repeatedConstants("a.ts", "const r = 287.05; const s = 287.053; const t = 0.8216 + 0.6133;")).toEqual([
      "a.ts: 287.05 is DRY_AIR_GAS_CONSTANT_J_PER_KG_K",
      "a.ts: 287.053 is DRY_AIR_GAS_CONSTANT_J_PER_KG_K",
      "a.ts: 0.8216 is FLANGED_END_CORRECTION_RATIO",
      "a.ts: 0.6133 is UNFLANGED_END_CORRECTION_RATIO",
    ]);
    expect(repeatedConstants("a.ts", "const a = 287; const b = 0.82; const c = 273; const d = 1013;")).toEqual([]);
  });
});
