import { describe, expect, it } from "vitest";
import { vapourProperties } from "../../src/steam/if97.js";
import { mixedAirEnergyJPerKg } from "../../src/steam/mixed-air.js";
import { createSteam } from "../../src/steam/working-fluid.js";
import { CylinderEnds } from "../../src/engine/cylinder-ends.js";
import { airModel, intoTheOpen, locomotive, millEngine, toCondenser, withCylinder, withGear } from "./descriptions.js";
import { Turning } from "./turning.js";

const closes = 1e-9;

describe("steam and air behind a piston", () => {
  it("expand together without heat: entropy stays, and the work is what their energy lost", () => {
    const ends = new CylinderEnds(1, createSteam());
    // Steam of 1.5 bar and air of 2.5 bar at 520 K in 2 litres, to 5 litres: dry throughout.
    const start = vapourProperties(520, 1.5e5);
    const steamKg = 0.002 / start.volumeM3PerKg;
    const airKg = (2.5e5 * 0.002) / (287.05287 * 520);
    const massKg = steamKg + airKg;
    const energy = (steamKg * start.internalEnergyJPerKg + airKg * mixedAirEnergyJPerKg(520)) / massKg;
    ends.reset(0, 0.002, massKg / 0.002, energy, airKg / massKg);
    // [source: Gibbs-Dalton: entropies of each at its own pressure; steam by IAPWS R7-97, air as perfect gas of exponent 1.4]
    const entropy = () => {
      const kelvin = ends.temperatureK[0];
      const volume = ends.volumeM3[0];
      let steamPa = (461.5 * kelvin * steamKg) / volume;
      for (let k = 0; k < 40; k++) steamPa *= (vapourProperties(kelvin, steamPa).volumeM3PerKg * steamKg) / volume;
      const air = 717.63 * Math.log(kelvin) + 287.05287 * Math.log(volume);
      return steamKg * vapourProperties(kelvin, steamPa).entropyJPerKgK + airKg * air;
    };
    ends.observe();
    const before = entropy();
    const energyBefore = ends.energyJ[0];
    const firstPa = ends.pressurePa[0];
    expect(Math.abs(firstPa / 4e5 - 1)).toBeLessThan(1e-3);
    for (let i = 1; i <= 3000; i++) {
      ends.integrate(1e-4, Float64Array.of(0.002 + (0.003 * i) / 3000));
      ends.observe();
    }
    console.log(`to ${ends.temperatureK[0].toFixed(1)} K and ${(ends.pressurePa[0] / 1e5).toFixed(3)} bar`);
    expect(Math.abs(entropy() - before)).toBeLessThan(2e-4 * massKg * 1500);
    expect(Math.abs(energyBefore - ends.energyJ[0] - ends.workJ[0])).toBeLessThan(1e-9 * energyBefore);
    expect(ends.airKg[0]).toBe(massKg * (airKg / massKg));
  });
});

/** Shares of air in the cylinders and in the pipes, by mass. */
function airShares(turning: Turning) {
  const { ends, network, chest } = turning.engine;
  const sum = (of: Float64Array) => of.reduce((total, kg) => total + kg, 0);
  return {
    ends: sum(ends.airKg) / sum(ends.massKg),
    pipes: network.cellAirKg() / network.cellMassKg(),
    chest: chest.airKg / chest.massKg,
  };
}

