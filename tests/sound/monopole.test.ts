import { describe, expect, it } from "vitest";
import { Monopole } from "../../src/sound/monopole.js";
import { gainDbAt, impulseResponse, phaseDelayAt } from "./signal-measures.js";

const RATES = [44100, 48000, 96000];
const air = { distanceM: 10, airDensityKgPerM3: 1.2041 };

describe("monopole", () => {
  // Compact source: p = rho/(4 pi r) dQ/dt [source: Pierce, Acoustics (1981), 4-3, from memory]. Q = 0.01 m3/s peak,
  // 100 Hz, 10 m.
  it.each(RATES)(
    "a flow of 0.01 m3/s peak at 100 Hz is heard as 0.06020 Pa peak, 66.56 dB, 10 m off (%d Hz)",
    (rate) => {
      const monopole = new Monopole(rate, air);
      const flow = Float64Array.from({ length: rate }, (_, i) => 0.01 * Math.sin((2 * Math.PI * 100 * i) / rate));
      monopole.process(flow, flow, rate);
      let peak = 0;
      for (let i = 10; i < rate; i++) peak = Math.max(peak, Math.abs(flow[i]));
      expect(Math.abs(peak - 0.0602)).toBeLessThan(1e-5);
      expect(20 * Math.log10(peak / Math.SQRT2 / 20e-6)).toBeCloseTo(66.56, 2);
    },
  );

  it.each(RATES)("differentiates within 0.1 dB to 0.16 of the rate, three samples late (%d Hz)", (rate) => {
    const monopole = new Monopole(rate, air);
    const h = impulseResponse((a, b, n) => monopole.process(a, b, n), 16);
    expect(Math.abs(h.reduce((sum, x) => sum + x, 0))).toBeLessThan(1e-10);
    for (const f of [20, 100, 1000, 2000, 4000, 0.16 * rate]) {
      const exact = 20 * Math.log10((2 * Math.PI * f * 1.2041) / (4 * Math.PI * 10));
      expect(Math.abs(gainDbAt(h, f, rate) - exact)).toBeLessThan(f <= 4000 ? 0.01 : 0.1);
      // A quarter turn ahead, less the delay.
      const w = (2 * Math.PI * f) / rate;
      expect(phaseDelayAt(h, f, rate, monopole.delaySamples - Math.PI / 2 / w)).toBeCloseTo(3 - Math.PI / 2 / w, 6);
    }
  });

  it("starts without a click in a flow that stands", () => {
    const monopole = new Monopole(48000, air);
    monopole.reset(0.8);
    const block = new Float64Array(50).fill(0.8);
    monopole.process(block, block, 50);
    for (const p of block) expect(Math.abs(p)).toBeLessThan(1e-12);
  });

  it("is twice as loud at half the distance", () => {
    const near = new Monopole(48000, { ...air, distanceM: 5 });
    const far = new Monopole(48000, air);
    const flow = Float64Array.from({ length: 40 }, (_, i) => Math.sin(i));
    const a = new Float64Array(40);
    const b = new Float64Array(40);
    near.process(flow, a, 40);
    far.process(flow, b, 40);
    for (let i = 0; i < 40; i++) expect(a[i]).toBeCloseTo(2 * b[i], 10);
  });

  it("refuses a listener inside the mouth", () => {
    expect(() => new Monopole(48000, { ...air, distanceM: 0 })).toThrow(/distanceM must be between 0.1 m and 10000 m/);
  });
});
