import { describe, expect, it } from "vitest";
import { TickInterpolator } from "../../src/sound/tick-interpolator.js";
import { gainDbAt } from "./signal-measures.js";

const STEPS = [1, 2, 3, 4, 8, 16];

function interpolate(samplesPerTick: number, ticks: Float64Array): Float64Array {
  const interpolator = new TickInterpolator(samplesPerTick);
  interpolator.reset(ticks[0]);
  const output = new Float64Array(ticks.length * samplesPerTick);
  interpolator.processTicks(ticks, 0, 1, ticks.length, output, 0);
  return output;
}

/** Impulse response at the audio rate, so that its gain at f / rate = q / samplesPerTick +- f is that of an image. */
function kernel(samplesPerTick: number): Float64Array {
  const ticks = new Float64Array(16);
  ticks[1] = 1;
  return interpolate(samplesPerTick, ticks).map((value) => value / samplesPerTick);
}

describe("tick interpolator", () => {
  it("passes a constant to the last bit or two at every step", () => {
    for (const k of STEPS) {
      for (const value of interpolate(k, new Float64Array(20).fill(3.7))) {
        expect(Math.abs(value / 3.7 - 1)).toBeLessThan(5e-16);
      }
    }
  });

  it("passes ramp, parabola and cubic exactly, four ticks late", () => {
    for (const k of STEPS) {
      const at = (tick: number): number => 0.3 - 1.7 * tick + 0.21 * tick * tick - 0.013 * tick ** 3;
      const output = interpolate(
        k,
        Float64Array.from({ length: 24 }, (_, n) => at(n)),
      );
      const delay = new TickInterpolator(k).delaySamples;
      expect(delay).toBe(4 * k);
      for (let i = 8 * k; i < output.length; i++) expect(Math.abs(output[i] - at((i - delay) / k))).toBeLessThan(1e-12);
    }
  });

  it("is a plain delay of four samples when every sample is a tick", () => {
    const ticks = Float64Array.from({ length: 30 }, (_, n) => Math.sin(n * n));
    expect(Array.from(interpolate(1, ticks).slice(4))).toEqual(Array.from(ticks.slice(0, 26)));
  });

  it("droops less than 0.2 dB up to 0.35 of the tick rate", () => {
    for (const k of STEPS.slice(1)) {
      const h = kernel(k);
      for (let nu = 0.005; nu <= 0.3501; nu += 0.005) expect(Math.abs(gainDbAt(h, nu, k))).toBeLessThan(0.2);
    }
  });

  it("keeps images down: 130 dB at 0.01 of the tick rate, 77 dB at 0.05, 56 dB at 0.1, 34 dB at 0.35", () => {
    for (const k of STEPS.slice(1)) {
      const h = kernel(k);
      const strongest = (nu: number): number => {
        let worst = -Infinity;
        for (let q = 1; q <= k / 2 + 1; q++) {
          for (const image of [q - nu, q + nu]) if (image <= k / 2) worst = Math.max(worst, gainDbAt(h, image, k));
        }
        return worst;
      };
      expect(strongest(0.01)).toBeLessThan(-130);
      expect(strongest(0.05)).toBeLessThan(-77);
      expect(strongest(0.1)).toBeLessThan(-56);
      for (let nu = 0.1; nu <= 0.3501; nu += 0.01) expect(strongest(nu)).toBeLessThan(-34);
    }
  });

  it("takes one column of a record of rows", () => {
    const rows = Float64Array.from({ length: 60 }, (_, i) => Math.sin(i * 1.7));
    const column = Float64Array.from({ length: 20 }, (_, t) => rows[3 * t + 2]);
    const interpolator = new TickInterpolator(4);
    interpolator.reset(column[0]);
    const output = new Float64Array(85);
    interpolator.processTicks(rows, 2, 3, 20, output, 5);
    expect(Array.from(output.slice(5))).toEqual(Array.from(interpolate(4, column)));
  });

  it("refuses a step that is not a whole number", () => {
    expect(() => new TickInterpolator(2.5)).toThrow(/whole number from 1 to 64, got 2.5/);
  });
});
