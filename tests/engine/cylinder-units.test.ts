import { describe, expect, it } from "vitest";
import { CylinderEnds } from "../../src/engine/cylinder-ends.js";
import { CylinderMetal } from "../../src/engine/cylinder-metal.js";
import { makeFluid } from "../../src/engine/engine-fluid.js";
import { EngineLedger } from "../../src/engine/engine-ledger.js";
import { saturatedVapour } from "../../src/steam/state-from.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { locomotive } from "./descriptions.js";

const stepS = 1 / 12_000;
const geometry = locomotive().gear.cylinder;

describe("cylinder ends keep the contract of a fluid unit", () => {
  const steam = saturatedVapour(3e5);
  const fresh = () => {
    const ends = new CylinderEnds(3, makeFluid("steam"));
    for (let i = 0; i < 3; i++) ends.reset(i, 0.01 * (i + 1), steam.densityKgPerM3, steam.internalEnergyJPerKg);
    return ends;
  };
  const run = (ends: CylinderEnds) => {
    const volumes = Float64Array.from(ends.volumeM3);
    const seen: number[] = [];
    for (let t = 0; t < 50; t++) {
      ends.observe();
      for (let i = 0; i < 3; i++) {
        ends.addFlow(i, 0.1 * (i - 1), 0.1 * (i - 1) * 2.7e6);
        volumes[i] = 0.01 * (i + 1) * (1 + 0.3 * Math.sin(t / 9));
      }
      ends.integrate(stepS, volumes);
      seen.push(...ends.massKg, ...ends.energyJ, ...ends.pressurePa, ...ends.middlePa, ...ends.workJ);
    }
    return seen;
  };

  it("reset equals fresh", () => {
    const ends = fresh();
    const first = run(ends);
    ends.addFlow(1, 5, 5e6); // flows left over must go too
    for (let i = 0; i < 3; i++) ends.reset(i, 0.01 * (i + 1), steam.densityKgPerM3, steam.internalEnergyJPerKg);
    expect(run(ends)).toEqual(first);
  });

  it("takes flows in any order, and each once", () => {
    const one = fresh();
    const other = fresh();
    one.observe();
    other.observe();
    one.addFlow(0, 0.25, 7e5);
    one.addFlow(0, -0.5, -1.5e6);
    other.addFlow(0, -0.5, -1.5e6);
    other.addFlow(0, 0.25, 7e5);
    one.integrate(stepS, one.volumeM3.slice());
    other.integrate(stepS, other.volumeM3.slice());
    expect(one.massKg).toEqual(other.massKg);
    expect(one.energyJ).toEqual(other.energyJ);
    const mass = one.massKg[0];
    one.observe();
    one.integrate(stepS, one.volumeM3.slice());
    expect(one.massKg[0]).toBe(mass);
  });

  it("flow and work account for the energy of every tick", () => {
    const ends = fresh();
    ends.observe();
    const before = ends.energyJ[2];
    const massBefore = ends.massKg[2];
    ends.addFlow(2, 0.3, 8e5);
    ends.integrate(
      stepS,
      ends.volumeM3.map((volume) => 1.01 * volume),
    );
    expect(Math.abs(ends.energyJ[2] - (before + 8e5 * stepS - ends.workJ[2])) / before).toBeLessThan(1e-14);
    expect(Math.abs(ends.massKg[2] - (massBefore + 0.3 * stepS)) / massBefore).toBeLessThan(1e-14);
    expect(ends.workJ[2]).toBeGreaterThan(0);
  });

  it("keeps off the heap while running: under one boxed number a call for all ends together", () => {
    const ends = fresh();
    const volumes = ends.volumeM3.slice();
    expect(
      allocatedBytesPerCall(() => {
        ends.observe();
        ends.integrate(stepS, volumes);
      }, 40_000),
    ).toBeLessThan(16);
  });
});

