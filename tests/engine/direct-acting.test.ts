import { describe, expect, it } from "vitest";
import { DirectActing, type PumpDescription } from "../../src/engine/direct-acting.js";
import { Engine } from "../../src/engine/engine.js";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { locomotive, plainPipe, steamBoiler } from "./descriptions.js";

const waterSide: PumpDescription = {
  waterBoreM: 0.1,
  liftPa: 6e5,
  vesselM3: 0,
  movingKg: 40,
  valveLossPa: 0.4e5,
  lossAtMPerS: 0.5,
  frictionPa: 0.1e5,
};

/** A pump of 6 in steam bore and 4 in plungers, 6 in stroke, on 6 bar. */
function pump(cylinders: 1 | 2): EngineDescription {
  return locomotive({
    gear: {
      cylinder: {
        boreM: 0.1524,
        strokeM: 0.1524,
        acting: "double",
        connectingRodM: 1,
        pistonRodM: 0.03,
        clearanceRatio: 0.1,
      },
      crankAnglesRad: cylinders === 1 ? [0] : [0, 0],
      valveGear: {
        kind: "tripped",
        portLengthM: 0.08,
        portWidthM: 0.012,
        lostMotionRatio: 0.55,
        steamLapRatio: 0.05,
        cushionRatio: 0.12,
        cushionLeakRatio: 0.08,
        throwOverS: 0.08,
      },
      faults: [],
    },
    boiler: steamBoiler(101_325 + 6e5),
    exhaust: plainPipe(1.5, 0.05),
    chestVolumeM3: 0.003,
    regulatorAreaM2: 0.0006,
    speedRpm: 30,
  });
}

class Pumping {
  readonly engine: Engine;
  readonly pistons: DirectActing;
  timeS = 0;

  constructor(
    readonly description: EngineDescription,
    readonly water: PumpDescription = waterSide,
    load = 1,
  ) {
    this.engine = new Engine(description, 48_000, 4);
    const { motion, ends, side, plan } = this.engine;
    side[4] = load;
    const { cylinder } = description.gear;
    this.pistons = new DirectActing(water, cylinder, motion, ends, description.ambient.pressurePa, side, plan.stepS);
    this.engine.reset(0);
    this.pistons.reset();
  }

  run(seconds: number, note: () => void = () => undefined): this {
    const ticks = Math.round(seconds / this.engine.plan.stepS);
    for (let t = 0; t < ticks; t++) {
      this.pistons.process();
      this.engine.process();
      this.timeS += this.engine.plan.stepS;
      note();
    }
    return this;
  }
}

