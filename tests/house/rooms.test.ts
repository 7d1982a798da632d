import { ESLint } from "eslint";
import ts from "typescript";
import tseslint from "typescript-eslint";
import { beforeAll, describe, expect, test } from "vitest";
import { filesUnder, house, importFault, importsOf, parse, projectFolder, readText, roomOf } from "./source-tree.js";

const sourceFiles = filesUnder("src").filter((path) => path.endsWith(".ts"));
const coreFiles = sourceFiles.filter((path) => house.rooms[roomOf(path) ?? ""]?.core === true);

describe("the rooms and their direction", () => {
  test("every import of every file is one that the table allows", () => {
    const faults = sourceFiles.flatMap((path) =>
      importsOf(parse(path, readText(path))).map((one) => importFault(path, one)),
    );
    expect(sourceFiles.length).toBeGreaterThan(0);
    expect(faults.filter((fault) => fault !== null)).toEqual([]);
  });

  test("the table points downwards only: no room reaches itself through others", () => {
    const reach = (name: string, path: readonly string[]): void => {
      expect(path).not.toContain(name);
      const room = house.rooms[name];
      for (const next of [...(room?.imports ?? []), ...(room?.typesFrom ?? [])]) reach(next, [...path, name]);
    };
    for (const name of Object.keys(house.rooms)) reach(name, []);
  });

  test("engine and sound never read each other", () => {
    expect(house.rooms.engine?.imports).not.toContain("sound");
    expect(house.rooms.sound?.imports).toEqual(["quantities"]);
  });

  test.each([
    ["src/sound/delay-line.ts", `import { Crank } from "../engine/crank.js";`, "must not read engine"],
    ["src/engine/chest.ts", `export { Jet } from "../sound/jet.js";`, "must not read sound"],
    ["src/steam/region-1.ts", `const x = await import("../flow/vessel.js");`, "must not read flow"],
    ["src/flow/pipe.ts", `import { readFile } from "node:fs/promises";`, "not a package"],
    ["src/gear/links.ts", `let z: import("zod").ZodType;`, "not a package"],
    ["src/preset/loader.ts", `import { Engine } from "../engine/engine.js";`, "types only"],
    ["src/quantities/units.ts", `import { pi } from "./constants";`, "end in .js"],
    ["src/flow/pipe.ts", `import { table } from "../../tests/table.js";`, "outside the rooms"],
    ["src/attic/box.ts", `import { pi } from "./constants.js";`, "belongs to no room"],
  ])("%s with %s is refused", (path, text, reason) => {
    expect(importsOf(parse(path, text)).map((one) => importFault(path, one))).toEqual([
      expect.stringContaining(reason),
    ]);
  });

  test("types may come from where values may not", () => {
    const path = "src/preset/loader.ts";
    const text = `import type { EngineDescription } from "../engine/engine-description.js";`;
    expect(importsOf(parse(path, text)).map((one) => importFault(path, one))).toEqual([null]);
  });
});

describe("the core knows no page, no file and no clock", () => {
  function configOf(path: string): ts.ParsedCommandLine {
    const host = { ...ts.sys, onUnRecoverableConfigFileDiagnostic: () => undefined };
    const parsed = ts.getParsedCommandLineOfConfigFile(`${projectFolder}/${path}`, {}, host);
    if (parsed === undefined) throw new Error(`${path} cannot be read`);
    return parsed;
  }

  test("its compiler is given the plain language and no types from outside", () => {
    const { options, fileNames } = configOf("src/tsconfig.json");
    expect(options.lib).toEqual(["lib.es2022.d.ts"]);
    expect(options.types).toEqual([]);
    expect(options.strict).toBe(true);
    const seen = fileNames.map((name) => name.slice(projectFolder.length + 1));
    expect(seen.sort()).toEqual(coreFiles);
  });

  test.each(["document", "process", "AudioContext", "Buffer", "setTimeout"])(
    "its compiler does not know %s",
    (name) => {
      const { options } = configOf("src/tsconfig.json");
      const probe = `${projectFolder}/src/quantities/probe.ts`;
      const host = ts.createCompilerHost(options);
      const readSource = host.getSourceFile.bind(host);
      host.getSourceFile = (file, target) =>
        file === probe ? ts.createSourceFile(file, `export const it = ${name};`, target) : readSource(file, target);
      const program = ts.createProgram([probe], { ...options, composite: false, noEmit: true }, host);
      const messages = program
        .getSemanticDiagnostics()
        .map((one) => ts.flattenDiagnosticMessageText(one.messageText, " "));
      expect(messages).toEqual([expect.stringContaining(`Cannot find name '${name}'`)]);
    },
  );

  test("its maths is the kind that every JavaScript engine rounds alike", () => {
    const faults: string[] = [];
    for (const path of coreFiles) {
      const source = parse(path, readText(path));
      const visit = (node: ts.Node): void => {
        const line = source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1;
        if (ts.isPropertyAccessExpression(node) && node.expression.getText(source) === "Math") {
          if (house.inexactMaths.includes(node.name.text)) faults.push(`${path}:${line} Math.${node.name.text}`);
        }
        if (ts.isBinaryExpression(node)) {
          const kind = node.operatorToken.kind;
          const isPower =
            kind === ts.SyntaxKind.AsteriskAsteriskToken || kind === ts.SyntaxKind.AsteriskAsteriskEqualsToken;
          if (isPower) faults.push(`${path}:${line} **`);
        }
        ts.forEachChild(node, visit);
      };
      visit(source);
    }
    expect(faults).toEqual([]);
  });
});

