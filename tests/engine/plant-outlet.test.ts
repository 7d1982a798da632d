import { describe, expect, it } from "vitest";
import { saturatedVapourProperties, saturationTemperatureK, vapourProperties } from "../../src/steam/if97.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { makeRig, type PlantRig } from "./plants.js";

const fire = { powerW: 1e6, efficiencyRatio: 0.6, responseS: 0.01 };
const noAir = { pressurePa: 101_325, temperatureK: 293.15 };

function expectClosed({ plant }: PlantRig): void {
  const { boiler, ledger } = plant;
  expect(Math.abs(ledger.massGapKg(boiler)) / (boiler.waterKg + boiler.airKg)).toBeLessThan(1e-9);
  expect(Math.abs(ledger.energyGapJ(boiler)) / Math.abs(boiler.energyJ)).toBeLessThan(1e-9);
}

describe("a superheater", () => {
  it("gives its heat on the way out: the boiler loses saturated steam, and every joule is found again", () => {
    const rig = makeRig({ volumeM3: 0.5 }, { superheatK: 80 });
    const { plant } = rig;
    const { energyJ, waterKg } = plant.boiler;
    // [source: IAPWS R7-97 region 2 at 10 bar, saturation + 80 K]
    const heated = vapourProperties(saturationTemperatureK(10e5) + 80, 10e5);
    expect(plant.outletJPerKg / heated.enthalpyJPerKg).toBeCloseTo(1, 6);
    expect(plant.outletKgPerM3 * heated.volumeM3PerKg).toBeCloseTo(1, 6);
    for (let i = 0; i < 12_000; i++) {
      // A chest that draws, and now and then gives a little back.
      plant.drawnKgPerS = i % 100 < 80 ? 1 : -0.2;
      plant.drawnW = plant.drawnKgPerS * plant.outletJPerKg;
      plant.process();
    }
    const { boiler } = plant;
    const perKg = (energyJ - boiler.energyJ) / (waterKg - boiler.waterKg);
    // What came back brought its superheat with it, a twentieth of the flow.
    const saturated = saturatedVapourProperties(10e5).enthalpyJPerKg;
    const back = (0.2 * 20) / (80 - 0.2 * 20);
    expect(Math.abs(perKg / (saturated - back * (heated.enthalpyJPerKg - saturated)) - 1)).toBeLessThan(0.003);
    expectClosed(rig);
  });
});

describe("an air receiver", () => {
  // p/p0 = (1 + (k-1) t/2 tau)^(-2k/(k-1)), tau 49.767 s: 1 m3, 1 cm2, 10 bar, 300 K; 0.23334 kg/s at first.
  // [source: gas-dynamics textbook form]
  it("blows down as the closed form says", () => {
    const rig = makeRig(
      { waterRatio: 0, blowerAreaM2: 1e-4 },
      { workingFluid: "air", airK: 300, ambient: noAir, stepS: 1 / 2000 },
    );
    rig.set("blower", 1);
    rig.run(0.1);
    expect(Math.abs(rig.voice.blowerKgPerS / 0.23334 - 1)).toBeLessThan(0.005);
    rig.run(4.9);
    expect(Math.abs(rig.plant.outletPa / 8.7e5 - 1)).toBeLessThan(0.002);
    expect(Math.abs(rig.voice.boilerK / (0.96099 * 300) - 1)).toBeLessThan(0.002);
    rig.run(15);
    expect(Math.abs(rig.plant.outletPa / 5.8208e5 - 1)).toBeLessThan(0.002);
    expectClosed(rig);
    rig.run(400);
    expect(rig.plant.outletPa / 101_325).toBeCloseTo(1, 3);
    expect(rig.plant.heldCount).toBe(0);
  });
});

describe("the plant as a unit", () => {
  it("leaves nothing on the heap, and repeats to the bit after reset", () => {
    const rig = makeRig({
      fire,
      safetyValve: { setPa: 9.9e5, reseatPa: 9.8e5, fullLiftPa: 10.2e5, areaM2: 1e-4 },
      feed: { kind: "injector", massFlowKgPerS: 0.5, temperatureK: 330 },
      blowerAreaM2: 1e-5,
      blowdownAreaM2: 1e-5,
      lossWPerK: 20,
    });
    for (const control of ["fire", "feed", "blower", "blowdown", "priming"] as const) rig.set(control, 0.3);
    rig.plant.reset("steaming");
    rig.plant.drawnKgPerS = 0.1;
    rig.run(1);
    const first = [rig.plant.outletPa, rig.voice.safetyKgPerS, rig.plant.boiler.energyJ];
    rig.plant.reset("steaming");
    rig.plant.drawnKgPerS = 0.1;
    rig.run(1);
    expect([rig.plant.outletPa, rig.voice.safetyKgPerS, rig.plant.boiler.energyJ]).toEqual(first);
    expect(allocatedBytesPerCall(() => rig.plant.process(), 12_000)).toBeLessThan(0.5);
  });
});
