import { spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdirSync, mkdtempSync, rmSync, statSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { projectFolder, readText } from "./source-tree.js";
import { shellBlocks } from "./readme-blocks.js";

const readme = readText("README.md");
const blocks = shellBlocks(readme);

/** Names of all properties of a JSON Schema, at any depth. */
function propertyNames(schema: unknown): string[] {
  if (typeof schema !== "object" || schema === null) return [];
  return Object.entries(schema).flatMap(([key, value]: [string, unknown]) => [
    ...(key === "properties" && typeof value === "object" && value !== null ? Object.keys(value) : []),
    ...propertyNames(value),
  ]);
}

describe("the README", () => {
  let folder = "";

  // A folder that looks like a clone, so that what the commands write stays out of the owner's render/out.
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "fourbeat-readme-"));
    for (const name of [".ci", "dist", "node_modules", "src"]) {
      symlinkSync(join(projectFolder, name), join(folder, name), "junction");
    }
    for (const name of ["package.json", "presets"]) {
      cpSync(join(projectFolder, name), join(folder, name), { recursive: true });
    }
    mkdirSync(join(folder, "render"));
    const outFolder = join(projectFolder, "render", "out");
    cpSync(join(projectFolder, "render"), join(folder, "render"), {
      recursive: true,
      filter: (path) => !path.startsWith(outFolder),
    });
  });

  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  const run = blocks.filter((block) => block.notRunBecause === null);
  const runsItself = /\bnpm (run )?test\b|\bvitest\b|\.ci\/run\b/;
  test.each(run.flatMap((block) => block.commands.map((command) => ({ line: block.line, command }))))(
    "line $line: $command",
    ({ command }) => {
      expect(command, "would run this test within itself").not.toMatch(runsItself);
      const env = { ...process.env, CI: "true", NO_COLOR: "1" };
      const result = spawnSync(command, { cwd: folder, shell: true, encoding: "utf8", env });
      expect(result.stderr).not.toMatch(/^\s+at /m);
      expect(result.status, result.stderr).toBe(0);
      expect(result.stdout + result.stderr, "says nothing").not.toBe("");
      for (const [path] of command.matchAll(/render\/out\/\S+/g)) {
        expect(statSync(join(folder, path)).size, path).toBeGreaterThan(0);
      }
    },
  );

  test("leaves out of the run only what would run itself", () => {
    const left = blocks.filter((block) => block.notRunBecause !== null);
    expect(left.map((block) => block.commands)).toEqual([["npm test"]]);
  });

  test("shows a command for every door", () => {
    const commands = blocks.flatMap((block) => block.commands).join("\n");
    for (const word of ["npm start", "npm test", "presets", "render ", "events ", "check "]) {
      expect(commands).toContain(word);
    }
  });

  test("names every field of a machine file", () => {
    const named = new Set(readme.match(/[A-Za-z]+/g));
    const fields = propertyNames(JSON.parse(readText("presets/schema.json")));
    expect(fields.length).toBeGreaterThan(40);
    expect(fields.filter((field) => !named.has(field))).toEqual([]);
  });

  test.each(["render", "events", "check", "presets"])("names every option of %s", (command) => {
    const cli = join(projectFolder, "dist", "node", "cli.js");
    const { stdout } = spawnSync(process.execPath, [cli, command, "--help"], { encoding: "utf8" });
    const options = [...stdout.matchAll(/^\s+(?:-\w, )?(--[a-z-]+)/gm)].map((match) => match[1] ?? "");
    expect(options).toContain("--help");
    expect(options.filter((option) => !readme.includes(option))).toEqual([]);
  });

  test("links to nothing that is not there", () => {
    const links = [...readme.matchAll(/\]\((?!https?:|#)([^)#]+)(?:#[^)]*)?\)/g)].map((match) => match[1] ?? "");
    expect(links.length).toBeGreaterThan(0);
    expect(links.filter((path) => !existsSync(join(projectFolder, path)))).toEqual([]);
  });
});

describe("reading the blocks of a page", () => {
  test("takes sh blocks only, joins continued lines, leaves remarks out", () => {
    const page = ["```yaml", "a: 1", "```", "```sh", "# first", "one \\", "  --two", "three", "```"].join("\n");
    expect(shellBlocks(page)).toEqual([{ line: 4, commands: ["one --two", "three"], notRunBecause: null }]);
  });

  test("leaves out only what gives a reason on the line above", () => {
    const reason = "<!-- not run: needs a loudspeaker -->";
    const page = [reason, "", "```sh", "one", "```", "", "```sh", "two", "```"].join("\n");
    expect(shellBlocks(page).map((block) => block.notRunBecause)).toEqual(["needs a loudspeaker", null]);
  });

  test("does not let an open block swallow the page", () => {
    expect(() => shellBlocks("```sh\nnpm test\n")).toThrow("line 1");
  });
});
