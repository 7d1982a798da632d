import { describe, expect, it } from "vitest";
import type { TrainDescription } from "../../src/engine/running-description.js";
import { crankTurnsPerDrivenTurn } from "../../src/engine/running.js";
import { Shaft } from "../../src/engine/shaft.js";
import { Train } from "../../src/engine/train.js";
import { TrainResistance } from "../../src/engine/train-resistance.js";

const stepS = 1 / 12_000;
const gravity = 9.80665; // [source: NIST SP 811]
const poundN = 0.45359237 * gravity;
const mphMPerS = 1609.344 / 3600;
const shortTonKg = 907.18474;
const longTonKg = 1016.0469088;

const described: TrainDescription = {
  trainKg: 150_000,
  engineKg: 50_000,
  adhesionKg: 36_000,
  gradientRatio: 0,
  adhesionRatio: 0.3,
  slipRatio: 0.15,
  resistance: "davis",
  frontalM2: 8,
  axleCount: 44,
  brakeRatio: 0.08,
};
const wheelM = 1.5;

/** A train and its wheels. */
function train(changes: Partial<TrainDescription> = {}, gearing = 1, inertiaKgM2 = 1500) {
  const shaft = new Shaft(stepS, inertiaKgM2);
  const all = { ...described, ...changes };
  const unit = new Train(all, shaft, wheelM, gearing);
  const run = (seconds: number, torqueNm: (tick: number) => number, note: () => void = () => undefined) => {
    for (let i = 0; i < seconds / stepS; i++) {
      shaft.driveNm = torqueNm(i);
      unit.advance();
      note();
    }
  };
  const rollAt = (mPerS: number) => {
    shaft.reset(0, mPerS / unit.rimMPerRad);
    unit.reset();
  };
  return {
    shaft,
    unit,
    run,
    rollAt,
    massKg: all.engineKg + all.trainKg,
    adhesionN: all.adhesionRatio * all.adhesionKg * gravity,
  };
}

describe("train resistance on the level (checks, section 7)", () => {
  it.each([
    [0, 4.2],
    [20, 5.525],
    [30, 6.506],
    [60, 10.725],
  ])("Davis 1926, freight car of four axles at 10 tons, 85 square feet: at %i mph %f pounds a ton", (mph, pounds) => {
    const resistance = new TrainResistance();
    resistance.setDavis(40 * shortTonKg, 4, 85 * 0.3048 ** 2, false);
    // The table has three places, of which the last is rounded.
    expect(Math.abs(resistance.atN(mph * mphMPerS) / poundN / 40 - pounds)).toBeLessThan(1e-3);
  });

  it.each([
    [15, 9.3],
    [30, 13.26],
    [60, 29.05],
    [120, 92.2],
    [240, 344.8],
  ])("Clark and Gooch (Bourne, question 499): at %i mph %f pounds a ton", (mph, pounds) => {
    const resistance = new TrainResistance();
    resistance.setClark(100 * longTonKg);
    expect(Math.abs(resistance.atN(mph * mphMPerS) / poundN / 100 - pounds)).toBeLessThan(0.1);
  });

  it("a leading vehicle meets the wind for those behind it", () => {
    const alone = new TrainResistance();
    alone.setDavis(40 * shortTonKg, 4, 8, true);
    const ten = new TrainResistance();
    ten.setDavis(400 * shortTonKg, 40, 8, true);
    // [source: coefficients 0.0024 leading, 0.0005 following, from memory]
    expect(ten.squareNS2PerM2 / alone.squareNS2PerM2).toBeCloseTo((0.0024 + 9 * 0.0005) / 0.0024, 9);
  });
});

