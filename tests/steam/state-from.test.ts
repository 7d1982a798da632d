import { describe, expect, it } from "vitest";
import { saturatedLiquid, saturatedVapourProperties, saturationTemperatureK } from "../../src/steam/if97.js";
import {
  saturatedVapour,
  stateFromPressureEnthalpy,
  stateFromPressureEntropy,
  stateFromPressureTemperature,
} from "../../src/steam/state-from.js";
import { createAir, createSteam } from "../../src/steam/working-fluid.js";

const steam = createSteam();
const air = createAir();

describe("states of steam at set-up time", () => {
  // IAPWS R7-97(2012), tables 7, 9, 24 and 29, are of the backward equations, which the release holds within 25 mK of the
  // forward ones (sections 5.2 and 6.3). Ours invert the forward ones.
  it.each([
    [3, 500, 391.798509],
    [0.001, 3000, 534.433241],
    [3, 3000, 575.37337],
    [3, 4000, 1010.77577],
    [5, 3500, 801.299102],
    [5, 4000, 1015.31583],
  ])("enthalpy: at %d MPa and %d kJ/kg is as hot as printed in tables 7 and 24", (megapascal, kilojoule, t) => {
    const state = stateFromPressureEnthalpy(steam, megapascal * 1e6, kilojoule * 1e3);
    expect(Math.abs(state.temperatureK - t)).toBeLessThan(0.025);
    expect(state.enthalpyJPerKg).toBeCloseTo(kilojoule * 1e3, 3);
  });

  it.each([
    [3, 0.5, 307.842258],
    [0.1, 7.5, 399.517097],
    [0.1, 8, 514.127081],
    [2.5, 8, 1039.84917],
    [8, 6, 600.48404],
    [8, 7.5, 1064.95556],
  ])("entropy: at %d MPa and %d kJ/(kg K) is as hot as printed in tables 9 and 29", (megapascal, kilojoule, t) => {
    const state = stateFromPressureEntropy(steam, megapascal * 1e6, kilojoule * 1e3);
    expect(Math.abs(state.temperatureK - t)).toBeLessThan(0.025);
    expect(state.entropyJPerKgK).toBeCloseTo(kilojoule * 1e3, 5);
  });

  it("wet steam mixes boiling water and dry vapour by mass", () => {
    for (const bar of [0.1, 1, 10, 100]) {
      const liquid = saturatedLiquid(bar * 1e5);
      const vapour = saturatedVapourProperties(bar * 1e5);
      const h = 0.3 * liquid.enthalpyJPerKg + 0.7 * vapour.enthalpyJPerKg;
      const state = stateFromPressureEnthalpy(steam, bar * 1e5, h);
      expect(state.qualityRatio).toBeCloseTo(0.7, 12);
      expect(state.temperatureK).toBe(vapour.temperatureK);
      expect(1 / state.densityKgPerM3).toBeCloseTo(0.3 * liquid.volumeM3PerKg + 0.7 * vapour.volumeM3PerKg, 12);
      const u = state.enthalpyJPerKg - (bar * 1e5) / state.densityKgPerM3;
      expect(state.internalEnergyJPerKg / u).toBeCloseTo(1, 12);
      const same = stateFromPressureEntropy(steam, bar * 1e5, state.entropyJPerKgK);
      expect(same.enthalpyJPerKg / h).toBeCloseTo(1, 12);
    }
  });

  it("a state found again by its enthalpy or entropy is the same state, dry, liquid, and below the triple pressure", () => {
    for (const [p, t] of [
      [1e5, 400],
      [1e5, 350],
      [15e5, 650],
      [400, 300],
      [120e5, 1000],
    ] as const) {
      const state = stateFromPressureTemperature(steam, p, t);
      expect(stateFromPressureEnthalpy(steam, p, state.enthalpyJPerKg).temperatureK).toBeCloseTo(t, 6);
      expect(stateFromPressureEntropy(steam, p, state.entropyJPerKgK).temperatureK).toBeCloseTo(t, 6);
    }
  });

  it("at the boiling temperature a boiler gives dry saturated steam, however the superheat of nothing was rounded", () => {
    for (const bar of [1.2, 3, 11.0316, 16]) {
      const t = saturationTemperatureK(bar * 1e5);
      for (const nudge of [0, 1e-12, -1e-12, 1e-9, -1e-9]) {
        const state = stateFromPressureTemperature(steam, bar * 1e5, t + nudge);
        expect(state.qualityRatio).toBe(1);
        expect(state.densityKgPerM3).toBe(saturatedVapour(bar * 1e5).densityKgPerM3);
      }
    }
  });

  it("the hot loop's table agrees with the states it is set up from", () => {
    const states = [
      saturatedVapour(10e5),
      stateFromPressureTemperature(steam, 14e5, 623.15),
      stateFromPressureEntropy(steam, 1.2e5, 6700),
    ];
    for (const state of states) {
      steam.lookup(state.densityKgPerM3, state.internalEnergyJPerKg);
      expect(steam.pressurePa / state.pressurePa).toBeCloseTo(1, 4);
      expect(Math.abs(steam.temperatureK - state.temperatureK)).toBeLessThan(0.05);
    }
  });

  it("what cannot be is named", () => {
    expect(() => stateFromPressureEnthalpy(steam, 1e5, 9e6)).toThrow(
      /stateFromPressureEnthalpy: enthalpyJPerKg must be between .* J\/kg and .* J\/kg, got 9000000 J\/kg/,
    );
    expect(() => stateFromPressureEntropy(steam, 1e5, -5000)).toThrow(RangeError);
    expect(() => stateFromPressureTemperature(steam, -1, 400)).toThrow(RangeError);
    expect(() => stateFromPressureTemperature(air, 0, 300)).toThrow(/above 0 Pa/);
    expect(() => stateFromPressureTemperature(air, 1e5, 20)).toThrow(/temperatureK must be between 100 K and 1200 K/);
    expect(() => stateFromPressureEnthalpy(air, 1e5, 1e7)).toThrow(RangeError);
    expect(() => stateFromPressureEnthalpy(steam, 25e6, 3500e3)).toThrow(RangeError);
    expect(() => saturatedVapour(Number.NaN)).toThrow(RangeError);
  });
});

