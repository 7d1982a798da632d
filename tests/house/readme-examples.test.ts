import { describe, expect, test } from "vitest";
import { complaintText, loadMachine } from "../../src/preset/machine-file.js";
import { loadRun } from "../../src/preset/run-file.js";
import { readText } from "./source-tree.js";

const examples = [...readText("README.md").matchAll(/^```yaml\n([\s\S]*?)^```$/gm)].map((match) => match[1] ?? "");
const machineText = examples.find((text) => text.startsWith("formatVersion:")) ?? "";
const runText = examples.find((text) => text.startsWith("machine:")) ?? "";

describe("the files that the README shows", () => {
  test("are one machine and one run", () => {
    expect(examples.length).toBe(2);
    expect([machineText, runText]).not.toContain("");
  });

  test("load without complaint, and nothing in them is odd", () => {
    const machine = loadMachine(machineText, "README.md");
    if (!machine.ok) throw new Error(machine.errors.map(complaintText).join("\n"));
    expect(machine.value.warnings).toEqual([]);

    const run = loadRun(runText, "README.md", machine.value);
    if (!run.ok) throw new Error(run.errors.map(complaintText).join("\n"));
    expect(run.value.warnings).toEqual([]);
  });

  test("and the controls that it shows in a sentence load beside that machine, from a standing shaft", () => {
    const controls = /`(controls: \[.*\])`/.exec(readText("README.md").replace(/\s*\n\s*/g, " "))?.[1] ?? "";
    const machine = loadMachine(machineText, "README.md");
    if (!machine.ok) throw new Error("see above");
    const run = loadRun(`machine: m.yaml\n${controls}\n`, "README.md", machine.value);
    if (!run.ok) throw new Error(run.errors.map(complaintText).join("\n"));
    expect(run.value.controls[0]).toMatchObject({ speedRpm: 0, regulatorRatio: 0 });
    expect(run.value.warnings).toEqual([]);
  });

  test("give the four values that suffice, and little else", () => {
    const machine = loadMachine(machineText, "README.md");
    expect(machine.ok && machine.value.assumed.length).toBeGreaterThan(20);
  });
});
