import { describe, expect, it } from "vitest";
import { crankAngleOfStrokeRad, pistonPositionRatio } from "../../src/gear/slider-crank.js";

describe("slider-crank", () => {
  it("stands at the ends of its stroke at the dead centres", () => {
    for (const n of [1.5, 4, 8, Infinity]) {
      expect(pistonPositionRatio(0, n)).toBe(0);
      expect(pistonPositionRatio(Math.PI, n)).toBeCloseTo(1, 15);
    }
  });

  it("is the same on either side of dead centre and after any number of turns", () => {
    for (let angle = 0.1; angle < Math.PI; angle += 0.1) {
      expect(pistonPositionRatio(-angle, 5)).toBe(pistonPositionRatio(angle, 5));
      expect(pistonPositionRatio(angle + 200 * Math.PI, 5)).toBeCloseTo(pistonPositionRatio(angle, 5), 12);
    }
  });

  it("becomes harmonic motion as the rod grows long", () => {
    for (let angle = 0; angle < 2 * Math.PI; angle += 0.01) {
      // The obliquity is at most 1 / (4 n) of the stroke, from the series of the square root.
      const harmonic = 0.5 * (1 - Math.cos(angle));
      expect(Math.abs(pistonPositionRatio(angle, 1e9) - harmonic)).toBeLessThan(2.51e-10);
    }
  });

  it("gives back the crank angle of its own piston position, on both strokes", () => {
    for (const n of [1.01, 3, 7, 1e6, Infinity]) {
      for (let degrees = 2; degrees < 179; degrees += 3) {
        const angle = (degrees * Math.PI) / 180;
        const outward = pistonPositionRatio(angle, n);
        expect(crankAngleOfStrokeRad(outward, n, "outward")).toBeCloseTo(angle, 10);
        const back = 1 - pistonPositionRatio(Math.PI + angle, n);
        expect(crankAngleOfStrokeRad(back, n, "return")).toBeCloseTo(angle, 10);
      }
    }
  });

  it("refuses what is no share of a stroke, and a rod not longer than the crank", () => {
    expect(() => crankAngleOfStrokeRad(1.1, 5, "outward")).toThrow("strokeRatio must be from 0 to 1, got 1.1");
    expect(() => crankAngleOfStrokeRad(NaN, 5, "outward")).toThrow(RangeError);
    expect(() => crankAngleOfStrokeRad(0.5, 1, "outward")).toThrow("rodRatio must be above 1, got 1");
  });
});