describe("a train", () => {
  it("gathers way as one mass with its wheels", () => {
    // [source: v = (F - R) t / (M + J/r2), resistance by speed small at walking pace]
    const { unit, run, massKg } = train();
    const effort = 40_000;
    run(2, () => effort * unit.rimMPerRad);
    const whole = massKg + 1500 / unit.rimMPerRad ** 2;
    expect(unit.roadMPerS / ((2 * (effort - unit.resistance.dryN)) / whole)).toBeCloseTo(1, 2);
    expect(Math.abs(unit.slipMPerS)).toBeLessThan(0.01 * unit.roadMPerS);
  });

  it("is held at rest by its resistance: it neither rolls back nor creeps, and starts when pulled harder", () => {
    const { unit, shaft, run } = train();
    const holdNm = unit.resistance.dryN * unit.rimMPerRad;
    for (const share of [0.999, -0.999, 0.5, 0]) {
      run(0.5, () => share * holdNm);
      expect(unit.roadM).toBe(0);
      expect(shaft.angleRad).toBe(0);
    }
    run(0.5, () => 1.001 * holdNm);
    expect(unit.roadM).toBeGreaterThan(0);
  });

  it("coasts to a stand and stays there", () => {
    const { unit, shaft, run, rollAt } = train({ resistance: "clark" });
    rollAt(3);
    let least = 3;
    run(
      100,
      () => 0,
      () => (least = Math.min(least, unit.roadMPerS)),
    );
    expect(unit.roadMPerS).toBe(0);
    expect(shaft.speedRadPerS).toBe(0);
    expect(least).toBe(0);
    // [source: with a + b v2 and the wheels' mass, distance = M/2b ln(1 + b v2 / a)]
    const { dryN: a, squareNS2PerM2: b } = unit.resistance;
    const mass = 200_000 + 1500 / unit.rimMPerRad ** 2;
    expect(unit.roadM / ((mass / (2 * b)) * Math.log(1 + (b * 9) / a))).toBeCloseTo(1, 3);
  });

  it("comes to the speed where resistance and gradient meet the pull", () => {
    const light = { gradientRatio: 0.005, trainKg: 0, engineKg: 2000, adhesionKg: 1800, axleCount: 2 };
    for (const from of [10, 20]) {
      const { unit, run, rollAt, massKg } = train(light, 1, 20);
      rollAt(from);
      const pullN = unit.resistance.atN(15) + massKg * gravity * 0.005;
      run(250, () => pullN * unit.rimMPerRad);
      expect(unit.roadMPerS).toBeCloseTo(15, 3);
    }
  });

  it("rolls back down a gradient unless the brake holds it, and the brake holds it without creep", () => {
    const steep = train({ gradientRatio: 0.01 });
    steep.run(5, () => 0);
    // [source: g sin less resistance]
    const pull = steep.massKg * gravity * 0.01 - steep.unit.resistance.dryN;
    const whole = steep.massKg + 1500 / steep.unit.rimMPerRad ** 2;
    expect(steep.unit.roadMPerS / ((-5 * pull) / whole)).toBeCloseTo(1, 1);

    const onEngine = train({ gradientRatio: 0.01 });
    onEngine.shaft.dryNm = 40_000;
    onEngine.run(5, () => 0);
    expect(onEngine.unit.roadM).toBe(0);
    expect(onEngine.unit.slipMPerS).toBe(0);

    const onTrain = train({ gradientRatio: 0.01 });
    onTrain.unit.setBrake(1);
    onTrain.run(5, () => 0);
    expect(onTrain.unit.roadM).toBe(0);
  });

  it("with its engine's wheels locked it skids, and the grip is that of sliding", () => {
    const { unit, shaft, run, rollAt } = train();
    rollAt(15);
    shaft.dryNm = 1e6;
    run(3, () => 0);
    expect(shaft.speedRadPerS).toBe(0);
    expect(unit.slipMPerS).toBe(-unit.roadMPerS);
    expect(-unit.gripN).toBeLessThan(0.5 * (described.adhesionRatio + described.slipRatio) * 36_000 * gravity);
    expect(-unit.gripN).toBeGreaterThan(described.slipRatio * 36_000 * gravity);
  });

  it("a wet rail leaves its share of the grip, rolling and slipping; a described rail is as it was", () => {
    const { unit } = train();
    const { adhesionN, slippingN } = unit.grip;
    unit.grip.setRail(0.6);
    expect(unit.grip.adhesionN).toBeCloseTo(0.6 * described.adhesionRatio * 36_000 * gravity, 6);
    expect(unit.grip.slippingN).toBeCloseTo(0.6 * described.slipRatio * 36_000 * gravity, 6);
    unit.grip.setRail(1);
    expect([unit.grip.adhesionN, unit.grip.slippingN]).toEqual([adhesionN, slippingN]);
    // Three quarters of what the dry rail bears: held there, spun where it is wet. [closed form]
    const slipOf = (gripRatio: number) => {
      const wet = train();
      wet.unit.grip.setRail(gripRatio);
      wet.run(3, () => 0.75 * adhesionN * wet.unit.rimMPerRad);
      return wet.unit.slipMPerS;
    };
    expect(slipOf(1)).toBeLessThan(0.05);
    expect(slipOf(0.6)).toBeGreaterThan(1);
  });

  it("light engine and half a train have their share of mass and resistance", () => {
    const { unit } = train();
    const full = unit.resistance.dryN;
    unit.setLoad(0);
    expect(unit.resistance.dryN / full).toBeCloseTo(0.25, 9);
    unit.setLoad(0.5);
    expect(unit.resistance.dryN / full).toBeCloseTo(0.625, 9);
  });

  it("behind gearing has rims that go slower and pull harder by the ratio", () => {
    const ratio = crankTurnsPerDrivenTurn({
      kind: "gear",
      pairs: [
        { driving: 20, driven: 60 },
        { driving: 25, driven: 50 },
      ],
    });
    expect(ratio).toBe(6);
    expect(crankTurnsPerDrivenTurn(null)).toBe(1);
    const { unit, shaft, run } = train({ trainKg: 0, engineKg: 8000, adhesionKg: 5500, axleCount: 2 }, ratio, 40);
    run(1, () => 800);
    expect(unit.rimMPerRad).toBeCloseTo(0.125, 12);
    const whole = 8000 + 40 / 0.125 ** 2;
    expect(unit.roadMPerS / ((800 / 0.125 - unit.resistance.dryN) / whole)).toBeCloseTo(1, 1);
    expect(unit.roadMPerS / (shaft.speedRadPerS * 0.125)).toBeCloseTo(1, 2);
  });
});

