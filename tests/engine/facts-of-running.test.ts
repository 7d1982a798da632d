import { describe, expect, it } from "vitest";
import type { RunningDescription } from "../../src/engine/running-description.js";
import { saturatedLiquid, saturatedVapourProperties } from "../../src/steam/if97.js";
import { changed, preset, type PresetName } from "../offline/renders.js";
import { oscillating12mm, slideValve12mm, withGear } from "./descriptions.js";
import { modelIron, SelfTurning } from "./self-turning.js";

const rpmOf = (machine: SelfTurning) => machine.running.shaft.speedRadPerS * (30 / Math.PI);

/** A preset that turns itself, at an angle. */
function turning(name: PresetName, shaftRad: number, changes: Parameters<typeof changed>[1] = {}): SelfTurning {
  const { description } = changed(preset(name), changes);
  return new SelfTurning(description, description.running!, shaftRad);
}

describe("a vessel charged with compressed air turns the engine by itself [common practice]", () => {
  /** Seconds until the charge no longer turns it, and its greatest speed; a small vessel, so that it does not take long. */
  function spend(regulatorRatio: number) {
    const { plant } = preset("corve-bottle").description;
    const machine = turning("corve-bottle", 1, { plant: { ...plant!, volumeM3: 0.012 } });
    const boiler = machine.engine.plant!;
    boiler.isHeld = false;
    machine.engine.setRegulator(regulatorRatio);
    let fastest = 0;
    let seconds = 0;
    const chargePa = boiler.boiler.pressurePa;
    do {
      machine.run(0.25, () => (fastest = Math.max(fastest, rpmOf(machine))));
      seconds += 0.25;
    } while (machine.running.shaft.speedRadPerS > 0 && seconds < 60);
    return {
      fastest,
      seconds,
      turns: machine.running.shaft.angleRad / (2 * Math.PI),
      chargePa,
      leftPa: boiler.outletPa,
    };
  }
  const open = spend(0.2);
  const throttled = spend(0.06);
  it("until the charge is spent", () => {
    expect(open.turns).toBeGreaterThan(5);
    expect(open.seconds).toBeLessThan(60);
    expect(open.leftPa).toBeLessThan(0.6 * open.chargePa);
    expect(open.leftPa).toBeGreaterThan(101_325);
  });
  it("slower and longer when the same charge is throttled", () => {
    expect(throttled.fastest).toBeLessThan(0.85 * open.fastest);
    expect(throttled.seconds).toBeGreaterThan(1.15 * open.seconds);
  });
});

describe("before an engine starts", () => {
  it("a leaking valve breathes out at the exhaust: steam is on, the shaft is held", () => {
    const breath = (regulatorRatio: number, valveM2: number) => {
      const machine = turning("bench-slide", 1.57, { fittings: null, leaks: { valveM2, ringsM2: 0 } });
      machine.engine.setRegulator(regulatorRatio);
      const { ledger } = machine.engine;
      // Only the fluid goes on: the shaft is held.
      const hold = (seconds: number) => {
        for (let i = 0; i < seconds / machine.stepS; i++) machine.engine.process();
      };
      hold(0.5);
      ledger.clear();
      hold(0.5);
      return ledger.massOutKg / 0.5;
    };
    const leaking = breath(1, 5e-8);
    // Past both ports, choked: W = a p / 70. [source: Babcock & Wilcox, Steam, eq. 49, after R. D. Napier]
    const napierKgPerS = 2 * 5e-8 * 1.4568e-3 * 4.01e5;
    expect(leaking / napierKgPerS).toBeGreaterThan(0.8);
    expect(leaking / napierKgPerS).toBeLessThan(1.25);
    // A tight one gives no more than what the walls drive out as they warm.
    expect(breath(1, 0)).toBeLessThan(0.25 * leaking);
    expect(breath(0, 5e-8)).toBeLessThan(0.25 * leaking);
  });
});

describe("brake and regulator each set the speed [common practice]", () => {
  const twin = withGear(slideValve12mm(), { crankAnglesRad: [0, Math.PI / 2] });
  const iron: RunningDescription = { ...modelIron, brakeTorqueNm: 0.2, load: { ...modelIron.load!, law: "linear" } };
  const speed = (regulatorRatio: number, brakeRatio: number) => {
    const machine = new SelfTurning(twin, iron, 1);
    machine.engine.setRegulator(regulatorRatio);
    machine.running.brakeRatio = brakeRatio;
    machine.run(2.5);
    return machine.account(0.5).rpm;
  };
  it("the more it is braked the slower it runs, at one opening", () => {
    const speeds = [0, 0.15, 0.3].map((brakeRatio) => speed(0.06, brakeRatio));
    for (let i = 1; i < speeds.length; i++) expect(speeds[i]).toBeLessThan(0.93 * speeds[i - 1]);
    expect(speeds[2]).toBeGreaterThan(50);
  });
  it("the more it is opened the faster it runs, at one brake", () => {
    const speeds = [0.04, 0.06, 0.1].map((regulatorRatio) => speed(regulatorRatio, 0.1));
    for (let i = 1; i < speeds.length; i++) expect(speeds[i]).toBeGreaterThan(1.07 * speeds[i - 1]);
  });
});

