import { describe, expect, it } from "vitest";
import type { VoiceRecord } from "../../src/engine/voice-record.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { rms } from "../sound/signal-measures.js";
import { allAtWork, RATE, rig } from "./side-voice-rig.js";

const stemNames = [
  "drains",
  "relief",
  "glands",
  "snifting",
  "safety-valve",
  "blower",
  "blow-down",
  "fire",
  "simmer",
  "feed",
  "condenser",
  "cooling",
  "whistle",
] as const;

describe.each(stemNames)("the voice of %s", (stemName) => {
  it("is idle and silent while nothing drives it", () => {
    const { voice, run } = rig(stemName);
    const output = run(0.2, (record) => record.metalK.fill(400));
    expect(voice.isIdle).toBe(true);
    expect(output.every((p) => p === 0)).toBe(true);
  });

  it("sounds when driven, and falls back to rest and silence when its driver stops", () => {
    const { voice, run } = rig(stemName);
    expect(rms(run(1, allAtWork))).toBeGreaterThan(0);
    run(6, (record) => {
      for (const values of Object.values(record) as unknown[]) {
        if (values instanceof Float64Array && values !== record.metalK) values.fill(0);
      }
      record.sniftKgPerS = record.safetyKgPerS = record.blowerKgPerS = record.blowdownKgPerS = 0;
      record.exhaustKgPerS = record.shaftRadPerS = record.whistleRatio = 0;
      record.blowdownWaterKgPerS = record.fireW = record.heatW = record.steamRaisedKgPerS = record.feedKgPerS = 0;
    });
    // Mean of the iron still creeps for a while behind its skin.
    const rest = run(stemName === "cooling" ? 60 : 1, () => undefined);
    expect(voice.isIdle).toBe(true);
    expect(rest.subarray(rest.length - 9600).every((p) => p === 0)).toBe(true);
  });

  it("is heard as one over the distance", () => {
    const heard = [5, 10].map((distanceM) => rms(rig(stemName, { distanceM }).run(1, allAtWork)));
    expect(Math.abs(20 * Math.log10(heard[0] / heard[1]) - 6.02)).toBeLessThan(0.01);
  });

  it("gives the same samples from the same seed after a reset", () => {
    const { voice, run } = rig(stemName);
    let timeS = 0;
    const drive = (record: VoiceRecord): void => {
      allAtWork(record, timeS);
      timeS += 8 / RATE;
    };
    const first = run(0.5, drive);
    voice.reset();
    timeS = 0;
    expect(run(0.5, drive)).toEqual(first);
  });

  it("stays finite when driven beyond all bounds and by what is no number", () => {
    for (const value of [1e12, 1e-200, NaN, -1e9, Infinity]) {
      const { run } = rig(stemName);
      const output = run(0.2, (record) => {
        for (const [name, values] of Object.entries(record) as [string, unknown][]) {
          if (values instanceof Float64Array) values.fill(value);
          else (record as unknown as Record<string, number>)[name] = value;
        }
      });
      expect(output.every(Number.isFinite), `driven by ${value}`).toBe(true);
    }
  });
});

describe("noise in a loop", () => {
  it.each(["drains", "safety-valve", "fire", "simmer", "feed", "blower"] as const)(
    "of %s repeats with its period",
    (stemName) => {
      const { voice, record, run, noisePeriod } = rig(stemName);
      noisePeriod.samples = 24_576;
      allAtWork(record, 0);
      voice.settle();
      const output = run(5 * (24_576 / RATE), (now) => allAtWork(now, 0));
      const last = output.subarray(4 * 24_576);
      const before = output.subarray(3 * 24_576, 4 * 24_576);
      let most = 0;
      for (let i = 0; i < last.length; i++) most = Math.max(most, Math.abs(last[i] - before[i]));
      expect(most).toBeLessThan(1e-6 * rms(last));
    },
  );
});

describe("the voices together", () => {
  it("allocate less than half a byte a sample each, at work and at rest", () => {
    for (const stemName of stemNames) {
      for (const isWorking of [true, false]) {
        const { voice, record } = rig(stemName);
        if (isWorking) allAtWork(record, 0);
        else record.metalK.fill(400);
        // A number of its own would be counted.
        const shaftRad = new Float64Array(1);
        const perChunk = allocatedBytesPerCall(() => {
          for (let r = 0; r < 16; r++) {
            shaftRad[0] += 1e-3;
            if (isWorking) record.shaftRad = shaftRad[0];
            voice.take(r);
          }
          if (!voice.isIdle) voice.process();
        }, 1000);
        expect(perChunk / 128, `${stemName}, ${isWorking ? "at work" : "at rest"}`).toBeLessThan(0.5);
      }
    }
  });
});
