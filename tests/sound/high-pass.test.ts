import { describe, expect, it } from "vitest";
import { HighPass } from "../../src/sound/high-pass.js";
import { gainDbAt, impulseResponse } from "./signal-measures.js";

describe("high-pass", () => {
  // Butterworth of second order: |H|^2 = (f/fc)^4 / (1 + (f/fc)^4); bilinear with prewarping maps f to tan(pi f / rate).
  it.each([44100, 48000, 96000])("is the Butterworth filter at %d Hz, -3.01 dB at 8 Hz", (rate) => {
    const highPass = new HighPass(rate, 8);
    const h = impulseResponse((a, b, n) => highPass.process(a, b, n), rate);
    expect(gainDbAt(h, 8, rate)).toBeCloseTo(-3.0103, 4);
    for (const f of [1, 2, 4, 16, 100, 1000, 10000]) {
      const ratio = (Math.tan((Math.PI * f) / rate) / Math.tan((Math.PI * 8) / rate)) ** 4;
      expect(gainDbAt(h, f, rate)).toBeCloseTo(10 * Math.log10(ratio / (1 + ratio)), 3);
    }
  });

  it("takes the steady part out altogether", () => {
    const highPass = new HighPass(48000);
    const block = new Float64Array(48000);
    for (let second = 0; second < 3; second++) {
      block.fill(5);
      highPass.process(block, block, block.length);
    }
    expect(Math.abs(block[47999])).toBeLessThan(1e-9);
  });

  it("leaves silence exactly silent", () => {
    const block = new Float64Array(100);
    new HighPass(48000).process(block, block, 100);
    expect(Array.from(block)).toEqual(new Array(100).fill(0));
  });

  it("refuses a corner beyond the rate", () => {
    expect(() => new HighPass(48000, 30000)).toThrow(/cornerHz must be between 0.1 Hz and 21600 Hz, got 30000/);
  });
});