describe("cylinder metal", () => {
  it("reset equals fresh", () => {
    const metal = new CylinderMetal(geometry, 288);
    const run = () => {
      metal.reset(400);
      const seen: number[] = [];
      for (let t = 0; t < 100; t++) {
        const heatW = metal.heatToGasW(420 + t, t % 2 === 0, 0.01 * t, 0.1, stepS);
        metal.integrate(stepS, heatW);
        seen.push(heatW, metal.temperatureK, metal.heatJ);
      }
      return seen;
    };
    const first = run();
    metal.settle(0.1);
    expect(metal.heatJ).toBe(0);
    expect(run()).toEqual(first);
    metal.reset(400);
    expect(metal).toMatchObject({ temperatureK: 400, heatJ: 0 });
  });

  it("takes heat from gas that is hotter and gives it to gas that is colder; none at its own temperature", () => {
    const metal = new CylinderMetal(geometry, 288);
    metal.reset(400);
    for (const isWet of [true, false]) {
      expect(metal.heatToGasW(450, isWet, 0.02, 0.1, stepS)).toBeLessThan(0);
      expect(metal.heatToGasW(350, isWet, 0.02, 0.1, stepS)).toBeGreaterThan(0);
      expect(metal.heatToGasW(400, isWet, 0.02, 0.1, stepS)).toBeCloseTo(0, 12);
    }
  });

  it("takes many times more heat from steam that condenses than from dry gas [common practice]", () => {
    const metal = new CylinderMetal(geometry, 288);
    metal.reset(380);
    const wet = metal.heatToGasW(450, true, 0.02, 0.2, stepS);
    const dry = metal.heatToGasW(450, false, 0.02, 0.2, stepS);
    expect(wet / dry).toBeGreaterThan(5);
  });

  it("the film comes with the first traces of water, without a jump, and is whole from a fifth of a per cent", () => {
    const metal = new CylinderMetal(geometry, 288);
    metal.reset(380);
    const latentJPerKg = 2.1e6; // of steam at 5 bar [source: IAPWS R7-97, h'' - h' = 2108 kJ/kg]
    const heatAt = (water: number) => {
      metal.query.set([450, 0.02, 0.2, stepS, water * latentJPerKg]);
      metal.exchange();
      return metal.answer[0];
    };
    const dry = metal.heatToGasW(450, false, 0.02, 0.2, stepS);
    const wet = metal.heatToGasW(450, true, 0.02, 0.2, stepS);
    expect(heatAt(0)).toBe(dry);
    expect(heatAt(1e-9) / dry).toBeCloseTo(1, 4);
    expect(heatAt(0.002)).toBe(wet);
    expect(heatAt(0.3)).toBe(wet);
    for (let water = 0; water < 0.002; water += 1e-5) {
      const step = heatAt(water + 1e-5) / heatAt(water);
      expect(step).toBeGreaterThanOrEqual(1);
      expect(step).toBeLessThan(1.15);
    }
  });

  it("a whiff of gas is never cooled past the metal", () => {
    const metal = new CylinderMetal(geometry, 288);
    metal.reset(300);
    const massKg = 1e-6;
    const heatW = metal.heatToGasW(600, false, 0.05, massKg, stepS);
    // 700 J/(kg K) is the least specific heat that the metal reckons with.
    expect(-heatW * stepS).toBeLessThan(massKg * 700 * 300);
  });

  it("settles where a turn's exchange and the loss to the air balance", () => {
    const metal = new CylinderMetal(geometry, 288);
    metal.reset(300);
    const turn = () => {
      for (let t = 0; t < 2000; t++) metal.heatToGasW(t < 1000 ? 440 : 375, true, 0.02, 0.2, stepS);
    };
    for (let k = 0; k < 5; k++) {
      turn();
      metal.settle(2000 * stepS);
    }
    turn();
    const change = metal.settle(2000 * stepS);
    expect(Math.abs(change)).toBeLessThan(0.01);
    expect(metal.temperatureK).toBeGreaterThan(375);
    expect(metal.temperatureK).toBeLessThan(440);
  });

  it("left alone it cools towards the air", () => {
    const metal = new CylinderMetal(geometry, 288);
    metal.reset(400);
    for (let t = 0; t < 1000; t++) metal.integrate(1, 0);
    expect(metal.temperatureK).toBeLessThan(400);
    expect(metal.temperatureK).toBeGreaterThan(288);
  });
});

describe("engine ledger", () => {
  it("sums flows over ticks, each tick's once, and clear equals fresh", () => {
    const ledger = new EngineLedger();
    ledger.addIn(2, 20);
    ledger.addIn(1, 10);
    ledger.addOut(0.5, 4);
    ledger.addHeat(-8);
    ledger.integrate(0.5);
    ledger.integrate(0.5);
    expect(ledger).toMatchObject({ massInKg: 1.5, energyInJ: 15, massOutKg: 0.25, energyOutJ: 2, heatJ: -4 });
    ledger.addIn(7, 7); // not yet taken in
    ledger.clear();
    expect(ledger).toEqual(new EngineLedger());
    ledger.integrate(1);
    expect(ledger).toMatchObject({ massInKg: 0, energyInJ: 0 });
  });
});
