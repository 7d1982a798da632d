import { describe, expect, it } from "vitest";
import type { RunningDescription } from "../../src/engine/running-description.js";
import { locomotive } from "./descriptions.js";
import { SelfTurning } from "./self-turning.js";

describe("a locomotive with a train", () => {
  const iron: RunningDescription = {
    reciprocatingKg: 230,
    inertiaKgM2: 1800,
    frictionPa: 20_000,
    slackM: 2e-4,
    brakeTorqueNm: 20_000,
    load: null,
    train: {
      trainKg: 120_000,
      engineKg: 60_000,
      adhesionKg: 30_000,
      gradientRatio: 0,
      adhesionRatio: 0.3,
      slipRatio: 0.18,
      resistance: "davis",
      frontalM2: 8,
      axleCount: 30,
      brakeRatio: 0.08,
    },
    governor: null,
    gearing: null,
  };

  it("starts it, and the gas's work is found in iron, train, friction, creep and resistance", () => {
    const machine = new SelfTurning(locomotive(), iron, 0.4);
    machine.engine.setRegulator(0.05);
    const { running, engine, voice } = machine;
    const { shaft, train } = running;
    if (train === null) throw new Error("it has a train");
    let burnt = 0;
    machine.run(15, () => {
      const speed = shaft.speedRadPerS;
      const rolling = train.resistance.atN(voice.roadMPerS) * voice.roadMPerS;
      burnt += machine.stepS * (train.gripN * voice.slipMPerS + rolling + running.frictionNm * speed);
    });
    const gasJ = engine.ends.workJ.reduce((sum, each) => sum + each, 0);
    const kept = shaft.energyJ + 0.5 * 180_000 * voice.roadMPerS * voice.roadMPerS;
    expect(voice.roadMPerS).toBeGreaterThan(1);
    expect(voice.roadM).toBeGreaterThan(5);
    // [source: conservation of energy; the air's work on the piston rods does not come back within a part of a turn]
    expect((kept + burnt) / gasJ).toBeCloseTo(1, 2);
  });

  it("is after a reset as it was when new", () => {
    const machine = new SelfTurning(locomotive(), iron, 0.4);
    const { engine, running, voice } = machine;
    const trace = () => {
      machine.run(1);
      return [...voice.rodForceN, voice.roadMPerS, voice.roadM, voice.slipMPerS, voice.shaftRad];
    };
    const first = trace();
    engine.reset(0.4);
    running.reset(0);
    expect(voice.roadM).toBe(0);
    expect(trace()).toEqual(first);
  });

  it("slips with the regulator wide open on greasy rails, and bites again when it is eased", () => {
    const greasy = { ...iron, train: { ...iron.train!, adhesionRatio: 0.15, slipRatio: 0.08 } };
    const machine = new SelfTurning(locomotive(), greasy, 0.4);
    let most = 0;
    machine.engine.setRegulator(0.6);
    machine.run(3, () => (most = Math.max(most, machine.voice.slipMPerS)));
    expect(most).toBeGreaterThan(1);
    machine.engine.setRegulator(0);
    machine.run(4);
    expect(Math.abs(machine.voice.slipMPerS)).toBeLessThan(0.02 * machine.voice.roadMPerS);
    expect(machine.voice.roadMPerS).toBeGreaterThan(0.2);
  });

  it("is brought to a stand by its train's brakes and stays, steam shut", () => {
    const machine = new SelfTurning(locomotive(), iron, 0.4);
    machine.engine.setRegulator(0.2);
    machine.run(6);
    machine.engine.setRegulator(0);
    machine.running.brakeRatio = 1;
    machine.run(8);
    expect(machine.voice.roadMPerS).toBe(0);
    expect(machine.running.shaft.speedRadPerS).toBe(0);
  });

  // Common practice: put over into the other gear, cylinders pump against the chest and hold a train back, whether the
  // regulator is shut or open. Drifting in the gear it runs in, a train rolls on.
  it("gear put over against the way it runs holds the train back, steam shut or not", () => {
    const slowed = (cutoffRatio: number, regulatorRatio: number) => {
      const machine = new SelfTurning(locomotive(), iron, 0.4);
      machine.engine.setRegulator(0.3);
      machine.run(8);
      const before = machine.voice.roadMPerS;
      machine.engine.setRegulator(regulatorRatio);
      machine.engine.setCutoff(cutoffRatio);
      machine.run(3);
      return before - machine.voice.roadMPerS;
    };
    const drifting = slowed(0.7, 0);
    const shut = slowed(-0.7, 0);
    const open = slowed(-0.7, 0.1);
    expect(drifting).toBeGreaterThan(0);
    expect(shut).toBeGreaterThan(1.5 * drifting);
    expect(open).toBeGreaterThan(1.5 * drifting);
  });
});
