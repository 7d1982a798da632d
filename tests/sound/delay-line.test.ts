import { describe, expect, it } from "vitest";
import { DelayLine } from "../../src/sound/delay-line.js";
import { gainDbAt, impulseResponse, phaseDelayAt } from "./signal-measures.js";

function response(delaySamples: number, length = 64): Float64Array {
  const line = new DelayLine(200);
  line.setDelaySamples(delaySamples);
  line.reset();
  return impulseResponse((a, b, n) => line.process(a, b, n), length);
}

// Laakso, Välimäki, Karjalainen & Laine, IEEE Signal Processing Magazine 13(1), 1996: third-order Lagrange, fs 48 kHz.
const FREQUENCIES = [1000, 2000, 5000, 10000, 15000, 20000];

describe("delay line", () => {
  it("has the published coefficients for half a sample and a quarter", () => {
    const half = response(20.5);
    [-0.0625, 0.5625, 0.5625, -0.0625].forEach((h, i) => expect(Math.abs(half[19 + i] - h)).toBeLessThan(1e-12));
    const quarter = response(20.25);
    [-0.054688, 0.820312, 0.273438, -0.039062].forEach((h, i) =>
      expect(Math.abs(quarter[19 + i] - h)).toBeLessThan(1e-6),
    );
  });

  it("has the published gains and phase delay at half a sample", () => {
    const h = response(20.5);
    const gains = [-0.0001, -0.001, -0.0361, -0.5341, -2.526, -8.414];
    FREQUENCIES.forEach((hz, i) => {
      expect(Math.abs(gainDbAt(h, hz, 48000) - gains[i])).toBeLessThan(i < 4 ? 1e-4 : 1e-3);
      expect(Math.abs(phaseDelayAt(h, hz, 48000, 20.5) - 20.5)).toBeLessThan(1e-9);
    });
  });

  it("has the published phase-delay errors at a quarter of a sample", () => {
    const h = response(20.25);
    // The checks give their tolerance as 2e-6 at the low end to 1e-4 at the high end.
    const errors = [-1e-6, -1.6e-5, -6.04e-4, -8.87e-3, -4.2e-2, -0.1304];
    FREQUENCIES.forEach((hz, i) => {
      expect(Math.abs(phaseDelayAt(h, hz, 48000, 20.25) - 20.25 - errors[i])).toBeLessThan(i < 2 ? 2e-6 : 1e-4);
    });
  });

  it("delays by whole samples exactly, from two up", () => {
    for (const delay of [2, 3, 17, 200]) {
      const h = response(delay, 256);
      h.forEach((value, i) => expect(value).toBe(i === delay ? 1 : 0));
    }
  });

  it("never makes anything louder", () => {
    for (let delay = 10; delay <= 11; delay += 0.1) {
      for (let hz = 0; hz <= 24000; hz += 500) expect(gainDbAt(response(delay), hz, 48000)).toBeLessThan(1e-9);
    }
  });

  it("slides to a new length without a jump, and bends pitch by its slide", () => {
    const line = new DelayLine(400, 0.02);
    line.setDelaySamples(100);
    line.reset();
    const tone = Float64Array.from({ length: 4000 }, (_, i) => Math.sin(0.05 * i));
    line.process(tone, tone, 1000);
    line.setDelaySamples(120);
    const out = new Float64Array(3000);
    line.process(tone.subarray(1000), out, 3000);
    for (let i = 1; i < 3000; i++) expect(Math.abs(out[i] - out[i - 1])).toBeLessThan(0.0501);
    // While it slides at 0.02 the input clock runs at 0.98; after 1000 samples it stands at 120.
    for (let i = 0; i < 990; i++) expect(out[i]).toBeCloseTo(Math.sin(0.05 * (1000 + i - 100 - 0.02 * (i + 1))), 4);
    for (let i = 1010; i < 3000; i++) expect(out[i]).toBeCloseTo(Math.sin(0.05 * (1000 + i - 120)), 4);
  });

  it("read ahead in runs and fed back gives the same loop however the runs are cut", () => {
    const ring = (run: number): Float64Array => {
      const line = new DelayLine(60);
      line.setDelaySamples(41.3);
      line.reset();
      const out = new Float64Array(2000);
      const fed = new Float64Array(128);
      for (let i = 0; i < 2000;) {
        const count = Math.min(run, line.samplesAhead(), 2000 - i);
        line.read(out, i, count);
        for (let j = 0; j < count; j++) fed[j] = 0.9 * out[i + j] + (i + j === 0 ? 1 : 0);
        line.write(fed, 0, count);
        i += count;
      }
      return out;
    };
    expect(Array.from(ring(40))).toEqual(Array.from(ring(1)));
    expect(ring(40)[41]).toBeGreaterThan(0.5);
  });

  it("names the room when a delay is longer", () => {
    expect(() => new DelayLine(100).setDelaySamples(101)).toThrow(
      /delaySamples must be between 2 samples and 100 samples, got 101/,
    );
  });
});
