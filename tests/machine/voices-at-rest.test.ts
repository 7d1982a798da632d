import { describe, expect, it } from "vitest";
import type { VoiceRecord } from "../../src/engine/voice-record.js";
import { VoiceStem } from "../../src/machine/voice-stem.js";
import type { Voice } from "../../src/machine/voice.js";
import { rig } from "./side-voice-rig.js";

// What makes each voice sound, as a working machine has it. [common practice]
const drives: readonly (readonly [string, (record: VoiceRecord, isOn: boolean) => void])[] = [
  ["drains", (record, isOn) => fill([record.drainKgPerS, 0.02], [record.drainMPerS, 420], isOn)],
  ["relief", (record, isOn) => fill([record.reliefKgPerS, 0.1], [record.reliefMPerS, 500], isOn)],
  ["glands", (record, isOn) => fill([record.glandKgPerS, 1e-3], [record.glandMPerS, 400], isOn)],
  [
    "snifting",
    (record, isOn) => {
      record.sniftKgPerS = isOn ? 0.2 : 0;
      record.sniftMPerS = isOn ? 150 : 0;
    },
  ],
  ["whistle", (record, isOn) => (record.whistleRatio = isOn ? 1 : 0)],
  [
    "safety-valve",
    (record, isOn) => {
      record.safetyKgPerS = isOn ? 0.5 : 0;
      record.safetyMPerS = isOn ? 600 : 0;
      record.safetyLiftRatio = isOn ? 0.5 : 0;
    },
  ],
  [
    "blower",
    (record, isOn) => {
      record.blowerKgPerS = isOn ? 0.1 : 0;
      record.blowerMPerS = isOn ? 600 : 0;
    },
  ],
  [
    "blow-down",
    (record, isOn) => {
      record.blowdownKgPerS = isOn ? 0.3 : 0;
      record.blowdownMPerS = isOn ? 400 : 0;
    },
  ],
  ["fire", (record, isOn) => (record.fireW = isOn ? 2e6 : 0)],
  ["simmer", (record, isOn) => (record.heatW = record.steamRaisedKgPerS = isOn ? 0.5 : 0)],
  ["feed", (record, isOn) => (record.feedKgPerS = isOn ? 1 : 0)],
];

function fill(mass: [Float64Array, number], speed: [Float64Array, number], isOn: boolean): void {
  mass[0].fill(isOn ? mass[1] : 0);
  speed[0].fill(isOn ? speed[1] : 0);
}

function boil(record: VoiceRecord): void {
  record.boilerPa = 1.1e6;
  record.boilerK = 457;
}

/** Counts what is asked of a voice, and passes it on. */
function counted(voice: Voice): { readonly voice: Voice; readonly calls: Map<string, number> } {
  const calls = new Map<string, number>();
  const proxy = new Proxy(voice, {
    get(target, name) {
      const value: unknown = Reflect.get(target, name, target);
      if (typeof value !== "function") return value;
      return (...args: unknown[]): unknown => {
        calls.set(String(name), (calls.get(String(name)) ?? 0) + 1);
        return Reflect.apply(value, target, args);
      };
    },
  });
  return { voice: proxy, calls };
}

describe("voices at rest", () => {
  it.each(drives)("%s: at rest it is asked once a row whether it is still, and makes nothing", (name) => {
    const { voice, record } = rig(name);
    boil(record);
    const { voice: watched, calls } = counted(voice);
    const stem = new VoiceStem(watched, 0);
    stem.reset();
    stem.settle();
    const chunk = () => {
      for (let r = 0; r < 16; r++) stem.take(r);
      stem.process();
    };
    for (let c = 0; c < 4; c++) chunk();
    calls.clear();
    for (let c = 0; c < 10; c++) chunk();
    expect(calls.get("take")).toBe(10);
    expect(calls.get("isStill")).toBe(150);
    expect(calls.get("process")).toBeUndefined();
    expect(stem.isHeard).toBe(false);
  });

  it.each(drives)("%s: having slept changes no sample of what comes after", (name, drive) => {
    const sleeps = rig(name);
    const wakes = rig(name);
    Object.defineProperty(wakes.voice, "isStill", { value: () => false });
    const run = (which: typeof sleeps) =>
      which.run(0.4, (record, timeS) => {
        boil(record);
        // Begins and ends within a chunk, twice.
        drive(record, (timeS > 0.1011 && timeS < 0.1523) || timeS > 0.3007);
      });
    const slept = run(sleeps);
    const woke = run(wakes);
    expect(woke.some((pressure) => pressure !== 0)).toBe(true);
    expect(slept).toEqual(woke);
  });

  it("glands of a standing engine, which breathe far below hearing, are at rest; at work they are not", () => {
    const { voice, run } = rig("glands");
    const breath = (massKgPerS: number, jetMPerS: number, seconds: number) =>
      run(seconds, (record) => {
        record.glandKgPerS.fill(massKgPerS);
        record.glandMPerS.fill(jetMPerS);
      });
    // A jet's sound goes with its speed to the power 8: Lighthill, Proc. R. Soc. A 222 (1954).
    breath(4.5e-7, 0.5, 0.6);
    expect(breath(4.5e-7, 0.5, 0.1).every((pressure) => pressure === 0)).toBe(true);
    expect(voice.isIdle).toBe(true);
    breath(1e-4, 100, 0.05);
    expect(voice.isIdle).toBe(false);
  });
});
