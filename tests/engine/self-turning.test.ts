import { describe, expect, it } from "vitest";
import type { RunningDescription } from "../../src/engine/running-description.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { millEngine, oscillating12mm, slideValve12mm, withGear } from "./descriptions.js";
import { modelIron, SelfTurning } from "./self-turning.js";

const fittings = {
  drainAreaM2: 0,
  sniftingAreaM2: 0,
  glandAreaM2: 0,
  reliefAreaM2: 0,
  reliefPa: 1e6,
  valvesLift: true,
  whistle: null,
  track: null,
  airPump: null,
};

/** A model under steam through a regulator little open. */
function model(changes: Partial<RunningDescription> = {}, shaftRad = 1, regulatorRatio = 0.05): SelfTurning {
  const machine = new SelfTurning(slideValve12mm({ fittings }), { ...modelIron, ...changes }, shaftRad);
  machine.engine.setRegulator(regulatorRatio);
  return machine;
}

describe("a model under steam turns itself", () => {
  it.each([
    ["slide valve", slideValve12mm()],
    ["oscillating", oscillating12mm()],
  ])(
    "%s: from rest to a steady speed, where the gas gives what load and friction take, within 1e-3",
    (name, description) => {
      const torqueNm = name === "oscillating" ? 0.005 : 0.02;
      const iron: RunningDescription = { ...modelIron, load: { law: "constant", torqueNm, atRpm: 1 } };
      const machine = new SelfTurning(description, iron, 1);
      machine.engine.setRegulator(0.05);
      machine.run(4);
      const before = machine.account(1);
      const { rpm, gasJ, takenJ } = machine.account(1);
      expect(rpm).toBeGreaterThan(500);
      expect(rpm).toBeLessThan(4000);
      expect(rpm / before.rpm).toBeCloseTo(1, 2);
      // [source: conservation of energy]
      expect(gasJ / takenJ).toBeCloseTo(1, 3);
      expect(machine.voice.rodForceN.some((force) => force !== 0)).toBe(true);
    },
  );

  it("starts anywhere but on dead centre", () => {
    for (const shaftRad of [0, Math.PI]) {
      const machine = model({}, shaftRad, 1);
      machine.run(1);
      expect(machine.running.shaft.angleRad).toBe(shaftRad);
    }
    for (const shaftRad of [0.5, 2, 4, 5]) {
      const machine = model({}, shaftRad, 1);
      machine.run(0.5);
      expect(Math.abs(machine.running.shaft.angleRad - shaftRad)).toBeGreaterThan(20);
    }
  });

  it("runs slower under more load, stalls when overloaded, and goes on when the load is eased", () => {
    // Two cranks at right angles start from anywhere.
    const twin = withGear(slideValve12mm(), { crankAnglesRad: [0, Math.PI / 2] });
    const machine = new SelfTurning(twin, { ...modelIron, load: { law: "constant", torqueNm: 0.04, atRpm: 1 } }, 1);
    machine.engine.setRegulator(0.05);
    machine.run(2);
    const light = machine.account(1).rpm;
    machine.running.loadRatio = 2;
    machine.run(2);
    const heavy = machine.account(1).rpm;
    expect(heavy).toBeLessThan(0.9 * light);
    expect(heavy).toBeGreaterThan(0.3 * light);
    machine.running.loadRatio = 10;
    machine.run(2);
    const { shaft } = machine.running;
    const { angleRad } = shaft;
    expect(shaft.speedRadPerS).toBe(0);
    machine.run(1);
    expect(shaft.angleRad).toBe(angleRad);
    expect(machine.voice.loadTorqueNm).toBe(0);
    machine.running.loadRatio = 1;
    machine.run(2);
    expect(machine.account(1).rpm / light).toBeCloseTo(1, 1);
    expect(machine.running.crankForce.gasN.length).toBe(2);
  });

  it("is held by its brake under full steam, and let go", () => {
    const machine = model({ brakeTorqueNm: 0.5 }, 1, 1);
    machine.running.brakeRatio = 1;
    machine.run(1);
    expect(machine.running.shaft.angleRad).toBe(1);
    expect(Math.abs(machine.voice.rodForceN[0])).toBeGreaterThan(5);
    machine.running.brakeRatio = 0;
    machine.run(0.2);
    expect(machine.running.shaft.angleRad).toBeGreaterThan(5);
  });

  it("reverses when its gear is put over", () => {
    const machine = model({}, 1, 0.2);
    machine.run(1);
    const full = machine.engine.motion.cutoffRatio[0] || 0.9;
    expect(machine.running.shaft.speedRadPerS).toBeGreaterThan(20);
    machine.engine.setCutoff(-full);
    machine.run(2);
    expect(machine.running.shaft.speedRadPerS).toBeLessThan(-20);
    expect(machine.account(1).rpm).toBeLessThan(-300);
    expect(machine.voice.loadTorqueNm).toBeLessThan(0);
  });

  it("drifts down to a stand when the regulator is shut, slower with less load", () => {
    const drift = (loadRatio: number) => {
      const machine = model();
      machine.run(2);
      machine.engine.setRegulator(0);
      machine.running.loadRatio = loadRatio;
      let seconds = 0;
      while (machine.running.shaft.speedRadPerS !== 0 && seconds < 20) {
        machine.run(0.01);
        seconds += 0.01;
      }
      return seconds;
    };
    const free = drift(0);
    expect(free).toBeLessThan(20);
    expect(free).toBeGreaterThan(1.25 * drift(1));
  });

  it("lifts its slide valve while it drifts notched up, and not while it works", () => {
    const machine = model({ load: null }, 1, 1);
    let lift = 0;
    const note = () => (lift = Math.max(lift, machine.voice.valveLiftPa[0]));
    machine.run(0.6);
    machine.run(0.2, note);
    expect(lift).toBe(0);
    machine.engine.setRegulator(0);
    machine.engine.setCutoff(0.3);
    machine.run(0.5, note);
    // [source: Sinclair 1888: slide valves lift and clatter when an engine drifts notched up]
    expect(lift).toBeGreaterThan(1000);
  });

  it("is after a reset as it was when new, and keeps its controls", () => {
    const machine = model({
      governor: { acts: "regulator", speedRpm: 600, droopRatio: 0.2, periodS: 0.3, dampingRatio: 0.5 },
    });
    const { engine, running, voice } = machine;
    running.loadRatio = 0.7;
    const trace = () => {
      machine.run(0.5);
      return [
        ...voice.rodForceN,
        ...voice.pistonMPerS,
        voice.shaftRad,
        voice.loadTorqueNm,
        running.governor?.openRatio,
      ];
    };
    const first = trace();
    engine.reset(1);
    running.reset(0);
    expect(voice.shaftRad).toBe(1);
    expect(voice.rodForceN[0]).toBe(0);
    expect(trace()).toEqual(first);
    engine.reset(1);
    running.reset(50);
    expect(voice.shaftRadPerS).toBe(50);
    expect(trace()).not.toEqual(first);
  });

  it("refuses iron that cannot turn", () => {
    expect(() => model({ inertiaKgM2: 0 })).toThrow(/flywheelKgM2 must be more than 0 kg m2/);
    expect(() => model({ frictionPa: -1 })).toThrow(/friction and brake must be 0 or more/);
    expect(() => model({ reciprocatingKg: NaN })).toThrow(/reciprocatingKg must be 0 kg or more, got NaN/);
  });

  it("leaves nothing on the heap, running or standing", () => {
    const machine = model();
    // The whole is compiled late, above all after the other tests of this file: the first measure does not count.
    machine.run(1);
    const bytes = () =>
      allocatedBytesPerCall(() => {
        machine.tick();
      }, 10_000);
    bytes();
    expect(bytes()).toBeLessThan(0.5);
    machine.running.brakeRatio = 1;
    machine.run(0.2);
    expect(bytes()).toBeLessThan(0.5);
  });
});

