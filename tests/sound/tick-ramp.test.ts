import { describe, expect, it } from "vitest";
import { INTERPOLATOR_DELAY_TICKS, TickInterpolator } from "../../src/sound/tick-interpolator.js";
import { TickRamp } from "../../src/sound/tick-ramp.js";

describe("a tick ramp", () => {
  it.each([1, 2, 3, 4, 64])("meets every tick exactly, four ticks late, with %d samples a tick", (samplesPerTick) => {
    const ticks = Float64Array.from({ length: 50 }, (_, t) => Math.sin(t * 12.9898) * 1000);
    const output = new Float64Array(50 * samplesPerTick);
    new TickRamp(samplesPerTick).processTicks(ticks, 0, 1, 50, output);
    for (let n = 0; n < output.length; n++) {
      const at = n / samplesPerTick - INTERPOLATOR_DELAY_TICKS;
      const whole = Math.floor(at);
      const before = whole < 0 ? 0 : ticks[whole];
      const after = whole + 1 < 0 ? 0 : ticks[whole + 1];
      // Closed form: the straight line between two ticks.
      expect(Math.abs(output[n] - (before + (at - whole) * (after - before)))).toBeLessThan(1e-9);
    }
  });

  it("is as late as the interpolator, sample for sample: both pass a straight line exactly", () => {
    const ticks = Float64Array.from({ length: 40 }, (_, t) => 3 + 0.25 * t);
    const [ramped, interpolated] = [new Float64Array(160), new Float64Array(160)];
    const ramp = new TickRamp(4);
    ramp.reset(3);
    ramp.processTicks(ticks, 0, 1, 40, ramped);
    const interpolator = new TickInterpolator(4);
    interpolator.reset(3);
    interpolator.processTicks(ticks, 0, 1, 40, interpolated, 0);
    for (let n = 40; n < 160; n++) expect(Math.abs(ramped[n] - interpolated[n])).toBeLessThan(1e-12);
  });

  it("reads its own column of a table, a few rows at a time or all at once", () => {
    const rows = Float64Array.from({ length: 3 * 30 }, (_, i) => (i % 3 === 1 ? i * i : NaN));
    const whole = new Float64Array(60);
    new TickRamp(2).processTicks(rows, 1, 3, 30, whole);
    const ramp = new TickRamp(2);
    const parts: number[] = [];
    for (let t = 0, k = 0; t < 30; k++) {
      const count = Math.min([1, 2, 3, 4, 7][k % 5], 30 - t);
      const part = new Float64Array(2 * count);
      ramp.processTicks(rows.subarray(3 * t), 1, 3, count, part);
      parts.push(...part);
      t += count;
    }
    expect(parts).toEqual([...whole]);
    expect(whole.every(Number.isFinite)).toBe(true);
  });

  it("stands where it is reset to", () => {
    const ramp = new TickRamp(4);
    ramp.reset(7);
    const output = new Float64Array(80);
    ramp.processTicks(new Float64Array(20).fill(7), 0, 1, 20, output);
    expect(output.every((x) => x === 7)).toBe(true);
  });
});