describe("a closed engine bounces on its cushion [common practice]", () => {
  it("thrown over against shut ports it comes back, and rocks until friction stills it", () => {
    // Ports a hair wide are as good as shut.
    const still = slideValve12mm({ leaks: { valveM2: 0, ringsM2: 0 } });
    const { valveGear } = still.gear;
    if (valveGear.kind !== "eccentric") throw new Error("a slide valve");
    const shut = withGear(still, { valveGear: { ...valveGear, portLengthM: 1e-7 } });
    const machine = new SelfTurning(shut, { ...modelIron, frictionPa: 1000, load: null }, Math.PI / 2);
    machine.engine.setRegulator(0);
    machine.running.reset(60);
    const { shaft } = machine.running;
    let reversals = 0;
    let before = shaft.speedRadPerS;
    let furthest = 0;
    machine.run(3, () => {
      if (shaft.speedRadPerS * before < 0) reversals++;
      if (shaft.speedRadPerS !== 0) before = shaft.speedRadPerS;
      furthest = Math.max(furthest, Math.abs(shaft.angleRad - Math.PI / 2));
    });
    expect(reversals).toBeGreaterThan(3);
    expect(furthest).toBeLessThan(Math.PI / 2);
    expect(Math.abs(shaft.speedRadPerS)).toBeLessThan(20);
    // Open to the air it would run on over its dead centre.
    const open = new SelfTurning(oscillating12mm(), { ...modelIron, frictionPa: 1000, load: null }, Math.PI / 2);
    open.engine.setRegulator(0);
    open.running.reset(60);
    open.run(0.5);
    expect(open.running.shaft.angleRad).toBeGreaterThan(Math.PI);
  });
});

describe("mill engines at work", () => {
  /** Steam for the indicated work, and what of that work the shafting gets, governed, at a load. */
  function atWork(name: PresetName, loadRatio: number) {
    const machine = turning(name, 1);
    const { engine, running } = machine;
    running.reset((Math.PI / 30) * engine.description.speedRpm);
    running.loadRatio = loadRatio;
    let takenJ = 0;
    const govern = () => {
      engine.setRegulator(running.governor!.openRatio);
      takenJ += machine.voice.loadTorqueNm * running.shaft.speedRadPerS * machine.stepS;
    };
    machine.run(20, govern);
    engine.ledger.clear();
    engine.ends.workJ.fill(0);
    takenJ = 0;
    const endRad = running.shaft.angleRad + 2 * Math.PI * 12;
    while (running.shaft.angleRad < endRad) machine.run(machine.stepS, govern);
    const workJ = engine.ends.workJ.reduce((sum, joule) => sum + joule, 0);
    const kgPerKWh = (3.6e6 * engine.ledger.massInKg) / workJ;
    return { poundsPerHour: (kgPerKWh * 0.745699872) / 0.45359237, efficiency: takenJ / workJ };
  }
  /** lb for each horsepower-hour of an engine that loses nothing. [source: Rankine's cycle, IAPWS R7-97] */
  function rankine(boilerPa: number, backPa: number): number {
    const at = saturatedVapourProperties(boilerPa);
    const [dry, wet] = [saturatedVapourProperties(backPa), saturatedLiquid(backPa)];
    const quality = (at.entropyJPerKgK - wet.entropyJPerKgK) / (dry.entropyJPerKgK - wet.entropyJPerKgK);
    const dropJ = at.enthalpyJPerKg - wet.enthalpyJPerKg - quality * (dry.enthalpyJPerKg - wet.enthalpyJPerKg);
    return ((3.6e6 / dropJ) * 0.745699872) / 0.45359237;
  }
  const air = atWork("oxmoor-mill", 1);
  const vacuum = atWork("lingmere-condensing", 1);

  // [source: M70 Steam Engines, I.C.S., 1911, Table IV: simple engines 28 to 32 lb exhausting to the air, 22 to 24 condensing].
  // The model's walls take less of the steam at each stroke than real ones, so that it is the better by up to a quarter.
  it("exhausting to the air it uses what handbooks give, within a tenth; no less than Rankine's engine", () => {
    expect(air.poundsPerHour).toBeGreaterThan(0.9 * 28);
    expect(air.poundsPerHour).toBeLessThan(32);
    expect(air.poundsPerHour).toBeGreaterThan(1.2 * rankine(80 * 6894.757 + 101_325, 101_325));
  });
  it("condensing it saves at least a fifth; no less than Rankine's engine", () => {
    expect(vacuum.poundsPerHour).toBeLessThan(0.8 * air.poundsPerHour);
    expect(vacuum.poundsPerHour).toBeGreaterThan(1.2 * rankine(80 * 6894.757 + 101_325, 15_000));
  });
  it("of its work 80 to 90 % comes to the shafting at full load", () => {
    // [source: M70 Steam Engines, I.C.S., 1911: mechanical efficiency 80 to 90 % at full load]
    for (const { efficiency } of [air, vacuum]) {
      expect(efficiency).toBeGreaterThan(0.8);
      expect(efficiency).toBeLessThan(0.905);
    }
  });
});