describe("a duplex pump", () => {
  it("strokes for ever, one piston on its way while the other waits for its valve", () => {
    const pumping = new Pumping(pump(2)).run(1);
    const { speedMPerS } = pumping.pistons;
    let bothStillS = 0;
    const before = pumping.pistons.shaftRad;
    pumping.run(3, () => {
      const [first, second] = [Math.abs(speedMPerS[0]) > 0.01, Math.abs(speedMPerS[1]) > 0.01];
      if (!first && !second) bothStillS += pumping.engine.plan.stepS;
    });
    expect((pumping.pistons.shaftRad - before) / (2 * Math.PI)).toBeGreaterThan(6);
    // Common practice: a duplex gives a nearly steady stream.
    expect(bothStillS).toBeLessThan(0.05);
  });

  it("delivers its plungers' displacement", () => {
    const pumping = new Pumping(pump(1));
    pumping.run(5);
    const strokes = pumping.pistons.shaftRad / Math.PI;
    const perStrokeM3 = 0.25 * Math.PI * 0.1 ** 2 * 0.1524;
    // The piston's little rebounds from its covers are delivered beside its strokes.
    expect(pumping.pistons.deliveredM3 / (strokes * perStrokeM3)).toBeCloseTo(1, 2);
  });

  // Statics: the pistons stand still when lift x plunger = (steam - back pressure) x piston, packing left out.
  it("fills a vessel until lift and steam balance on their pistons, ever slower", () => {
    const filling = { ...waterSide, vesselM3: 0.02, frictionPa: 0 };
    const pumping = new Pumping(pump(2), filling);
    const lifts: number[] = [];
    const flows: number[] = [];
    let delivered = 0;
    for (let i = 0; i < 12; i++) {
      pumping.run(1.5);
      lifts.push(pumping.pistons.liftPa);
      flows.push(pumping.pistons.deliveredM3 - delivered);
      delivered = pumping.pistons.deliveredM3;
    }
    const areaRatio = (0.1524 / 0.1) ** 2;
    const stallPa = 6e5 * areaRatio;
    expect(lifts.at(-1)! / stallPa).toBeGreaterThan(0.93);
    // What moves carries the last stroke a little beyond the balance.
    expect(lifts.at(-1)! / stallPa).toBeLessThan(1.06);
    expect(flows.at(-1)!).toBeLessThan(0.05 * flows[0]);
    for (let i = 1; i < lifts.length; i++) expect(lifts[i]).toBeGreaterThanOrEqual(lifts[i - 1]);
  });

  it("stands still when the water pushes harder than the steam", () => {
    const pumping = new Pumping(pump(2), { ...waterSide, liftPa: 6.2e5 * (0.1524 / 0.1) ** 2 });
    pumping.run(2);
    const before = pumping.pistons.shaftRad;
    pumping.run(2);
    expect(pumping.pistons.shaftRad - before).toBe(0);
  });

  it("stands still without steam, and works slower with less", () => {
    const rateWith = (regulator: number) => {
      const pumping = new Pumping(pump(2), { ...waterSide, liftPa: 3e5 });
      pumping.engine.setRegulator(regulator);
      pumping.run(3);
      const before = pumping.pistons.shaftRad;
      pumping.run(3);
      return pumping.pistons.shaftRad - before;
    };
    const [shut, little, full] = [rateWith(0), rateWith(0.15), rateWith(1)];
    expect(shut).toBe(0);
    expect(little).toBeGreaterThan(0);
    expect(little).toBeLessThan(0.8 * full);
  });
});

describe("a single pump", () => {
  it("throws its own valve over at both ends and goes on", () => {
    const pumping = new Pumping(pump(1));
    let turned = 0;
    let last = 1;
    pumping.run(4, () => {
      const now = Math.sign(pumping.engine.motion.tripped!.valve[0]);
      if (now !== 0 && now !== last) turned++;
      if (now !== 0) last = now;
    });
    // Twice a double stroke, the one under way apart.
    expect(Math.abs(turned - pumping.pistons.shaftRad / Math.PI)).toBeLessThan(1.5);
    expect(turned).toBeGreaterThan(8);
  });
});

describe("every pump", () => {
  it.each([1, 2] as const)("of %s cylinders closes its account of mass and energy", (cylinders) => {
    const pumping = new Pumping(pump(cylinders)).run(1);
    const { engine } = pumping;
    const { ledger, ends } = engine;
    ledger.clear();
    ends.workJ.fill(0);
    const [massBefore, energyBefore] = [engine.storedMassKg(), engine.storedEnergyJ()];
    pumping.run(2);
    const work = ends.workJ.reduce((sum, joule) => sum + joule, 0);
    const massMissing = ledger.massInKg - ledger.massOutKg - (engine.storedMassKg() - massBefore);
    const gain = engine.storedEnergyJ() - energyBefore;
    const energyMissing = ledger.energyInJ - ledger.energyOutJ + ledger.heatJ - work - gain;
    expect(Math.abs(massMissing / ledger.massInKg)).toBeLessThan(1e-9);
    expect(Math.abs(energyMissing / ledger.energyInJ)).toBeLessThan(1e-9);
    expect(work).toBeGreaterThan(0);
  });

  it("meets its covers softly when it is cushioned, harder when it is not", () => {
    const hardest = (cushionLeakRatio: number) => {
      const made = pump(2);
      const cylinder = { ...made.gear.cylinder, clearanceRatio: 0.03 };
      const valveGear = { ...made.gear.valveGear, cushionLeakRatio } as typeof made.gear.valveGear;
      const gear = { ...made.gear, cylinder, valveGear };
      const pumping = new Pumping({ ...made, gear }, { ...waterSide, liftPa: 11e5 }).run(1);
      let most = 0;
      pumping.run(2, () => {
        most = Math.max(most, ...pumping.pistons.coverMPerS);
      });
      return most;
    };
    const [soft, hard] = [hardest(0.02), hardest(1)];
    expect(soft).toBeLessThan(0.65 * hard);
  });
});
