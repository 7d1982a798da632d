import { describe, expect, it } from "vitest";
import { liquidProperties, saturatedLiquid, saturatedVapourProperties } from "../../src/steam/if97.js";
import { makeRig, type PlantRig } from "./plants.js";

const fire = { powerW: 1e6, efficiencyRatio: 0.6, responseS: 0.01 };

/** What its safety valve blows off at 2 bar while 54 W boil, in g/min, and the pressure that it holds. */
function blownGramsPerMinute(feedK: number | null): number {
  const feedKgPerS = 1.2355e-3 / 60;
  const rig = makeRig(
    {
      volumeM3: 50e-6,
      waterRatio: 0.6,
      lowWaterRatio: 0.2,
      fire: { powerW: 54, efficiencyRatio: 1, responseS: 0.01 },
      // One that neither pops nor sticks, to hold the pressure steady.
      safetyValve: { setPa: 2e5, reseatPa: 1.998e5, fullLiftPa: 2.002e5, areaM2: 2e-7 },
      feed: feedK === null ? null : { kind: "pump", massFlowKgPerS: feedKgPerS, temperatureK: feedK },
    },
    { pressurePa: 2e5, stepS: 1 / 1000 },
  );
  rig.set("fire", 1);
  rig.set("feed", 1);
  rig.run(60);
  const { boiler, ledger } = rig.plant;
  const before = { water: ledger.waterKg, pressurePa: boiler.pressurePa };
  rig.run(120);
  expect(Math.abs(boiler.pressurePa / before.pressurePa - 1)).toBeLessThan(0.003);
  const fedKg = feedK === null ? 0 : 120 * feedKgPerS;
  return (1000 * (fedKg - (ledger.waterKg - before.water))) / 2;
}

function expectClosed({ plant }: PlantRig): void {
  const { boiler, ledger } = plant;
  expect(Math.abs(ledger.massGapKg(boiler)) / (boiler.waterKg + boiler.airKg)).toBeLessThan(1e-9);
  expect(Math.abs(ledger.energyGapJ(boiler)) / Math.abs(boiler.energyJ)).toBeLessThan(1e-9);
}

describe("a boiler and its fire", () => {
  // 54 W: 1.47 g/min at 2 bar from hot, 1.24 g/min from 20 degC. [source: glue-it.com boiler pages, 54 W measured; IF97]
  it("of a spirit burner, 54 W, boils away 1.47 g/min at 2 bar, and 1.24 g/min when fed at 20 degC", () => {
    expect(Math.abs(blownGramsPerMinute(null) / 1.47 - 1)).toBeLessThan(0.02);
    expect(Math.abs(blownGramsPerMinute(293.15) / 1.24 - 1)).toBeLessThan(0.02);
  });

  // One boiler horse power: 34.5 lb/h from and at 212 degF, 33 475 Btu/h = 9809.5 W. [source: Babcock & Wilcox, Steam]
  it("of one boiler horse power raises 34.5 lb/h from and at 212 degF", () => {
    const rig = makeRig(
      { fire: { powerW: 9809.5, efficiencyRatio: 1, responseS: 0.01 }, volumeM3: 0.2, blowerAreaM2: 0.01 },
      { pressurePa: 101_400, stepS: 1 / 1000 },
    );
    rig.set("fire", 1);
    rig.set("blower", 1);
    rig.run(60);
    const poundsPerHour = (rig.voice.blowerKgPerS / 0.45359237) * 3600;
    expect(Math.abs(poundsPerHour / 34.5 - 1)).toBeLessThan(0.005);
    expect(Math.abs(rig.voice.steamRaisedKgPerS / rig.voice.blowerKgPerS - 1)).toBeLessThan(0.01);
  });

  it("gains pressure quicker with more fire, and with less water", () => {
    const after = (ratio: number, waterRatio: number) => {
      const rig = makeRig({ fire, waterRatio });
      rig.set("fire", ratio);
      rig.run(20);
      return rig.plant.outletPa - 10e5;
    };
    const half = after(0.5, 0.75);
    expect(half).toBeGreaterThan(1000);
    // Twice the heat, twice the rise, near enough. [common practice]
    expect(after(1, 0.75) / half).toBeCloseTo(2, 1);
    expect(after(0.5, 0.4) / half).toBeGreaterThan(1.6);
  });

  it("follows its fire's control in the response time: 63 % of it", () => {
    const rig = makeRig({ fire: { ...fire, responseS: 2 } });
    rig.set("fire", 0);
    rig.plant.reset("steaming");
    rig.set("fire", 1);
    rig.run(2);
    // 1 - 1/e, closed form.
    expect(Math.abs(rig.voice.fireW / 1e6 - 0.632)).toBeLessThan(0.003);
    expect(rig.voice.heatW / rig.voice.fireW).toBeCloseTo(0.6, 9);
  });

  it("left alone with no heat, loss or draw stays to the bit, and a draw moves it without a step", () => {
    const rig = makeRig({});
    rig.run(0.1);
    const { outletPa, outletKgPerM3, outletJPerKg } = rig.plant;
    rig.run(2);
    expect([rig.plant.outletPa, rig.plant.outletKgPerM3, rig.plant.outletJPerKg]).toEqual([
      outletPa,
      outletKgPerM3,
      outletJPerKg,
    ]);
    rig.plant.drawnKgPerS = 5;
    rig.plant.drawnW = 5 * outletJPerKg;
    let before = outletPa;
    let greatest = 0;
    for (let i = 0; i < 12_000; i++) {
      rig.plant.process();
      greatest = Math.max(greatest, before - rig.plant.outletPa);
      before = rig.plant.outletPa;
    }
    const fallPa = outletPa - before;
    expect(fallPa).toBeGreaterThan(1000);
    expect(greatest).toBeLessThan((3 * fallPa) / 12_000);
    expectClosed(rig);
  });
});

