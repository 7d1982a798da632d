import { describe, expect, it } from "vitest";
import { Governor } from "../../src/engine/governor.js";
import type { GovernorDescription } from "../../src/engine/running-description.js";
import { Shaft } from "../../src/engine/shaft.js";

const stepS = 1 / 3000;
const described: GovernorDescription = {
  acts: "regulator",
  speedRpm: 120,
  droopRatio: 0.06,
  periodS: 0.8,
  dampingRatio: 0.7,
};
const at = 4 * Math.PI; // 120 rpm

/** An engine whose torque is what the governor opens, a flywheel, and half that torque for load, thrown off by a tenth. */
function governed(changes: Partial<GovernorDescription>, riseS: number, seconds = 60) {
  const governor = new Governor(stepS, { ...described, ...changes });
  const fullNm = 200;
  // riseS: time in which the full torque brings the flywheel to speed.
  const shaft = new Shaft(stepS, (fullNm * riseS) / at);
  shaft.reset(0, 1.001 * at);
  governor.reset(at);
  const swings: number[] = [];
  let high = 0;
  for (let i = 0; i < seconds / stepS; i++) {
    governor.speedRadPerS = shaft.speedRadPerS;
    governor.advance();
    shaft.driveNm = fullNm * governor.openRatio - 0.5 * fullNm;
    shaft.advance();
    high = Math.max(high, Math.abs(shaft.speedRadPerS / at - 1));
    if ((i + 1) % Math.round(5 / stepS) === 0) {
      swings.push(high);
      high = 0;
    }
  }
  return { swings, shaft, governor };
}

describe("a governor at rest", () => {
  it("stands in the middle at its speed and at its ends half the droop away", () => {
    const governor = new Governor(stepS, described);
    const standing = (share: number) => {
      governor.reset(share * at);
      return governor.openRatio;
    };
    expect(standing(1)).toBeCloseTo(0.5, 12);
    expect(standing(-1)).toBeCloseTo(0.5, 12);
    expect(standing(0.97)).toBeCloseTo(1, 9);
    expect(standing(1.03)).toBeCloseTo(0, 9);
    expect(standing(1.015)).toBeCloseTo(0.25, 9);
    expect(standing(0)).toBe(1);
    expect(standing(2)).toBe(0);
  });

  it("swings in its own time, and dies away by its damping", () => {
    // [source: damped oscillator: successive maxima fall by exp(-2 pi z / sqrt(1 - z2))]
    const governor = new Governor(stepS, { ...described, dampingRatio: 0.1, periodS: 1 });
    governor.reset(1.02 * at);
    governor.speedRadPerS = at;
    let before = governor.openRatio;
    let rising = true;
    const tops: number[] = [];
    const topS: number[] = [];
    for (let i = 0; i < 5 / stepS; i++) {
      governor.advance();
      if (rising && governor.openRatio < before) {
        tops.push(before - 0.5);
        topS.push(i * stepS);
      }
      rising = governor.openRatio >= before;
      before = governor.openRatio;
    }
    const ratio = Math.exp((-2 * Math.PI * 0.1) / Math.sqrt(0.99));
    expect(tops[1] / tops[0] / ratio).toBeCloseTo(1, 2);
    expect(topS[1] - topS[0]).toBeCloseTo(1 / Math.sqrt(0.99), 2);
  });
});

describe("a governed engine", () => {
  it("holds its speed with good damping", () => {
    const { swings, governor } = governed({}, 10);
    expect(swings[swings.length - 1]).toBeLessThan(1e-5);
    expect(governor.openRatio).toBeCloseTo(0.5, 4);
  });

  it("hunts for ever from stop to stop with little damping", () => {
    const { swings } = governed({ dampingRatio: 0.05 }, 10);
    const last = swings[swings.length - 1];
    expect(last).toBeGreaterThan(3 * swings[0]);
    expect(last).toBeGreaterThan(0.005);
    expect(last).toBeLessThan(0.2);
    expect(last / swings[swings.length - 3]).toBeCloseTo(1, 1);
  });

  it.each([
    [1.15, false],
    [0.87, true],
  ])("at %f of the damping that Vyshnegradsky's criterion asks for: does it hunt? %s", (share, hunts) => {
    // [source: Routh's condition for s (s2 + 2 z w s + w2) + w2 K = 0 with K = 1/(droop x rise time): 2 z w > K]
    const riseS = 10;
    const w = (2 * Math.PI) / described.periodS;
    const dampingRatio = (share * 1) / (described.droopRatio * riseS) / (2 * w);
    const { swings } = governed({ dampingRatio }, riseS, 120);
    const grown = swings[swings.length - 1] / swings[0];
    expect(grown > 1.5).toBe(hunts);
    expect(grown < 0.5).toBe(!hunts);
  });

  it("a heavier flywheel steadies a governor that hunts", () => {
    const light = governed({ dampingRatio: 0.08 }, 8).swings;
    const heavy = governed({ dampingRatio: 0.08 }, 60).swings;
    expect(light[light.length - 1]).toBeGreaterThan(10 * heavy[heavy.length - 1]);
  });

  it("refuses what cannot swing", () => {
    expect(() => governed({ droopRatio: 0 }, 10)).toThrow(/droop must be more than 0, got 0/);
    expect(() => governed({ periodS: 0.001 }, 10)).toThrow(/period must be more than/);
  });
});