describe("a machine at rest in the open", () => {
  it("is full of air at the air's temperature; to a condenser, of its vapour; on air, of nothing but its fluid", () => {
    const open = new Turning(locomotive(), { regulatorRatio: 0 });
    expect(airShares(open)).toEqual({ ends: 1, pipes: 1, chest: 1 });
    for (const pa of open.engine.ends.pressurePa) expect(Math.abs(pa / 101_325 - 1)).toBeLessThan(1e-9);
    const density = open.engine.network.pipes[0].state[0];
    expect(Math.abs(density / 1.225 - 1)).toBeLessThan(1e-3); // [source: ISO 2533:1975, 15 degC at sea level]
    const condensing = new Turning(millEngine({ exhaust: toCondenser({ lengthM: 3, boreM: 0.18 }, 15e3) }));
    expect(airShares(condensing)).toEqual({ ends: 0, pipes: 0, chest: 0 });
    expect(airShares(new Turning(airModel()))).toEqual({ ends: 0, pipes: 0, chest: 0 });
  });

  it("started, drives its air off within a few turns, less of it every turn", () => {
    const turning = new Turning(locomotive());
    const shares: number[] = [];
    for (let turn = 0; turn < 5; turn++) {
      const account = turning.turns(1);
      expect(account.airResidualRatio).toBeLessThan(closes);
      expect(account.massResidualRatio).toBeLessThan(closes);
      expect(account.energyResidualRatio).toBeLessThan(closes);
      const { ends, pipes } = airShares(turning);
      shares.push(Math.max(ends, pipes));
    }
    console.log(`air turn by turn: ${shares.map((share) => share.toExponential(1)).join(", ")}`);
    shares.slice(1).forEach((share, i) => expect(share).toBeLessThan(shares[i]));
    expect(shares[0]).toBeLessThan(0.2);
    expect(shares[4]).toBeLessThan(1e-4);
    expect(turning.engine.troubleCounts()).toMatchObject({ outOfRange: 0, rescued: 0 });
  });
});

describe("a machine that drifts", () => {
  it("with the regulator shut draws in air until it holds hardly anything else", () => {
    const turning = new Turning(intoTheOpen(locomotive()), { speedRpm: 120 }).settle(4);
    expect(airShares(turning).ends).toBeLessThan(1e-3);
    turning.engine.setRegulator(0);
    const shares: number[] = [];
    for (let spell = 0; spell < 6; spell++) {
      const account = turning.turns(10);
      expect(account.airResidualRatio).toBeLessThan(closes);
      expect(account.energyResidualRatio).toBeLessThan(1e-6);
      shares.push(airShares(turning).ends);
    }
    console.log(`air in the cylinders, every ten turns: ${shares.map((share) => share.toFixed(4)).join(", ")}`);
    shares.slice(1).forEach((share, i) => expect(share).toBeGreaterThan(shares[i] - 1e-6));
    expect(shares[5]).toBeGreaterThan(0.5);
  });

  it("breathes at its mouth, in and out alike, and wastes work on it", () => {
    const turning = new Turning(intoTheOpen(locomotive()), { speedRpm: 120, regulatorRatio: 0 }).settle(12);
    const { record } = turning.engine;
    let outKg = 0;
    let inKg = 0;
    const account = turning.turns(4, () => {
      const kg = record.mouthMassKgPerS[0] * turning.engine.plan.stepS;
      if (kg > 0) outKg += kg;
      else inKg -= kg;
    });
    console.log(`drifting: ${(1000 * inKg).toFixed(1)} g in, ${(1000 * outKg).toFixed(1)} g out`);
    expect(inKg).toBeGreaterThan(0.01);
    expect(Math.abs(outKg / inKg - 1)).toBeLessThan(0.01);
    expect(account.workJ.reduce((sum, joule) => sum + joule, 0)).toBeLessThan(0);
    const { ends, pipes } = airShares(turning);
    expect(ends).toBeGreaterThan(0.99);
    expect(pipes).toBeGreaterThan(0.99);
  });

  it("single acting, draws air past its rings too, and the account of it closes", () => {
    const leaky = locomotive({ leaks: { valveM2: 1e-6, ringsM2: 2e-4 } });
    const single = withCylinder(withGear(leaky, { crankAnglesRad: [0] }), { acting: "single" });
    const turning = new Turning(single, { speedRpm: 120 }).settle(4);
    turning.engine.setRegulator(0);
    turning.turns(5);
    const account = turning.turns(2);
    expect(account.airResidualRatio).toBeLessThan(closes);
    expect(account.massResidualRatio).toBeLessThan(closes);
    expect(airShares(turning).ends).toBeGreaterThan(0.3);
  });
});
