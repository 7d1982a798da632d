import { describe, expect, it } from "vitest";
import { Load } from "../../src/engine/load.js";
import { Shaft } from "../../src/engine/shaft.js";
import { Motion } from "../../src/gear/motion.js";
import { locomotive, millEngine, slideValve12mm } from "./descriptions.js";

const stepS = 1 / 12_000;

/** A shaft on plain bearings, at a speed. */
function shaftAt(speedRadPerS: number, flywheelKgM2 = 2, tickS = stepS): Shaft {
  const shaft = new Shaft(tickS, flywheelKgM2);
  shaft.reset(0, speedRadPerS);
  return shaft;
}

describe("friction that holds", () => {
  it.each([
    ["a 12 mm model", 4e-6, 0.002],
    ["a mill's flywheel", 60_000, 4000],
  ])("%s stands still at 0.999 of it, exactly and for ever, and turns at 1.001", (_, flywheelKgM2, dryNm) => {
    for (const direction of [1, -1]) {
      const shaft = shaftAt(0, flywheelKgM2);
      shaft.dryNm = dryNm;
      shaft.driveNm = 0.999 * direction * dryNm;
      for (let i = 0; i < 50_000; i++) shaft.advance();
      expect(shaft.angleRad).toBe(0);
      expect(shaft.speedRadPerS).toBe(0);
      shaft.driveNm = 1.001 * direction * dryNm;
      for (let i = 0; i < 12_000; i++) shaft.advance();
      // [source: v = torque left x time / inertia]
      expect(shaft.speedRadPerS / ((direction * 0.001 * dryNm) / flywheelKgM2)).toBeCloseTo(1, 9);
    }
  });

  it("a torque that swings through it neither chatters nor creeps", () => {
    const shaft = shaftAt(0);
    shaft.dryNm = 10;
    for (let i = 0; i < 120_000; i++) {
      shaft.driveNm = 9.9 * Math.sin(i * 0.37);
      shaft.advance();
      expect(shaft.speedRadPerS).toBe(0);
    }
  });

  it("stops a free shaft after speed x inertia / friction, and within half its speed x that time", () => {
    // [source: uniform deceleration]
    const shaft = shaftAt(30, 2);
    shaft.dryNm = 5;
    let ticks = 0;
    while (shaft.speedRadPerS !== 0 && ticks < 1e6) {
      shaft.advance();
      ticks++;
    }
    expect(Math.abs(ticks * stepS - 12)).toBeLessThan(1.01 * stepS);
    expect(shaft.angleRad / 180).toBeCloseTo(1, 4);
    const { angleRad } = shaft;
    for (let i = 0; i < 1000; i++) shaft.advance();
    expect(shaft.angleRad).toBe(angleRad);
  });
});

describe("loads", () => {
  const run = (law: "linear" | "square" | "constant" | "hoist", driveNm: number, seconds: number, tickS = stepS) => {
    const load = new Load({ law, torqueNm: 40, atRpm: 120 });
    const shaft = shaftAt(0, 2, tickS);
    shaft.driveNm = driveNm + load.driveNm;
    shaft.dryNm = load.dryNm;
    shaft.linearNmS = load.linearNmS;
    shaft.squareNmS2 = load.squareNmS2;
    for (let i = 0; i < seconds / tickS; i++) shaft.advance();
    return shaft.speedRadPerS;
  };
  const at = 4 * Math.PI; // 120 rpm

  it("come to the speed where they meet the torque: half the speed for half, its root by the square", () => {
    // [source: the laws themselves: torque = 40 Nm x (speed / 120 rpm) and its square]
    expect(run("linear", 20, 60) / at).toBeCloseTo(0.5, 9);
    expect(run("square", 20, 60) / at).toBeCloseTo(Math.SQRT1_2, 9);
    expect(run("square", -20, 60) / at).toBeCloseTo(-Math.SQRT1_2, 9);
  });

  it("let a shaft run up as the closed forms say", () => {
    // [source: 1 - exp(-t c / J), and tanh(t sqrt(T k) / J)]
    const c = 40 / at;
    const k = 40 / (at * at);
    expect(run("linear", 20, 0.5) / (at / 2)).toBeCloseTo(1 - Math.exp((-0.5 * c) / 2), 4);
    expect(run("square", 40, 0.5) / at).toBeCloseTo(Math.tanh((0.5 * Math.sqrt(40 * k)) / 2), 4);
  });

  it("are stable however stiff: a light shaft in thick oil goes straight to its speed", () => {
    const shaft = shaftAt(1e4, 1e-9);
    shaft.driveNm = 1;
    shaft.linearNmS = 1;
    shaft.squareNmS2 = 3;
    for (let i = 0; i < 10; i++) shaft.advance();
    // [source: 3 v^2 + v = 1]
    expect(shaft.speedRadPerS).toBeCloseTo((Math.sqrt(13) - 1) / 6, 9);
  });

  it("a hanging weight runs the shaft backwards; a pump holds it", () => {
    expect(run("hoist", 0, 1)).toBeCloseTo(-20, 6);
    expect(run("constant", 0, 1)).toBe(0);
    expect(run("constant", 39, 1)).toBe(0);
    expect(run("constant", -42, 1)).toBeCloseTo(-1, 6);
  });

  it("load control scales the torque, overload too", () => {
    const load = new Load({ law: "pump", torqueNm: 40, atRpm: 1 });
    load.setRatio(1.5);
    expect(load.dryNm).toBe(60);
    load.setRatio(0);
    expect(load.dryNm).toBe(0);
    expect(() => new Load({ law: "square", torqueNm: 1, atRpm: 0 })).toThrow(/atRpm must be other than 0 rpm/);
  });
});

