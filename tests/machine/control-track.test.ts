import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { ControlTrack } from "../../src/machine/control-track.js";
import { TimedDrive } from "../../src/machine/drive.js";

describe("a control over a run", () => {
  // 30 until 1 s, up to 90 by 3 s, held to 5 s, at once to -60.
  const track = new ControlTrack(30, [
    { atS: 3, overS: 2, value: 90 },
    { atS: 5, overS: 0, value: -60 },
  ]);
  it("reaches each value at its moment after ramping over the time given (design, section 5)", () => {
    for (const [timeS, value] of [
      [-2, 30],
      [0, 30],
      [1, 30],
      [1.5, 45],
      [2, 60],
      [3, 90],
      [4.9999, 90],
      [5, -60],
      [1e5, -60],
    ]) {
      expect(track.valueAt(timeS), `${timeS} s`).toBeCloseTo(value, 9);
    }
  });
  it("has the integral of the closed form: rectangle, trapezium, rectangle, rectangle", () => {
    const closed = (t: number) => {
      if (t <= 1) return 30 * t;
      if (t <= 3) return 30 + 30 * (t - 1) + 15 * (t - 1) * (t - 1);
      if (t <= 5) return 150 + 90 * (t - 3);
      return 330 - 60 * (t - 5);
    };
    for (let t = -3; t < 9; t += 0.0173) expect(track.integralAt(t)).toBeCloseTo(closed(t), 9);
  });
  it("gives the same answer in whatever order it is asked", () => {
    const times = [4, 0.2, 8, -1, 2.5, 2.4999, 3, 1];
    const forward = new Map([...times].sort((a, b) => a - b).map((t) => [t, track.integralAt(t)]));
    for (const t of times) expect(track.integralAt(t)).toBe(forward.get(t));
  });
  it("starts a ramp that is longer than the room before it at once", () => {
    const late = new ControlTrack(0, [{ atS: 1, overS: 10, value: 1 }]);
    expect(late.valueAt(0)).toBe(0);
    expect(late.valueAt(0.5)).toBeCloseTo(0.5, 12);
    const second = new ControlTrack(0, [
      { atS: 1, overS: 0, value: 1 },
      { atS: 2, overS: 5, value: 3 },
    ]);
    expect(second.valueAt(1.5)).toBeCloseTo(2, 12);
  });
  it("takes what is reached at 0 s as its start", () => {
    const track = new ControlTrack(90, [{ atS: 0, overS: 3, value: 20 }]);
    expect(track.valueAt(-5)).toBe(20);
    expect(track.integralAt(-1)).toBe(-20);
    expect(track.range()).toEqual({ least: 20, greatest: 20 });
  });
  it("integrates what it says, whatever the ramps (trapezium rule, 1 ms)", () => {
    const point = fc.record({
      gapS: fc.double({ min: 0, max: 2, noNaN: true }),
      overS: fc.double({ min: 0, max: 3, noNaN: true }),
      value: fc.double({ min: -300, max: 300, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(point, { maxLength: 6 }), (list) => {
        let atS = 0;
        const points = list.map(({ gapS, overS, value }) => ({ atS: (atS += gapS), overS, value }));
        const one = new ControlTrack(10, points);
        let sum = 0;
        const stepS = 1e-3;
        for (let i = 0; i < 3000; i++) sum += 0.5 * stepS * (one.valueAt(i * stepS) + one.valueAt((i + 1) * stepS));
        // A jump is off by half a step of its height at most.
        expect(Math.abs(one.integralAt(3) - sum)).toBeLessThan(0.5 * stepS * 600 * (points.length + 1));
      }),
      { seed: 5, numRuns: 60 },
    );
  });
});

describe("a drive from controls written down", () => {
  it("turns the shaft by the integral of the speed: 1 rpm is 6 degrees a second", () => {
    const hold = new ControlTrack(0.5, []);
    const drive = new TimedDrive(new ControlTrack(60, [{ atS: 2, overS: 2, value: 120 }]), hold, hold);
    const clockS = new Float64Array(1);
    for (const [timeS, deg] of [
      [-1, -360],
      [0, 0],
      [1, 450],
      [2, 1080],
      [3, 1800],
    ]) {
      clockS[0] = timeS;
      drive.advance(clockS);
      expect((drive.shaftRad * 180) / Math.PI).toBeCloseTo(deg, 9);
    }
  });
});
