import { describe, expect, it } from "vitest";
import { planRun } from "../../src/offline/run-plan.js";
import type { MachineFile } from "../../src/preset/machine-file.js";
import { machineOfText, preset, request, runNames, runOfText, shippedRun } from "./renders.js";

const harrow = preset("harrow-tank");
const toy = preset("pocket-wobbler");

const against = (notes: readonly string[]) =>
  notes.filter((note) => note.startsWith("The shaft turns against its gear"));
const bare = (speedRpm: number, cutoffRatio: number | null, machine = harrow) =>
  against(planRun(request(machine, { speedRpm, cutoffRatio })).notes);
const run = (controls: string, machine: MachineFile = harrow) =>
  against(planRun(request(machine, { run: runOfText(`seconds: 10\ncontrols: [${controls}]`, machine) })).notes);

// A gear set against the way the shaft turns works the engine as a brake. [common practice: counter-pressure running]
describe("a shaft turned against its gear", () => {
  it("is said of a bare machine, either way round, and of no other", () => {
    expect(bare(-60, 0.75)).toEqual([
      "The shaft turns against its gear: the engine brakes it and takes power. " +
        "Give speed and cut-off the same sign to have it pull.",
    ]);
    expect(bare(60, -0.3).length).toBe(1);
    for (const [speed, cutoff] of [
      [60, 0.75],
      [-60, -0.75],
      [-60, null],
      [0, -0.75],
      [-60, 0.01], // mid gear drives neither way
    ] as const)
      expect(bare(speed, cutoff), `${speed} rpm, ${cutoff}`).toEqual([]);
    expect(bare(-400, null, toy)).toEqual([]);
  });

  it("is said of a run from the moment at which it begins", () => {
    const start = "{ at: 0 s, speed: 60 rpm, cutoff: 70 % }";
    expect(run(start)).toEqual([]);
    expect(run(`${start}, { at: 4 s, cutoff: -70 % }`)[0]).toContain("against its gear from 4 s on:");
    // 60 rpm to -60 rpm from 2 s to 6 s stands at 4 s.
    expect(run(`${start}, { at: 6 s, speed: -60 rpm, over: 4 s }`)[0]).toContain("from 4 s on:");
    expect(run(`${start}, { at: 6 s, speed: -60 rpm, cutoff: -70 %, over: 4 s }`)).toEqual([]);
    expect(run("{ at: 0 s, speed: -60 rpm, cutoff: 70 % }")[0]).toContain("against its gear:");
  });

  it("begins where the reverser leaves mid gear, and not after the end of the run", () => {
    // Lead 1/4 in on lap 1 in: mid gear cuts off at a tenth. From +70 % to -70 % at 20 % a second: -10 % at 1 s + 4 s.
    const geared = machineOfText(
      "cylinders: { bore: 17 in, stroke: 24 in }\nboiler: { pressure: 10 bar }\nspeed: 60 rpm\n" +
        "valveGear: { kind: eccentric, travel: 5 in, steamLap: 1 in, lead: 0.25 in }",
    );
    const start = "{ at: 0 s, speed: 60 rpm, cutoff: 70 % }";
    expect(run(`${start}, { at: 8 s, cutoff: -70 %, over: 7 s }`, geared)[0]).toContain("from 5 s on:");
    expect(run(`${start}, { at: 12 s, cutoff: -70 %, over: 3 s }`, geared)).toEqual([]);
  });

  it("is not said of the runs that ship", () => {
    for (const name of runNames) {
      const { machine, run } = shippedRun(name);
      expect(against(planRun(request(machine, { run })).notes), name).toEqual([]);
    }
  });
});
