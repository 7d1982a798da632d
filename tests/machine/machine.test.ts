import { describe, expect, it } from "vitest";
import { ControlTrack } from "../../src/machine/control-track.js";
import { TimedDrive } from "../../src/machine/drive.js";
import { Machine, stemNames } from "../../src/machine/machine.js";
import type { MachineSettings } from "../../src/machine/machine-settings.js";
import { settle } from "../../src/machine/settle.js";
import type { MachineFile } from "../../src/preset/machine-file.js";
import { eventsOf, preset, wrapped180 } from "../offline/renders.js";

const settings: MachineSettings = { sampleRateHz: 48_000, fidelity: 4, seed: 3, distanceM: 7.5 };

/** A drive in which everything moves: started slowly, sped up, notched up, eased. */
function liveliness(): TimedDrive {
  return new TimedDrive(
    new ControlTrack(40, [{ atS: 0.25, overS: 0.2, value: 130 }]),
    new ControlTrack(0.3, [{ atS: 0.15, overS: 0.15, value: 1 }]),
    new ControlTrack(0.8, [{ atS: 0.3, overS: 0.1, value: 0.45 }]),
  );
}

function steadily(speedRpm: number, cutoffRatio: number): TimedDrive {
  return new TimedDrive(new ControlTrack(speedRpm, []), new ControlTrack(1, []), new ControlTrack(cutoffRatio, []));
}

/** The first `frameCount` samples of every stem, asked for in blocks of the given lengths, over and over. */
function inBlocks(machine: Machine, frameCount: number, lengths: readonly number[]): Float64Array[] {
  const kept = stemNames.map(() => new Float64Array(frameCount));
  const block = stemNames.map(() => new Float64Array(Math.max(...lengths)));
  for (let done = 0, turn = 0; done < frameCount; turn++) {
    const count = Math.min(lengths[turn % lengths.length], frameCount - done);
    machine.process(block, count);
    kept.forEach((stem, s) => stem.set(block[s].subarray(0, count), done));
    done += count;
  }
  return kept;
}

const frames = 14_000;
const lively = (machine: MachineFile = preset("harrow-tank"), changes: Partial<MachineSettings> = {}) =>
  new Machine(machine.description, { ...settings, ...changes }, liveliness());

describe("a machine gives the same bits", () => {
  const whole = inBlocks(lively(), frames, [frames]);
  it("is heard at all", () => {
    for (const stem of whole) expect(stem.some((x) => Math.abs(x) > 0.1)).toBe(true);
    for (const stem of whole) expect(stem.every(Number.isFinite)).toBe(true);
  });
  // Block sizes of the house style's contract, and one file block.
  it.each([1, 7, 64, 128, 312, 4096])("in blocks of %i", (length) => {
    expect(inBlocks(lively(), frames, [length])).toEqual(whole);
  });
  it("in blocks of every length in turn", () => {
    expect(inBlocks(lively(), frames, [1, 127, 128, 129, 3, 4096, 500])).toEqual(whole);
  });
  it("a second time, after reset", () => {
    const machine = lively();
    inBlocks(machine, 5000, [4096]);
    machine.reset(0);
    expect(inBlocks(machine, frames, [4096])).toEqual(whole);
  });
  it("beside another machine running in turn with it", () => {
    const machine = lively();
    const other = lively(preset("stell-mineral"), { seed: 9 });
    const kept = stemNames.map(() => new Float64Array(frames));
    const block = stemNames.map(() => new Float64Array(1000));
    for (let done = 0; done < frames; done += 1000) {
      machine.process(block, 1000);
      kept.forEach((stem, s) => stem.set(block[s], done));
      other.process(block, 700);
    }
    expect(kept).toEqual(whole);
  });
  it("of the pulse stem whatever the seed, and others of the jet", () => {
    const [pulse, jet] = inBlocks(lively(undefined, { seed: 4 }), frames, [4096]);
    expect(pulse).toEqual(whole[0]);
    expect(jet).not.toEqual(whole[1]);
  });
});