describe("adhesion", () => {
  it("grip is never more than adhesion x weight, wherever torque and speed stand", () => {
    const { unit, shaft, run, adhesionN } = train();
    let greatest = 0;
    const note = () => (greatest = Math.max(greatest, Math.abs(unit.gripN)));
    for (let i = 0; i < 60; i++) run(0.2, (tick) => 1.5e5 * Math.sin(0.7 * i + 0.01 * tick), note);
    shaft.dryNm = 2e4;
    run(2, () => -3e5, note);
    run(2, () => 0, note);
    expect(greatest).toBeLessThanOrEqual(adhesionN);
    expect(greatest).toBeGreaterThan(0.95 * adhesionN);
    expect(Number.isFinite(shaft.angleRad)).toBe(true);
  });

  it.each([
    [0.97, false],
    [1.05, true],
  ])("a pull of %f of it: do the wheels spin? %s", (share, spins) => {
    const { unit, run, adhesionN, massKg } = train();
    // What turns the wheels themselves does not come to the rail.
    const wheels = 1 + 1500 / unit.rimMPerRad ** 2 / massKg;
    run(4, () => share * wheels * adhesionN * unit.rimMPerRad);
    expect(unit.slipMPerS > 1).toBe(spins);
  });

  it("slipping wheels run away at the torque that they held before, and bite again when it is eased", () => {
    const { unit, shaft, run, adhesionN } = train();
    const holdNm = 0.8 * adhesionN * unit.rimMPerRad;
    run(2, () => holdNm);
    expect(unit.slipMPerS).toBeLessThan(0.05);
    run(0.4, () => 1.5 * adhesionN * unit.rimMPerRad);
    expect(unit.slipMPerS).toBeGreaterThan(1);
    run(1.5, () => holdNm);
    const running = unit.slipMPerS;
    expect(running).toBeGreaterThan(2);
    expect(unit.gripN).toBeLessThan(0.8 * adhesionN);
    const speedBefore = shaft.speedRadPerS;
    let ticks = 0;
    run(
      6,
      () => 0.2 * adhesionN * unit.rimMPerRad,
      () => {
        if (unit.slipMPerS > 0.1) ticks++;
      },
    );
    expect(ticks * stepS).toBeGreaterThan(0.05);
    expect(ticks * stepS).toBeLessThan(5);
    expect(unit.slipMPerS).toBeLessThan(0.05);
    expect(shaft.speedRadPerS).toBeLessThan(speedBefore);
  });

  it("energy given is energy of the wheels and the train, and what resistance and slip burn", () => {
    // [source: conservation of energy]
    const { unit, shaft, run, adhesionN, massKg } = train();
    let given = 0;
    let burnt = 0;
    let lastRad = 0;
    run(
      3,
      () => 1.3 * adhesionN * unit.rimMPerRad,
      () => {
        given += 1.3 * adhesionN * unit.rimMPerRad * (shaft.angleRad - lastRad);
        lastRad = shaft.angleRad;
        burnt += stepS * (unit.gripN * unit.slipMPerS + unit.resistance.atN(unit.roadMPerS) * unit.roadMPerS);
      },
    );
    const kept = shaft.energyJ + 0.5 * massKg * unit.roadMPerS ** 2;
    expect((kept + burnt) / given).toBeCloseTo(1, 3);
    expect(burnt / given).toBeGreaterThan(0.2);
  });

  it("refuses wheels that grip better slipping than rolling", () => {
    expect(() => train({ slipRatio: 0.4 })).toThrow(/slip must be above 0 and at most the adhesion, 0.3, got 0.4/);
    expect(() => train({ engineKg: 0 })).toThrow(/engineMass must be more than 0 kg/);
  });
});