describe("the linter keeps the same rules while one types", () => {
  let linter: ESLint;
  beforeAll(() => {
    linter = new ESLint({
      cwd: projectFolder,
      overrideConfig: {
        files: ["**/*.ts"],
        ...tseslint.configs.disableTypeChecked,
        languageOptions: { parserOptions: { projectService: false, project: false } },
      } as ESLint.Options["overrideConfig"],
    });
  });

  test.each([
    ["src/sound/probe.ts", `import { x } from "../engine/x.js"; export const y = x;`, "no-restricted-imports"],
    ["src/engine/probe.ts", `import { x } from "../sound/x.js"; export const y = x;`, "no-restricted-imports"],
    ["src/engine/probe.ts", `import * as fs from "node:fs"; export const y = fs;`, "no-restricted-imports"],
    ["src/node/probe.ts", `import * as tone from "tone"; export const y = tone;`, "no-restricted-imports"],
    ["src/preset/probe.ts", `import { x } from "../engine/x.js"; export const y = x;`, "no-restricted-imports"],
    ["src/index.ts", `export { x } from "./node/x.js";`, "no-restricted-imports"],
    ["src/steam/probe.ts", `export const y = Math.exp(1);`, "no-restricted-properties"],
    ["src/steam/probe.ts", `const { sin } = Math; export const y = sin(1);`, "no-restricted-properties"],
    ["src/sound/probe.ts", `export const y = Math.random();`, "no-restricted-properties"],
    ["src/flow/probe.ts", `export const y = 2 ** 3;`, "no-restricted-syntax"],
    ["src/machine/probe.ts", `export const y = new Date();`, "no-restricted-globals"],
    ["src/node/probe.ts", `export const y = parseInt("7", 10);`, "no-restricted-globals"],
    ["src/node/probe.ts", `export const y = Number.parseFloat("7");`, "no-restricted-properties"],
    ["src/gear/probe.ts", `export default 7;`, "no-restricted-syntax"],
    ["src/gear/probe.ts", `export enum End { head, crank }`, "no-restricted-syntax"],
  ])("in %s it stops: %s", async (filePath, text, rule) => {
    const [result] = await linter.lintText(text, { filePath: `${projectFolder}/${filePath}` });
    expect(result?.messages.map((one) => one.ruleId)).toEqual([expect.stringContaining(rule)]);
  });

  test.each([
    [
      "src/sound/probe.ts",
      `import { sin } from "../quantities/portable-maths.js"; export const y = sin(Math.sqrt(2));`,
    ],
    ["src/preset/probe.ts", `import type { X } from "../engine/x.js"; export let y: X;`],
    ["src/listening/probe.ts", `import FFT from "fft.js"; export const y = FFT;`],
    ["src/node/probe.ts", `import * as fs from "node:fs"; export const y = [fs, Date.now()];`],
    ["tests/probe.ts", `export const y = Math.sin(2 ** 3);`],
  ])("in %s it lets pass: %s", async (filePath, text) => {
    const [result] = await linter.lintText(text, { filePath: `${projectFolder}/${filePath}` });
    expect(result?.messages).toEqual([]);
  });
});