describe("a machine keeps its clock", () => {
  it("settles so that the shaft stands at 0 at time 0, and runs on from there", () => {
    for (const speedRpm of [60, -47.3]) {
      const cutoffRatio = Math.sign(speedRpm) * 0.6;
      const machine = new Machine(preset("harrow-tank").description, settings, steadily(speedRpm, cutoffRatio));
      const leadTicks = 1234;
      const settled = settle(machine, speedRpm, leadTicks);
      expect(settled.isSettled).toBe(true);
      expect(settled.changeRatio).toBeLessThan(1e-3);
      // It ends just before the chunk that holds the lead's first tick: at most a chunk early.
      expect(machine.tick).toBeLessThanOrEqual(-leadTicks);
      expect(machine.tick).toBeGreaterThan(-leadTicks - 200);
      expect(machine.engine.record.shaftRad).toBeCloseTo((machine.tick * machine.tickS * speedRpm * Math.PI) / 30, 9);
      const block = stemNames.map(() => new Float64Array(-4 * machine.tick));
      machine.process(block, block[0].length);
      expect(machine.tick).toBeGreaterThanOrEqual(0);
      expect(machine.engine.record.shaftRad).toBeCloseTo((machine.tick * machine.tickS * speedRpm * Math.PI) / 30, 9);
      // A settled machine running steadily: every beat of the next turn at its own release.
      machine.beats.clear();
      machine.process(
        stemNames.map(() => new Float64Array(48_000)),
        48_000,
      );
      const releases = eventsOf(preset("harrow-tank"), cutoffRatio, speedRpm).beats;
      expect(machine.beats.count).toBeGreaterThanOrEqual(3);
      for (let i = 0; i < machine.beats.count; i++) {
        const { cylinder, end } = machine.engine.motion.ends[machine.beats.endOf(i)];
        const release = releases.find((beat) => beat.cylinder === cylinder && beat.end === end)!;
        const shaftDeg = (machine.beats.shaftRadOf(i) * 180) / Math.PI;
        expect(Math.abs(wrapped180(shaftDeg - release.shaftDeg))).toBeLessThan(1e-6);
        expect(machine.beats.timeS(i)).toBeCloseTo(shaftDeg / 6 / speedRpm, 9);
      }
    }
  });
  it("seeks without touching the gas", () => {
    const machine = new Machine(preset("harrow-tank").description, settings, steadily(60, 0.75));
    machine.runSilent(12_000);
    const mass = machine.engine.storedMassKg();
    const pressures = Array.from(machine.engine.ends.pressurePa);
    machine.seek(-24_000);
    expect(machine.tick).toBe(-24_000);
    expect(machine.nextSample).toBe(-96_000);
    expect(machine.engine.storedMassKg()).toBe(mass);
    expect(Array.from(machine.engine.ends.pressurePa)).toEqual(pressures);
  });
  it("stands still at speed 0: gas comes to rest, nothing is heard, nothing beats", () => {
    const machine = new Machine(preset("harrow-tank").description, settings, steadily(0, 0.75));
    expect(settle(machine, 0, 100)).toEqual({ turns: 0, changeRatio: 0, isSettled: true });
    const block = stemNames.map(() => new Float64Array(48_000));
    machine.process(block, 48_000);
    expect(machine.beats.count).toBe(0);
    // Leaks hiss on; what is left of a working engine's 15 Pa lies 43 dB lower and falls.
    const peaks = block.map((stem) => stem.reduce((most, x) => Math.max(most, Math.abs(x)), 0));
    stemNames.forEach((name, s) => expect(peaks[s], name).toBeLessThan(name === "leaks" ? 1 : 0.1));
    expect(peaks[stemNames.indexOf("leaks")]).toBeGreaterThan(0.01);
  });
  it("hands the shaft over to another drive where that one has it", () => {
    const machine = new Machine(preset("harrow-tank").description, settings, steadily(60, 0.75));
    const block = stemNames.map(() => new Float64Array(4800));
    machine.process(block, 4800);
    const timeS = machine.tick * machine.tickS;
    // A drive that runs half as fast and stands at the same angle now.
    const slower = new TimedDrive(
      new ControlTrack(60, [
        { atS: timeS, overS: 0, value: 60 },
        { atS: timeS, overS: 0, value: 30 },
      ]),
      new ControlTrack(1, []),
      new ControlTrack(0.75, []),
    );
    machine.setDrive(slower);
    machine.process(block, 4800);
    const elapsedS = machine.tick * machine.tickS - timeS;
    expect(machine.engine.record.shaftRad).toBeCloseTo(2 * Math.PI * timeS + Math.PI * elapsedS, 9);
  });
});