describe("raising steam from cold", () => {
  const small = { volumeM3: 0.002, waterRatio: 0.7, blowerAreaM2: 1e-5 };
  const burner = { powerW: 4000, efficiencyRatio: 0.5, responseS: 1 };

  it("begins as cold water far from boiling, drives the air off through an open cock, then boils", () => {
    const rig = makeRig({ ...small, fire: burner }, { stepS: 1 / 2000 });
    rig.plant.reset("cold");
    rig.plant.process();
    expect(rig.voice.boilerK).toBeCloseTo(293.15, 3);
    expect(rig.voice.subcoolingK).toBeGreaterThan(79);
    const airKg = rig.plant.boiler.airKg;
    rig.set("fire", 1);
    rig.set("blower", 1);
    rig.run(100);
    expect(rig.voice.subcoolingK).toBeGreaterThan(20);
    rig.run(300);
    expect(rig.plant.boiler.airKg).toBeLessThan(1e-3 * airKg);
    expect(rig.voice.subcoolingK).toBeLessThan(0.05);
    expect(rig.plant.heldCount).toBe(0);
    expectClosed(rig);
  });

  it("shut, holds the air's pressure on top of the steam's", () => {
    const rig = makeRig({ ...small, fire: burner }, { stepS: 1 / 2000 });
    rig.plant.reset("cold");
    rig.set("fire", 1);
    rig.run(300);
    const { boiler } = rig.plant;
    // Steam by IF97 at its temperature, air by the gas law.
    expect(boiler.airPa).toBeGreaterThan(1.2e5);
    expect(boiler.airRatio).toBeGreaterThan(0.1);
    expect(rig.plant.outletPa).toBeGreaterThan(3e5);
    expectClosed(rig);
  });
});