describe("a mill engine with a governor", () => {
  const iron: RunningDescription = {
    reciprocatingKg: 250,
    inertiaKgM2: 25_000,
    frictionPa: 15_000,
    slackM: 2e-4,
    brakeTorqueNm: 0,
    load: { law: "square", torqueNm: 3500, atRpm: 80 },
    train: null,
    governor: { acts: "regulator", speedRpm: 80, droopRatio: 0.06, periodS: 1.2, dampingRatio: 0.8 },
    gearing: null,
  };

  it("keeps its speed within the droop at half and at full load, and unevenness within what drives workshops", () => {
    const machine = new SelfTurning(millEngine(), iron, 1);
    machine.running.reset(8);
    const { governor, shaft } = machine.running;
    const govern = () => {
      machine.engine.setRegulator(governor === null ? 1 : governor.openRatio * governor.openRatio);
    };
    for (const loadRatio of [1, 0.5]) {
      machine.running.loadRatio = loadRatio;
      machine.run(25, govern);
      let low = Infinity;
      let high = 0;
      machine.run(3, () => {
        govern();
        low = Math.min(low, shaft.speedRadPerS);
        high = Math.max(high, shaft.speedRadPerS);
      });
      const mean = 0.5 * (low + high) * (30 / Math.PI);
      expect(Math.abs(mean / 80 - 1)).toBeLessThan(0.03);
      // [source: handbooks, from memory: coefficient of fluctuation 0.03 for workshops, 0.003 to 0.007 for dynamos]
      expect((high - low) / (0.5 * (high + low))).toBeLessThan(0.03);
      expect((high - low) / (0.5 * (high + low))).toBeGreaterThan(0.0005);
    }
  });
});
