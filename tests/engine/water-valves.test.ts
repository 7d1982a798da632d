import { describe, expect, it } from "vitest";
import { WaterValves } from "../../src/engine/water-valves.js";

const discs = { liftM: 3e-3, atMPerS: 0.5, fallMPerS: 0.2 };
const stepS = 1 / 12_000;

/** Every meeting of discs and seats while a plunger goes at these speeds. */
function seatings(speedMPerS: (timeS: number) => number, seconds: number): { atS: number; speed: number }[] {
  const valves = new WaterValves(discs, 1, stepS);
  const speed = new Float64Array(1);
  const met: { atS: number; speed: number }[] = [];
  for (let n = 0; n * stepS < seconds; n++) {
    speed[0] = speedMPerS(n * stepS);
    valves.integrate(speed);
    if (valves.seatMPerS[0] > 0) met.push({ atS: n * stepS, speed: valves.seatMPerS[0] });
  }
  return met;
}

describe("water valves", () => {
  // A disc that its weight holds passes v = lift x edge x sqrt(2 dp / rho), dp constant: lift goes with the flow. [source: Bernoulli]
  it("open with the flow, those of the other way stay shut", () => {
    const valves = new WaterValves(discs, 1, stepS);
    for (const v of [0.1, 0.25, 0.5]) {
      valves.integrate(Float64Array.of(v));
      expect(valves.liftM[0]).toBeCloseTo((3e-3 * v) / 0.5, 12);
      expect(valves.liftM[1]).toBe(0);
    }
  });

  // Kinematics: 3 mm at 0.2 m/s take 15 ms.
  it("sink onto their seats when a plunger stops, as long after as they fall, at the speed of the fall", () => {
    const met = seatings((t) => (t < 0.1 ? 0.5 : 0), 0.3);
    expect(met).toHaveLength(1);
    expect(met[0].atS).toBeCloseTo(0.115, 3);
    expect(met[0].speed).toBeCloseTo(0.2, 6);
  });

  // The slope of the flow: 3 mm over half a second.
  it("are let down gently by a plunger that slows gently", () => {
    const met = seatings((t) => (t < 0.1 ? 0.5 : Math.max(0, 0.6 - t)), 0.9);
    expect(met).toHaveLength(1);
    expect(met[0].speed).toBeCloseTo(3e-3 / 0.5, 3);
  });

  // Common practice: pumps without a pause at the stroke's end knock in their valves.
  it("are driven down by water where a plunger turns at once", () => {
    const [turned] = seatings((t) => (t < 0.1 ? 0.5 : -0.5), 0.2);
    const [paused] = seatings((t) => (t < 0.1 ? 0.5 : t < 0.15 ? 0 : -0.5), 0.2);
    expect(turned.speed).toBeGreaterThan(3 * paused.speed);
  });

  it("start anew after a reset", () => {
    const valves = new WaterValves(discs, 2, stepS);
    valves.integrate(Float64Array.of(0.5, -0.4));
    valves.reset();
    expect([...valves.liftM, ...valves.seatMPerS]).toEqual([0, 0, 0, 0, 0, 0]);
    valves.integrate(Float64Array.of(0, 0));
    expect([...valves.seatMPerS]).toEqual([0, 0]);
  });
});