describe("safety valve, feed, blow-down and priming", () => {
  it("a valve pops, blows the boiler down below its set pressure and shuts, again and again", () => {
    const safetyValve = { setPa: 10.2e5, reseatPa: 9.9e5, fullLiftPa: 10.4e5, areaM2: 2e-3 };
    const rig = makeRig({ volumeM3: 0.3, fire, safetyValve }, { stepS: 1 / 2000 });
    rig.set("fire", 1);
    let pops = 0;
    let wasOpen = false;
    let least = Infinity;
    let most = 0;
    for (let i = 0; i < 240_000; i++) {
      rig.plant.process();
      const { isOpen } = rig.plant.safetyValve!;
      if (isOpen && !wasOpen) pops++;
      if (!isOpen && wasOpen) least = Math.min(least, rig.plant.boiler.pressurePa);
      wasOpen = isOpen;
      most = Math.max(most, rig.plant.outletPa);
    }
    expect(pops).toBeGreaterThan(2);
    expect(least).toBeLessThan(9.91e5);
    expect(least).toBeGreaterThan(9.7e5);
    expect(most).toBeLessThan(10.3e5);
    expectClosed(rig);
  });

  it("an injector feeds near the working pressure, and breaks off far below it; a pump feeds anywhere", () => {
    const flowAt = (kind: "injector" | "pump", from: "cold" | "steaming") => {
      const rig = makeRig({ feed: { kind, massFlowKgPerS: 1, temperatureK: 338.15 } });
      rig.plant.reset(from);
      rig.set("feed", 1);
      rig.run(3);
      expectClosed(rig);
      return rig.voice.feedKgPerS;
    };
    expect(flowAt("injector", "steaming")).toBeCloseTo(1, 3);
    expect(flowAt("injector", "cold")).toBe(0);
    expect(flowAt("pump", "cold")).toBeCloseTo(1, 3);
  });

  it("cold feed lowers the pressure by what mixing at constant volume says", () => {
    const rig = makeRig({ feed: { kind: "pump", massFlowKgPerS: 2, temperatureK: 293.15 } });
    rig.set("feed", 1);
    const { boiler } = rig.plant;
    const { energyJ, waterKg } = boiler;
    rig.run(10);
    expect(boiler.pressurePa).toBeLessThan(9.9e5);
    const gained = boiler.waterKg - waterKg;
    // Water of 20 degC pressed to 10 bar. [source: IAPWS R7-97 region 1]
    const perKg = liquidProperties(293.15, 10e5).enthalpyJPerKg;
    expect(Math.abs((boiler.energyJ - energyJ) / gained / perKg - 1)).toBeLessThan(0.01);
  });

  it("the blow-down passes Bernoulli's flow of water, part of which flashes, and the low water is told", () => {
    const rig = makeRig({ blowdownAreaM2: 1e-3 });
    rig.set("blowdown", 1);
    rig.run(0.1);
    const total = rig.voice.blowdownKgPerS + rig.voice.blowdownWaterKgPerS;
    // [source: Bernoulli; IAPWS R7-97 saturated water at 10 bar]
    const bernoulli = 1e-3 * Math.sqrt((2 * (10e5 - 101_325)) / saturatedLiquid(10e5).volumeM3PerKg);
    expect(Math.abs(total / bernoulli - 1)).toBeLessThan(0.01);
    // Flash at constant enthalpy: (hf - hf0) / hfg0.
    const out = saturatedLiquid(101_325).enthalpyJPerKg;
    const latent = saturatedVapourProperties(101_325).enthalpyJPerKg - out;
    const flash = (saturatedLiquid(10e5).enthalpyJPerKg - out) / latent;
    expect(Math.abs(rig.voice.blowdownKgPerS / total / flash - 1)).toBeLessThan(0.05);
    expect(rig.plant.lowWaterSinceS >= 0).toBe(false);
    rig.run(10);
    expect(rig.plant.lowWaterSinceS >= 0).toBe(true);
    expect(rig.plant.lowWaterSinceS).toBeGreaterThan(2);
    expect(rig.plant.lowWaterSinceS).toBeLessThan(8);
    expectClosed(rig);
  });

  it("priming 1 carries over as much water as steam", () => {
    const rig = makeRig({});
    rig.set("priming", 1);
    rig.run(0.1);
    rig.plant.reset("steaming");
    const dry = saturatedVapourProperties(10e5);
    const wet = saturatedLiquid(10e5);
    expect(rig.plant.outletJPerKg / (0.5 * (dry.enthalpyJPerKg + wet.enthalpyJPerKg))).toBeCloseTo(1, 6);
    expect(rig.plant.outletKgPerM3 * 0.5 * (dry.volumeM3PerKg + wet.volumeM3PerKg)).toBeCloseTo(1, 6);
  });

  it("boiled dry under its fire it holds at no water, with no explosion and nothing lost count of", () => {
    const rig = makeRig({ volumeM3: 0.001, waterRatio: 0.05, fire: { ...fire, powerW: 20_000 }, blowerAreaM2: 2e-5 });
    rig.set("fire", 1);
    rig.set("blower", 1);
    rig.run(30);
    expect(rig.plant.boiler.waterRatio).toBeLessThan(0.001);
    expect(rig.plant.heldCount).toBeGreaterThan(0);
    expect(rig.plant.lowWaterSinceS >= 0).toBe(true);
    expect(rig.plant.outletPa).toBeLessThan(12e5);
    expect(Number.isFinite(rig.plant.outletPa + rig.plant.outletJPerKg + rig.voice.boilerK)).toBe(true);
    expectClosed(rig);
  });
});
