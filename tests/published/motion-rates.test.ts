import { describe, expect, it } from "vitest";
import { RailJoints } from "../../src/engine/rail-joints.js";
import { TurningMarks } from "../../src/engine/turning-marks.js";

const stepS = 1 / 6000;

interface Crossing {
  readonly atS: number;
  readonly axle: number;
  readonly joint: number;
}

function crossings(railLengthM: number, axlesM: number[], speedMPerS: number, seconds: number): Crossing[] {
  const joints = new RailJoints({ railLengthM, axlesM }, stepS);
  joints.reset(0.5);
  const found: Crossing[] = [];
  for (let n = 0; n < seconds / stepS; n++) {
    joints.roadM = 0.5 + speedMPerS * (n + 1) * stepS;
    joints.integrate();
    for (let i = 0; i < joints.crossingCount; i++) {
      found.push({
        atS: n * stepS + joints.crossingS[i],
        axle: joints.crossingAxle[i],
        joint: joints.crossingJoint[i],
      });
    }
  }
  return found;
}

// Arithmetic, v / L. [common practice]
describe("rail joints", () => {
  it.each([
    [18.29, 10, 0.5467],
    [18.29, 20, 1.0935],
    [11.89, 20, 1.6821],
    [13.72, 20, 1.4577],
  ])("of rails of %d m come at %d m/s %d times a second", (railM, speed, perS) => {
    const found = crossings(railM, [0], speed, 30);
    const gaps = found.slice(1).map(({ atS }, i) => atS - found[i].atS);
    for (const gap of gaps) {
      expect(gap).toBeCloseTo(railM / speed, 9);
      expect(Math.abs(gap * perS - 1)).toBeLessThan(1e-4);
    }
    expect(found).toHaveLength(Math.floor((0.5 + 30 * speed) / railM));
  });

  it("of 60 feet come in 40.9 s as often as the miles that are run in an hour", () => {
    for (const mph of [10, 30, 60]) {
      const speed = (mph * 1609.344) / 3600;
      const count = crossings(60 * 0.3048, [0], speed, 41).length / 41;
      expect(Math.abs(count * 40.9 - mph)).toBeLessThan(1);
    }
  });

  it("are struck by axles 2.6 m apart 130 ms one after the other at 20 m/s, leading axle first", () => {
    // The second axle has the joint behind the first still before it.
    const found = crossings(18.29, [0, 2.6], 20, 10).slice(1);
    for (let k = 0; k + 1 < found.length; k += 2) {
      expect(found[k].axle).toBe(0);
      expect(found[k + 1].axle).toBe(1);
      expect(found[k + 1].joint).toBe(found[k].joint);
      expect(found[k + 1].atS - found[k].atS).toBeCloseTo(0.13, 9);
    }
    expect(found.length).toBeGreaterThan(15);
  });

  it("are met by every axle of a long train once each, forwards and back again", () => {
    const axlesM = Array.from({ length: 48 }, (_, i) => 7 * Math.floor(i / 2) + 1.8 * (i % 2));
    const there = crossings(18.29, axlesM, 17, 12);
    axlesM.forEach((axle, a) => {
      const expected = Math.floor((0.5 + 204 - axle) / 18.29) - Math.floor((0.5 - axle) / 18.29);
      expect(there.filter((one) => one.axle === a)).toHaveLength(expected);
    });
    const joints = new RailJoints({ railLengthM: 18.29, axlesM }, stepS);
    joints.reset(204.5);
    let back = 0;
    for (let n = 0; n < 72000; n++) {
      joints.roadM = 204.5 - 17 * (n + 1) * stepS;
      joints.integrate();
      back += joints.crossingCount;
    }
    expect(back).toBe(there.length);
  });

  it("are not struck standing, nor where the road is set anew", () => {
    const joints = new RailJoints({ railLengthM: 18.29, axlesM: [0, 2.6] }, stepS);
    joints.reset(18.29);
    for (const road of [18.29, 18.29, 0, 500, 500]) {
      joints.roadM = road;
      joints.integrate();
      expect(joints.crossingCount).toBe(0);
    }
    expect(() => new RailJoints({ railLengthM: 0, axlesM: [0] }, stepS)).toThrow(
      /railLengthM must be above 0 m, got 0/,
    );
  });
});

describe("marks on a turning shaft", () => {
  // MathWorks, worked example of gear vibration: pinion of 13 teeth at 22.5 Hz, gear of 35: 292.5 Hz, 8.357 Hz.
  it("pass as often as teeth times turns: 13 teeth at 22.5 turns a second 292.5 times, their gear turning 8.357 times", () => {
    const teeth = new TurningMarks(13, stepS);
    teeth.reset(0.001);
    const times: number[] = [];
    let expected = 1;
    for (let n = 0; n < 6000 * 4; n++) {
      teeth.shaftRad = 0.001 + 2 * Math.PI * 22.5 * (n + 1) * stepS;
      teeth.integrate();
      for (let i = 0; i < teeth.passingCount; i++) {
        times.push(n * stepS + teeth.passingS[i]);
        expect(teeth.passingMark[i]).toBe(expected++);
      }
    }
    expect(times).toHaveLength(4 * 292.5);
    for (let k = 1; k < times.length; k++) expect(times[k] - times[k - 1]).toBeCloseTo(1 / 292.5, 9);
    expect(292.5 / 35).toBeCloseTo(8.357, 3);
  });

  it("pass the other way when the shaft turns back, the same marks in falling order", () => {
    const teeth = new TurningMarks(10, stepS);
    const list = (from: number, to: number): number[] => {
      teeth.reset(from);
      teeth.shaftRad = to;
      teeth.integrate();
      return Array.from(teeth.passingMark.subarray(0, teeth.passingCount));
    };
    expect(list(0.1, 2)).toEqual([1, 2, 3]);
    expect(list(2, 0.1)).toEqual([3, 2, 1]);
    expect(list(-0.7, -0.5)).toEqual([-1]);
    expect(list(1, 1)).toEqual([]);
  });

  it("go on through the seam of a loop, where the angle falls back by whole turns", () => {
    const teeth = new TurningMarks(13, stepS);
    teeth.reset(0);
    let count = 0;
    for (let n = 1; n <= 3 * 800; n++) {
      // Eight turns in 800 steps, then from 0 again.
      teeth.shaftRad = (2 * Math.PI * 8 * (n % 800)) / 800;
      teeth.integrate();
      count += teeth.passingCount;
    }
    expect(count).toBe(3 * 8 * 13);
  });

  it("refuse a wheel without teeth", () => {
    expect(() => new TurningMarks(0, stepS)).toThrow(/marksPerTurn must be above 0, got 0/);
  });
});
