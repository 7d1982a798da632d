import { describe, expect, it } from "vitest";
import { Motion } from "../../src/gear/motion.js";
import { locomotive, oscillatingModel, withCylinder } from "../engine/descriptions.js";
import type { GearDescription } from "../../src/gear/gear-description.js";

const machines: readonly (readonly [string, GearDescription])[] = [
  ["a locomotive", locomotive().gear],
  ["a short rod", withCylinder(locomotive(), { connectingRodM: 0.4 }).gear],
  ["an oscillating cylinder", oscillatingModel().gear],
];

describe("the piston's way for a radian of crank", () => {
  // [source: central differences of the exact positions]
  it.each(machines)(
    "%s: first and second derivative are those of its positions, and the valve's of its own",
    (_, gear) => {
      const motion = new Motion(gear);
      const { strokeM } = gear.cylinder;
      const step = 1e-4;
      for (let degrees = 0; degrees < 720; degrees += 7) {
        const rad = (degrees * Math.PI) / 180;
        motion.process(rad);
        motion.processSlopes();
        for (let k = 0; k < motion.pistonMPerRad.length; k++) {
          const at = (angle: number) => strokeM * motion.pistonPositionRatio(k + 1, angle);
          const valveAt = (angle: number) => motion.valvePositionM(k + 1, angle);
          const slope = (at(rad + step) - at(rad - step)) / (2 * step);
          const curvature = (at(rad + step) - 2 * at(rad) + at(rad - step)) / (step * step);
          const slide = (valveAt(rad + step) - valveAt(rad - step)) / (2 * step);
          expect(Math.abs(motion.pistonMPerRad[k] - slope)).toBeLessThan(1e-7 * strokeM);
          expect(Math.abs(motion.pistonMPerRad2[k] - curvature)).toBeLessThan(1e-5 * strokeM);
          expect(Math.abs(motion.valveMPerRad[k] - slide)).toBeLessThan(1e-9);
        }
      }
    },
  );

  it("a rod without end moves the piston by sine and cosine", () => {
    // [source: harmonic motion, x = r (1 - cos)]
    const gear = withCylinder(locomotive(), { connectingRodM: Infinity }).gear;
    const motion = new Motion(gear);
    const r = gear.cylinder.strokeM / 2;
    for (const rad of [0, 0.3, 1.2, Math.PI / 2, 2.5, 4, 6]) {
      motion.process(rad);
      motion.processSlopes();
      expect(motion.pistonMPerRad[0]).toBeCloseTo(r * Math.sin(rad), 12);
      expect(motion.pistonMPerRad2[0]).toBeCloseTo(r * Math.cos(rad), 12);
    }
  });

  it("a trunnion far away moves the piston by sine and cosine as well", () => {
    const { gear } = oscillatingModel();
    if (gear.valveGear.kind !== "oscillating") throw new Error("the model oscillates");
    const pivotDistanceM = 1e6 * gear.valveGear.pivotDistanceM;
    const motion = new Motion({ ...gear, valveGear: { ...gear.valveGear, pivotDistanceM } });
    const r = gear.cylinder.strokeM / 2;
    for (const rad of [0.3, 1.2, 2.5, 4, 6]) {
      motion.process(rad);
      motion.processSlopes();
      expect(motion.pistonMPerRad[0] / (r * Math.sin(rad))).toBeCloseTo(1, 5);
      expect(motion.pistonMPerRad2[0] / (r * Math.cos(rad))).toBeCloseTo(1, 4);
    }
  });

  it("a rod six cranks long drives the piston faster than the crank pin by one part in 72 at most", () => {
    // [source: textbook series, 1 + 1/(2 n^2) to leading order, from memory]
    const { gear } = withCylinder(locomotive(), { strokeM: 0.6, connectingRodM: 1.8 });
    const motion = new Motion(gear);
    let greatest = 0;
    for (let i = 0; i < 36_000; i++) {
      motion.process((i * Math.PI) / 18_000);
      motion.processSlopes();
      greatest = Math.max(greatest, Math.abs(motion.pistonMPerRad[0]));
    }
    expect(greatest / 0.3).toBeGreaterThan(1 + 1 / 72 - 0.001);
    expect(greatest / 0.3).toBeLessThan(1 + 1 / 72 + 0.001);
  });
});