describe("states of air", () => {
  it("density and speed of sound at 15 °C are those of the standard atmosphere (ISO 2533:1975: 1.225 kg/m3, 340.294 m/s)", () => {
    const state = stateFromPressureTemperature(air, 101_325, 288.15);
    expect(state.densityKgPerM3).toBeCloseTo(1.225, 4);
    expect(Math.abs(state.soundSpeedMPerS / 340.294 - 1)).toBeLessThan(5e-4);
  });

  it("speed of sound at 20 °C is 343.2 m/s (from memory)", () => {
    expect(Math.abs(stateFromPressureTemperature(air, 101_325, 293.15).soundSpeedMPerS - 343.2)).toBeLessThan(0.2);
  });

  it("entropy from 300 to 1000 K is that of the gas tables (2.96770 - 1.70203 kJ/(kg K), from memory)", () => {
    const s = (t: number) => stateFromPressureTemperature(air, 1e5, t).entropyJPerKgK;
    expect(Math.abs((s(1000) - s(300)) / 1265.67 - 1)).toBeLessThan(0.004);
  });

  it("an isentropic compression follows p v^1.4 while the specific heat is nearly constant", () => {
    const start = stateFromPressureTemperature(air, 1e5, 250);
    const end = stateFromPressureEntropy(air, 1.5e5, start.entropyJPerKgK);
    expect(end.temperatureK / (250 * 1.5 ** (0.4 / 1.4))).toBeCloseTo(1, 3);
    expect(end.entropyJPerKgK).toBeCloseTo(start.entropyJPerKgK, 7);
    expect(stateFromPressureEnthalpy(air, 1.5e5, end.enthalpyJPerKg).temperatureK).toBeCloseTo(end.temperatureK, 8);
  });
});
