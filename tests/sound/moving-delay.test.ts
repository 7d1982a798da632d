import { describe, expect, it } from "vitest";
import { MovingDelay } from "../../src/sound/moving-delay.js";
import { gainDbAt, phaseDelayAt } from "./signal-measures.js";

const RATE = 48000;
const ROW = 64;

/** What one delay gives for an input, its travel led by `travelAt(seconds)` in samples. */
function carried(input: Float64Array, travelAt: (s: number) => number): Float64Array {
  const delay = new MovingDelay(20_000, ROW, 1);
  const slope = (s: number) => (travelAt(s + 1e-6) - travelAt(s - 1e-6)) / (2e-6 * RATE);
  delay.gains[0] = 1;
  delay.travel.set([travelAt(0), slope(0)]);
  delay.reset();
  const output = new Float64Array(input.length);
  for (let at = 0; at < input.length; at += ROW) {
    const s = (at + ROW) / RATE;
    delay.travel.set([travelAt(s), slope(s)]);
    delay.process(input, at, [output], at, Math.min(ROW, input.length - at));
  }
  return output;
}

const tone = (hz: number, seconds: number) =>
  Float64Array.from({ length: seconds * RATE }, (_, i) => Math.sin((2 * Math.PI * hz * i) / RATE));

describe("a delay that moves", () => {
  it("delays by whole samples exactly", () => {
    for (const travel of [7, 50, 1000]) {
      const impulse = new Float64Array(4096);
      impulse[100] = 1;
      const out = carried(impulse, () => travel);
      out.forEach((value, i) => expect(Math.abs(value - (i === 100 + travel ? 1 : 0))).toBeLessThan(1e-15));
    }
  });

  it("delays by any share of a sample: gain within 0.01 dB, delay within 0.0025 sample, to a quarter of the rate", () => {
    // Ideal delay: gain 1, phase delay as set. [closed form]
    let worstDb = 0;
    let worstSamples = 0;
    for (let share = 0; share < 1; share += 0.0713) {
      const impulse = new Float64Array(256);
      impulse[0] = 1;
      const h = carried(impulse, () => 40 + share);
      for (const hz of [100, 1000, 5000, 10000, 12000]) {
        worstDb = Math.max(worstDb, Math.abs(gainDbAt(h, hz, RATE)));
        worstSamples = Math.max(worstSamples, Math.abs(phaseDelayAt(h, hz, RATE, 40 + share) - 40 - share));
      }
    }
    console.log(`worst ${worstDb.toFixed(5)} dB, ${worstSamples.toFixed(6)} samples`);
    expect(worstDb).toBeLessThan(0.01);
    expect(worstSamples).toBeLessThan(0.0025);
  });

  it.each([10, 20, 30])("a source coming at %d m/s is heard c/(c - v) higher and going c/(c + v) lower", (v) => {
    // Doppler of a moving source, f' = f c/(c -+ v). [textbook; rows of 10, 20, 30 m/s: 1.03001/.97169 and so on]
    const c = 343.2;
    for (const [sign, expected] of [
      [-1, c / (c - v)],
      [1, c / (c + v)],
    ] as const) {
      const out = carried(tone(1000, 1), (s) => ((sign < 0 ? 60 : 20) + sign * v * s) * (RATE / c));
      const from = 0.4 * RATE;
      // A pure tone of the shifted pitch is what must remain once it is fitted: pitch, gain and what is not the tone.
      const w = (2 * Math.PI * 1000 * expected) / RATE;
      let re = 0;
      let im = 0;
      const n = 0.4 * RATE;
      for (let i = 0; i < n; i++) {
        const hann = 1 - Math.cos((2 * Math.PI * i) / n);
        re += hann * out[from + i]! * Math.cos(w * i);
        im += hann * out[from + i]! * Math.sin(w * i);
      }
      const [a, b] = [(2 * re) / n, (2 * im) / n];
      let rest = 0;
      for (let i = 0; i < n; i++) rest += (out[from + i]! - a * Math.cos(w * i) - b * Math.sin(w * i)) ** 2;
      const restDb = 10 * Math.log10(rest / n / 0.5);
      console.log(`${sign * v} m/s: rest ${restDb.toFixed(1)} dB`);
      expect(Math.hypot(a, b)).toBeCloseTo(1, 3);
      expect(restDb).toBeLessThan(-65);
    }
  });

  it.each([
    [1000, -65],
    [5000, -60],
    [10000, -55],
  ])("a tone of %d Hz passing at 30 m/s and 7.5 m is the exact retarded tone to %d dB", (hz, leastDb) => {
    // Retarded time of a straight pass, closed form: c (t - te) = sqrt(d^2 + (x0 + v te)^2).
    const [c, v, d, x0] = [343.2, 30, 7.5, -15];
    const range = (s: number) => Math.sqrt(d * d + (x0 + v * s) ** 2);
    const out = carried(tone(hz, 1), (s) => (range(s) * RATE) / c);
    let error = 0;
    let size = 0;
    for (let i = 0.1 * RATE; i < RATE; i++) {
      const t = i / RATE;
      const qa = c * c - v * v;
      const qb = -2 * (c * c * t + v * x0);
      const qc = c * c * t * t - d * d - x0 * x0;
      const te = (-qb - Math.sqrt(qb * qb - 4 * qa * qc)) / (2 * qa);
      const exact = Math.sin(2 * Math.PI * hz * te);
      error += (out[i]! - exact) ** 2;
      size += exact * exact;
    }
    const db = 10 * Math.log10(error / size);
    console.log(`${hz} Hz: ${db.toFixed(1)} dB`);
    expect(db).toBeLessThan(leastDb);
  });

  it("tells what is out of range", () => {
    expect(() => new MovingDelay(3, ROW, 1)).toThrow(RangeError);
    expect(() => new MovingDelay(100, 4, 1)).toThrow(/rowSamples must be between 8 samples and 4096 samples/);
  });
});
