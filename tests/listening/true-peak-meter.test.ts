import { describe, expect, it } from "vitest";
import { interpolationTaps } from "../../src/listening/interpolation-taps.js";
import { TRUE_PEAK_BAND_RATIO, TRUE_PEAK_TAPS, TruePeakMeter } from "../../src/listening/true-peak-meter.js";

/** Noise whose level comes and goes, with a few sharp peaks: what an exhaust looks like to the meter. */
function beats(count: number, start: number): Float32Array {
  let state = start;
  return Float32Array.from({ length: count }, (_, i) => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return (state / 2 ** 31) * Math.exp(-((i % 3000) / 900)) * (1 + 0.5 * Math.sin(i / 20000));
  });
}

/** The same readings with nothing passed over: every place of every gap, by plain sums. */
function exhaustive(samples: Float32Array): number {
  const phases = [1, 2, 3, 4, 5, 6, 7].map((k) => interpolationTaps(TRUE_PEAK_TAPS, TRUE_PEAK_BAND_RATIO, k / 8));
  const half = TRUE_PEAK_TAPS / 2;
  let peak = 0;
  for (let i = -half; i < samples.length + half; i++) {
    peak = Math.max(peak, Math.abs(samples[i] ?? 0));
    for (const taps of phases) {
      let sum = 0;
      for (let k = 0; k < TRUE_PEAK_TAPS; k++) sum += taps[k] * (samples[i + k + 1 - half] ?? 0);
      peak = Math.max(peak, Math.abs(sum));
    }
  }
  return peak;
}

describe("the true-peak meter", () => {
  it.each([1, 2, 3, 4])("passes over nothing that would have won (signal %i)", (start) => {
    const samples = beats(20000, start);
    const meter = new TruePeakMeter(1);
    meter.process([samples], samples.length);
    expect(meter.truePeakRatio()).toBeCloseTo(exhaustive(samples), 12);
  });

  it.each([1, 7, 64, 128, 312, 513])("reads the same however the block is cut (%i)", (block) => {
    const samples = beats(20000, 8);
    const whole = new TruePeakMeter(1);
    whole.process([samples], samples.length);
    const cut = new TruePeakMeter(1);
    for (let at = 0; at < samples.length; at += block) {
      const part = samples.subarray(at, at + block);
      cut.process([part], part.length);
      if (at % 5 === 0) cut.truePeakRatio(); // reading disturbs nothing
    }
    expect(cut.truePeakRatio()).toBe(whole.truePeakRatio());
  });

  it("hears the peak that follows the last sample and the one before the first", () => {
    const pair = Float32Array.from([1, 1]);
    const meter = new TruePeakMeter(1);
    meter.process([pair], 2);
    // Two equal samples alone: the band-limited signal reaches 4/pi half way between them (closed form, full band).
    expect(meter.truePeakRatio()).toBeGreaterThan(1.2);
    expect(Math.abs(meter.truePeakRatio() - 4 / Math.PI)).toBeLessThan(0.02);
  });

  it("takes the greater of two channels, and reset equals fresh", () => {
    const [quiet, loud] = [beats(9000, 2), beats(9000, 3).map((x) => 2 * x)];
    const alone = new TruePeakMeter(1);
    alone.process([loud], loud.length);
    const both = new TruePeakMeter(2);
    both.process([quiet, loud], quiet.length);
    expect(both.truePeakRatio()).toBe(alone.truePeakRatio());
    both.reset();
    expect(both.truePeakDbtp()).toBe(-Infinity);
    both.process([loud, quiet], loud.length);
    expect(both.truePeakRatio()).toBe(alone.truePeakRatio());
  });

  it("refuses more than two channels", () => {
    expect(() => new TruePeakMeter(3)).toThrow(/channelCount must be 1 or 2, got 3/);
  });
});