describe("reciprocating masses", () => {
  it.each([
    ["a locomotive", locomotive(), 250, 2000, 20],
    ["a mill engine", millEngine(), 300, 500, 9],
    ["a model whose flywheel is lighter than its pistons", slideValve12mm(), 0.02, 5e-7, 90],
  ])(
    "%s keeps its energy within 1e-9 over 10 000 turns, while the speed swings",
    (_, description, massKg, inertia, speed) => {
      const motion = new Motion(description.gear);
      // 300 ticks a turn.
      const shaft = new Shaft((2 * Math.PI) / speed / 300, inertia);
      const set = () => {
        motion.processSlopes();
        shaft.addedKgM2 = shaft.addedKgM2PerRad = 0;
        for (let k = 0; k < motion.pistonMPerRad.length; k++) {
          shaft.addedKgM2 += massKg * motion.pistonMPerRad[k] ** 2;
          shaft.addedKgM2PerRad += 2 * massKg * motion.pistonMPerRad[k] * motion.pistonMPerRad2[k];
        }
      };
      set();
      shaft.reset(0, speed);
      const before = shaft.energyJ;
      let low = Infinity;
      let high = 0;
      while (shaft.angleRad < 20_000 * Math.PI) {
        shaft.advance();
        motion.shaftRad[0] = shaft.angleRad;
        motion.processShaft();
        set();
        low = Math.min(low, shaft.speedRadPerS);
        high = Math.max(high, shaft.speedRadPerS);
      }
      expect(shaft.energyJ / before).toBeCloseTo(1, 9);
      expect(high / low).toBeGreaterThan(1.001);
    },
    600_000,
  );

  it("turn a free shaft by the quadrature of its varying inertia", () => {
    // [source: time of a turn = integral of sqrt(J / 2E) over the angle, by the trapezium rule]
    const description = slideValve12mm();
    const motion = new Motion(description.gear);
    const massKg = 0.02;
    const shaft = new Shaft(stepS, 5e-7);
    const inertiaAt = (rad: number) => {
      motion.process(rad);
      motion.processSlopes();
      return 5e-7 + massKg * motion.pistonMPerRad[0] ** 2;
    };
    let periodS = 0;
    for (let i = 0; i < 4096; i++) periodS += Math.sqrt(inertiaAt((i * 2 * Math.PI) / 4096)) * ((2 * Math.PI) / 4096);
    shaft.reset(0, 90);
    periodS /= Math.sqrt(2 * shaft.energyJ);
    let ticks = 0;
    while (shaft.angleRad < 200 * Math.PI) {
      motion.process(shaft.angleRad);
      motion.processSlopes();
      shaft.addedKgM2 = massKg * motion.pistonMPerRad[0] ** 2;
      shaft.addedKgM2PerRad = 2 * massKg * motion.pistonMPerRad[0] * motion.pistonMPerRad2[0];
      shaft.advance();
      ticks++;
    }
    expect((ticks * stepS) / (100 * periodS)).toBeCloseTo(1, 3);
  });
});

describe("half the size", () => {
  it("at equal pressures runs the same turns in half the time", () => {
    // [source: similarity: torque as the cube of the length, inertia as its fifth power, time as the length]
    const run = (size: number) => {
      const shaft = new Shaft(size * stepS, 2 * size ** 5);
      shaft.reset(0, 5 / size);
      shaft.dryNm = 3 * size ** 3;
      shaft.squareNmS2 = 0.01 * size ** 5;
      for (let i = 0; i < 24_000; i++) {
        shaft.driveNm = 10 * size ** 3 * (1 + Math.sin(shaft.angleRad));
        shaft.addedKgM2 = 0.2 * size ** 5 * (1 + Math.cos(2 * shaft.angleRad));
        shaft.addedKgM2PerRad = -0.4 * size ** 5 * Math.sin(2 * shaft.angleRad);
        shaft.advance();
      }
      return shaft.angleRad;
    };
    expect(run(0.5) / run(1)).toBeCloseTo(1, 9);
    expect(run(1)).toBeGreaterThan(10);
  });
});
