import { describe, expect, test } from "vitest";
import { filesUnder, house, parse, readText, roomOf } from "./source-tree.js";
import { untaggedFigures } from "./source-tags.js";

function figuresOf(text: string): string[] {
  return untaggedFigures(parse("probe.ts", text)).map((one) => `${one.name}: ${one.figure}`);
}

describe("every figure says where it comes from", () => {
  const coreFiles = filesUnder("src").filter((path) => path.endsWith(".ts") && house.rooms[roomOf(path) ?? ""]?.core);

  test("in the whole core", () => {
    const faults = coreFiles.flatMap((path) =>
      untaggedFigures(parse(path, readText(path))).map((one) => `${path}:${one.line} ${one.name} has ${one.figure}`),
    );
    expect(coreFiles.length).toBeGreaterThan(0);
    expect(faults).toEqual([]);
  });

  test.each([
    ["a bare constant", `export const gasConstant = 461.526;`, ["gasConstant: 461.526"]],
    ["a comment without a tag", `/** Of water. */ export const gasConstant = 461.526;`, ["gasConstant: 461.526"]],
    ["a source without a name", `/** [source: a] */ export const x = 461.526;`, ["x: 461.526"]],
    ["a tuning without a date", `/** [tuned: by ear, twice] */ export const x = 0.3;`, ["x: 0.3"]],
    ["a constant exported afterwards", `const x = 0.8; export { x };`, ["x: 0.8"]],
    ["a table", `export const rows = new Float64Array([0, 1, 2.5, 7]);`, ["rows: 2.5", "rows: 7"]],
    ["one member of several", `export const d = { a: 0.3 /* no */, b: 0 };`, ["d: 0.3"]],
    ["a call", `export const bore = length("bore", { minM: 0.002 });`, ["bore: 0.002"]],
    ["a default", `export function f(contractionRatio = 0.8) {}`, ["f, contractionRatio: 0.8"]],
    ["a constructor's default", `export class A { constructor(b = 0.8) {} }`, ["A.constructor, b: 0.8"]],
    ["a static field", `export class A { static readonly b = 0.8; }`, ["A.b: 0.8"]],
    [
      "what stays in the file, if not whole",
      `const viscosityPaS = 1.2e-5; const size = 512;`,
      ["viscosityPaS: 1.2e-5"],
    ],
    ["the member of a run behind a gap", `// [common practice]\nconst a = 0.3;\n\nconst b = 0.4;`, ["b: 0.4"]],
    ["arithmetic", `export const x = 2 * 0.6133;`, ["x: 2", "x: 0.6133"]],
  ])("%s is found", (_what, text, expected) => {
    expect(figuresOf(text)).toEqual(expected);
  });

  test.each([
    ["a source", `/** Of water. [source: IAPWS R7-97, 2012, section 2] */\nexport const x = 461.526;`],
    [
      "a source over two lines",
      `/**\n * Water. [source: IAPWS R7-97,\n * 2012, section 2]\n */\nexport const x = 461.526;`,
    ],
    ["common practice", `// [common practice]\nexport const x = 0.08;`],
    ["tuning with a date", `/** [tuned: beats against the fine grid, 2026-11-25] */\nexport const x = 0.3;`],
    ["a tag at the end of the line", `export const x = 0.08; // [common practice]`],
    [
      "a tag at a member",
      `export const d = {\n  /** [common practice] */\n  a: 0.3,\n  b: 0.4, // [common practice]\n};`,
    ],
    ["a tag at the whole table", `/** [source: R7-97, Table 2] */\nexport const t = [[1, -2, 0.146], [2, 0, -0.8]];`],
    ["a tag at the class", `/** [common practice] */\nexport class A { constructor(b = 0.8) {} }`],
    ["a tag at the function", `/** [common practice] */\nexport function f(contractionRatio = 0.8) {}`],
    ["pi", `export const turnRad = 2 * Math.PI; export const degree = Math.PI / 180;`],
    ["layout", `export const columnCount = 14; export const CELL_STRIDE = 3; export const COLUMN_P = 2;`],
    ["a tag above a run of constants", `// [common practice]\nconst a = 0.3;\nexport const b = 0.4;`],
    ["a tag for the whole file", `// Every number in this file: [source: R7-97, 2012]\n\nexport const a = 0.3;`],
    ["a tag over two line comments", `// [source: NIST SP 811,\n// appendix B]\nexport const a = 0.3;`],
    ["a guard or a root within the file", `const floor = 1e-30; const span = 0.7071067811865476;`],
    ["what is inside a function", `export const y = (a: number): number => a * 0.5;`],
    ["state", `export class A { private state = 7; }`],
  ])("%s is enough, or needs none", (_what, text) => {
    expect(figuresOf(text)).toEqual([]);
  });
});
