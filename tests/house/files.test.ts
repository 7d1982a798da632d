import { readdirSync } from "node:fs";
import { basename } from "node:path";
import { describe, expect, test } from "vitest";
import { fullScaleLongestS } from "../../src/offline/full-scale.js";
import { filesUnder, projectFolder, readText } from "./source-tree.js";

const files = filesUnder(".");
const code = files.filter((path) => /^(src|tests|\.ci)\/.*\.(ts|mjs|js)$/.test(path));

/** The eight of the design, what tools insist on, and what later work adds. */
const topLevel = {
  ours: ["package.json", "tsconfig.json", "README.md", "DEVELOPERS.md", "src", "tests", "presets", "render"],
  tools: [
    ".ci",
    ".gitignore",
    ".prettierignore",
    ".prettierrc.json",
    "CHANGELOG.md",
    "LICENSE",
    "eslint.config.js",
    "package-lock.json",
    "vitest.config.ts",
  ],
  later: ["examples", "docs"],
  madeByTools: [".git", "node_modules", "dist", "coverage"],
};

/** Files over the limit, each with its reason. An exception that is no longer needed fails the test. */
const lineLimit = 300;
const longFiles: Readonly<Record<string, string>> = {
  "src/flow/finite-volume-pipe.ts": "the pass over the cells is one loop, with the last cell's values kept in locals",
};

describe("the tree", () => {
  test("has exactly the top level of the design", () => {
    const present = readdirSync(projectFolder).filter((name) => !topLevel.madeByTools.includes(name));
    const required = [...topLevel.ours, ...topLevel.tools];
    expect(present.filter((name) => !topLevel.later.includes(name)).sort()).toEqual(required.sort());
  });

  test("names every file for the thing in it, in small letters with hyphens", () => {
    const vague = /^(utils?|helpers?|common|managers?|data|misc|shared|stuff)\b/;
    expect(code.filter((path) => vague.test(basename(path)))).toEqual([]);
    expect(code.filter((path) => !/^[a-z0-9]+(-[a-z0-9]+)*(\.test|\.d)?\.(ts|mjs)$/.test(basename(path)))).toEqual([]);
  });

  test(`keeps every file within ${lineLimit} lines, or says why not`, () => {
    const long = code.filter((path) => readText(path).trimEnd().split("\n").length > lineLimit);
    expect(long).toEqual(Object.keys(longFiles).sort());
  });
});

describe("the words", () => {
  // Put together here, so that this file does not hold them either.
  const banned = [
    ["trans", "cript"],
    ["vi", "deo"],
    ["seed ", "document"],
    ["seed ", "file"],
  ].map((halves) => new RegExp(halves.join(""), "i"));
  const registry = new RegExp(["registry", "(npmjs|yarnpkg)"].join("\\."), "i");

  test("nowhere speak of what lies outside the project", () => {
    const faults: string[] = [];
    for (const path of files.filter((one) => one !== "package-lock.json")) {
      readText(path)
        .split("\n")
        .forEach((line, index) => {
          if ([...banned, registry].some((word) => word.test(line))) faults.push(`${path}:${index + 1} ${line.trim()}`);
        });
    }
    expect(files.length).toBeGreaterThan(20);
    expect(faults).toEqual([]);
  });

  test("tell the limits and the checks that the code has", () => {
    const flat = (path: string) => readText(path).replace(/\s+/g, " ");
    const slowestRpm = 60 / (fullScaleLongestS / 4); // four turns
    expect(flat("README.md")).toContain(`four settled turns`);
    expect(flat("README.md")).toContain(
      `below ${slowestRpm} rpm, it is judged by the first ${fullScaleLongestS} s of them`,
    );
    expect(readText("tests/golden/renders.test.ts")).toContain("toBe(kept.sha256)");
    expect(flat("DEVELOPERS.md")).toMatch(/`tests\/golden` +\| stored renders,[^|]* bit for bit/);
  });

  test("send a reader only to machines and runs that ship", () => {
    const told = files.filter((path) => /^(src|README|DEVELOPERS)/.test(path));
    const lost = told.flatMap((path) =>
      [...readText(path).matchAll(/\b(?:presets|render)\/[a-z0-9-]+\.ya?ml\b/g)]
        .filter(([target]) => !files.includes(target))
        .map(([target]) => `${path} names ${target}`),
    );
    expect(lost).toEqual([]);
  });

  test("name no paper that a reader of the code does not have", () => {
    // Put together here, as above: papers by name, and the habits of citing them.
    const papers = ["NEE" + "DS", "PIP" + "ES", "DESI" + "GN"].map((name) => `\\b${name}\\b`);
    const habits = [
      "\\b[Cc]hec" + "ks? [0-9]",
      "\\bchec" + "ks?/",
      "\\bchec" + "ks of the trade",
      "\\bthe chec" + "ks say",
      "\\b(pipe|shared|shared [a-z]+) stu" + "dy\\b",
      "\\b[Ii]ss" + "ue [0-9]",
    ];
    const elsewhere = new RegExp([...papers, ...habits].join("|"));
    const read = files.filter((path) => /^(src|tests|\.ci|presets|render)\/|\.md$/.test(path));
    const faults = read.flatMap((path) =>
      readText(path)
        .split("\n")
        .flatMap((line, index) => (elsewhere.test(line) ? [`${path}:${index + 1} ${line.trim()}`] : [])),
    );
    expect(faults).toEqual([]);
  });

  test("leave no unfinished work behind in the code", () => {
    const mark = new RegExp(`\\b(${["TO", "DO"].join("")}|${["FIX", "ME"].join("")}|${"X".repeat(3)})\\b`);
    expect(code.filter((path) => mark.test(readText(path)))).toEqual([]);
  });

  test("name no download address in the lock file", () => {
    const lock = readText("package-lock.json");
    expect(lock).toContain('"lockfileVersion"');
    expect(lock).not.toMatch(/"resolved":/);
    expect(lock).not.toMatch(registry);
    expect(files.filter((path) => basename(path) === ".npmrc")).toEqual([]);
  });
});
