import { describe, expect, test } from "vitest";
import { filesUnder, readText } from "./source-tree.js";

const declared = /^export (?:abstract )?(?:async )?(?:const|function|class|interface|type) (\w+)/gm;

/** A file's words, without what its comments say. */
function wordsOf(path: string): string[] {
  return (
    readText(path)
      .replace(/\/\*[\s\S]*?\*\/|(^|\s)\/\/.*$/gm, "$1")
      .match(/\w+/g) ?? []
  );
}

/** Names that are exported and stand nowhere but in their own declaration. */
function unusedExports(paths: readonly string[]): string[] {
  const counts = new Map<string, number>();
  for (const path of paths) for (const word of wordsOf(path)) counts.set(word, (counts.get(word) ?? 0) + 1);
  return paths
    .filter((path) => path.startsWith("src/"))
    .flatMap((path) =>
      [...readText(path).matchAll(declared)]
        .filter(([, name]) => (counts.get(name!) ?? 0) < 2)
        .map(([, name]) => `${path} exports ${name}`),
    );
}

describe("the door", () => {
  test.each([
    ["a machine from a file and a run from another", "loadMachine loadRun readRunMachinePath complaintText"],
    ["frames of a run, without a clock", "OfflineRender openRender renderRequest"],
    [
      "a machine that sounds as it is driven",
      "Machine TimedDrive ControlTrack settle saveState restoreState stemNames",
    ],
    ["its controls, by name", "sideControls sideControlIndex restingControls"],
    ["a place to listen from", "Listener standingPoint sourcePlaces"],
    ["what leaves the mouths, for drawing", "PlumeRecord plumeUntil"],
    ["pictures and reports", "turnRing eventsReport eventsText checkMachine"],
  ])("hands out %s", async (_, names) => {
    const door: Readonly<Record<string, unknown>> = await import("../../src/index.js");
    for (const name of names.split(" ")) expect(door[name], name).toBeDefined();
  });
});

describe("exports", () => {
  test("are all used, if only by a test that holds them against something published", () => {
    const code = [...filesUnder("src"), ...filesUnder("tests")].filter((path) => /\.(ts|mjs)$/.test(path));
    expect(code.length).toBeGreaterThan(100);
    expect(unusedExports(code)).toEqual([]);
  });
});
