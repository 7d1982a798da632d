import { describe, expect, it } from "vitest";
import { LoopDrive } from "../../src/machine/loop-drive.js";
import { Machine } from "../../src/machine/machine.js";
import { restoreState, saveState } from "../../src/machine/saved-state.js";
import { settleLoop } from "../../src/machine/settle-loop.js";
import { driveOf, ownCutoffRatio, steadyPlan } from "../../src/offline/run-plan.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { preset, presetNames, type PresetName } from "../offline/renders.js";

const rateHz = 48_000;

function machineOf(name: PresetName, backgroundDb: number | null = null): Machine {
  const { description } = preset(name);
  const plan = steadyPlan(description, description.speedRpm, 1, null, 10);
  const settings = { sampleRateHz: rateHz, fidelity: 4, seed: 1, distanceM: 7.5, backgroundDb } as const;
  return new Machine(description, settings, driveOf(plan));
}

function heard(machine: Machine, frames: number): Float64Array[] {
  const stems = machine.stemNames.map(() => new Float64Array(frames));
  machine.process(stems, frames);
  return stems;
}

const isSame = (a: readonly Float64Array[], b: readonly Float64Array[]) =>
  a.length === b.length && a.every((stem, s) => stem.every((value, i) => Object.is(value, b[s][i])));

describe("a machine's saved state", () => {
  it.each(presetNames)(
    "%s: a second run from it is the first, bit for bit, in the same machine and in another",
    (name) => {
      const machine = machineOf(name, 30);
      machine.runSilent(Math.round(0.5 / machine.tickS));
      heard(machine, 1000); // in the midst of a chunk
      const saved = saveState(machine);
      const first = heard(machine, rateHz);
      const beats = machine.beats.count;
      restoreState(saved, machine);
      expect(isSame(heard(machine, rateHz), first)).toBe(true);
      expect(machine.beats.count).toBe(beats);
      const other = machineOf(name, 30);
      heard(other, 777);
      restoreState(saved, other);
      expect(isSame(heard(other, rateHz), first)).toBe(true);
      expect(Math.max(...first[0].map(Math.abs), ...first[3].map(Math.abs))).toBeGreaterThan(0);
    },
  );

  it("is not touched by what the machine does next, and can be written over", () => {
    const machine = machineOf("harrow-tank");
    const saved = saveState(machine);
    const early = heard(machine, 6000);
    const later = saveState(machine);
    restoreState(saved, machine);
    expect(isSame(heard(machine, 6000), early)).toBe(true);
    const again = saveState(machine, saved);
    const late = heard(machine, 6000);
    restoreState(later, machine);
    expect(isSame(heard(machine, 6000), late)).toBe(true);
    restoreState(again, machine);
    expect(isSame(heard(machine, 6000), late)).toBe(true);
  });

  // Within the budget of half a byte a sample beside what the machine itself may take.
  it("costs the heap nothing once restored", () => {
    const machine = machineOf("harrow-tank");
    const stems = machine.stemNames.map(() => new Float64Array(1024));
    const run = () => machine.process(stems, 1024);
    for (let i = 0; i < 100; i++) run();
    const saved = saveState(machine);
    const before = allocatedBytesPerCall(run, 100) / 1024;
    restoreState(saved, machine);
    const after = allocatedBytesPerCall(run, 100) / 1024;
    console.log("bytes a sample before and after", before.toFixed(3), after.toFixed(3));
    expect(after).toBeLessThan(before + 0.5);
  });

  it("refuses a machine of another make", () => {
    const saved = saveState(machineOf("harrow-tank"));
    expect(() => restoreState(saved, machineOf("oxmoor-mill"))).toThrow(/must be of the same make/);
    expect(() => restoreState(saved, machineOf("harrow-tank", 30))).toThrow(RangeError);
  });
});

describe("any graph of objects", () => {
  it("keeps numbers to the last bit, cycles, shared arrays, and who holds whom", () => {
    const shared = Float64Array.of(1, -0, NaN, Infinity);
    const root: Record<string, unknown> = { zero: -0, none: NaN, word: "head", is: true, shared, list: [1, 2, 3] };
    root.self = root;
    root.pair = [shared, Int16Array.of(-3, 7)];
    const saved = saveState(root);
    const pair = root.pair as (Float64Array | Int16Array)[];
    shared.fill(9);
    pair.reverse();
    (root.list as number[]).push(4);
    Object.assign(root, { zero: 0, none: 1, word: "crank", is: false, self: null });
    restoreState(saved, root);
    expect(root.self).toBe(root);
    expect(pair).toHaveLength(2);
    expect(pair[0]).toBe(shared);
    expect(shared).toEqual(Float64Array.of(1, -0, NaN, Infinity));
    expect(root).toMatchObject({ zero: -0, none: NaN, word: "head", is: true, list: [1, 2, 3] });
  });

  it("is refused where something could be forgotten", () => {
    expect(() => saveState({ held: new Map() })).toThrow(/a Map cannot be copied/);
    expect(() => saveState({ held: [new Set()] })).toThrow(TypeError);
  });
});

// The state repeats when the drive repeats. The limit is the loop's own, 1e-7 of each figure; found: 1e-12.
describe("a settled machine with its metal held", () => {
  it.each<[PresetName, number]>([
    ["harrow-tank", 12_000],
    ["hall-exhibit", 16_000],
  ])("%s: the gas of one turn is that of the next", (name, ticks) => {
    const machine = machineOf(name);
    const { description, engine } = machine;
    const timing = { turns: 1, ticks };
    expect(ticks * machine.tickS).toBeCloseTo(60 / description.speedRpm, 12);
    const cutoff = ownCutoffRatio(description.gear, description.speedRpm) ?? 1;
    machine.setDrive(new LoopDrive(timing, machine.tickS, 1, cutoff));
    const settled = settleLoop(machine, timing, description.speedRpm, 0);
    expect(settled.isSettled).toBe(true);
    const turnOf = () => {
      const told: number[] = [];
      for (let t = 0; t < ticks; t += 50) {
        machine.runSilent(50);
        told.push(...engine.record.endPressurePa, engine.chest.massKg, engine.network.massKg, engine.storedEnergyJ());
      }
      return told;
    };
    const [first, second] = [turnOf(), turnOf()];
    const worst = first.reduce((most, value, i) => Math.max(most, Math.abs(second[i] / value - 1)), 0);
    console.log(name, "turn against turn", worst.toExponential(1), "metal", settled.metalGainW.toFixed(2), "W");
    expect(worst).toBeLessThan(1e-10);
    // Metal held off its balance would drift if let go; what it gains is far below what it passes on.
    const powerW = settled.workJ.reduce((sum, joule) => sum + joule, 0) / (ticks * machine.tickS);
    expect(Math.abs(settled.metalGainW)).toBeLessThan(1e-3 * powerW);
  });
});
