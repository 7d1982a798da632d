import { describe, expect, it } from "vitest";
import { LoudnessMeter } from "../../src/listening/loudness-meter.js";

/** Repeatable noise of -1 to 1 (a linear congruential generator: any will do). */
function noise(count: number, start = 1): Float32Array {
  let state = start;
  return Float32Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return state / 2 ** 31;
  });
}

function readings(meter: LoudnessMeter): number[] {
  return [meter.integratedLufs(), meter.momentaryMaxLufs(), meter.shortTermMaxLufs(), meter.loudnessRangeLu()];
}

describe("the loudness meter", () => {
  it.each([1, 7, 64, 128, 312, 100000])("reads the same however the block is cut (%i)", (block) => {
    const samples = noise(160000);
    const whole = new LoudnessMeter(44100, 1);
    whole.process([samples], samples.length);
    const cut = new LoudnessMeter(44100, 1);
    for (let at = 0; at < samples.length; at += block) {
      const part = samples.subarray(at, at + block);
      cut.process([part], part.length);
    }
    expect(readings(cut)).toEqual(readings(whole));
  });

  it("reads -Infinity for silence and before 400 ms are over", () => {
    const meter = new LoudnessMeter(48000, 2);
    const silence = new Float32Array(48000 * 4);
    meter.process([silence, silence], silence.length);
    expect(readings(meter)).toEqual([-Infinity, -Infinity, -Infinity, 0]);
    const short = new LoudnessMeter(48000, 1);
    short.process([noise(19199)], 19199);
    expect(short.integratedLufs()).toBe(-Infinity);
    short.process([noise(1)], 1);
    expect(short.integratedLufs()).toBeGreaterThan(-10);
  });

  it("reset equals fresh", () => {
    const meter = new LoudnessMeter(48000, 1);
    meter.process([noise(200000, 5)], 200000);
    meter.reset();
    const fresh = new LoudnessMeter(48000, 1);
    for (const each of [meter, fresh]) each.process([noise(150000, 9)], 150000);
    expect(readings(meter)).toEqual(readings(fresh));
  });

  it("forgets a NaN after its own 100 ms and says how many it heard", () => {
    const samples = noise(48000 * 5);
    const clean = new LoudnessMeter(48000, 1);
    clean.process([samples], samples.length);
    const broken = samples.slice();
    broken[60000] = NaN;
    const meter = new LoudnessMeter(48000, 1);
    meter.process([broken], broken.length);
    expect(meter.brokenPartCount()).toBe(1);
    expect(clean.brokenPartCount()).toBe(0);
    expect(meter.momentaryMaxLufs()).toBeCloseTo(clean.momentaryMaxLufs(), 1);
    expect(Math.abs(meter.integratedLufs() - clean.integratedLufs())).toBeLessThan(0.2);
  });

  it("gives the integrated loudness of a wandering level as a list of all blocks gives it", () => {
    // Gates of BS.1770-4 Annex 1 applied to the exact list; the histogram blurs the relative gate by 0.01 LU at most.
    const samples = noise(48000 * 30, 3);
    for (let i = 0; i < samples.length; i++) samples[i] *= 10 ** (-1.2 + 1.1 * Math.sin(i / 40000));
    const meter = new LoudnessMeter(48000, 1);
    const blocks: number[] = [];
    for (let at = 0; at < samples.length; at += 4800) {
      meter.process([samples.subarray(at, at + 4800)], 4800);
      if (at >= 3 * 4800) blocks.push(10 ** ((meter.momentaryLufs() + 0.691) / 10));
    }
    const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length;
    const gated = mean(blocks.filter((block) => block > 0.1 * mean(blocks)));
    expect(meter.integratedLufs()).toBeCloseTo(-0.691 + 10 * Math.log10(gated), 3);
  });

  it("refuses surround sound", () => {
    expect(() => new LoudnessMeter(48000, 5)).toThrow(/channelCount must be 1 or 2, got 5/);
  });
});
