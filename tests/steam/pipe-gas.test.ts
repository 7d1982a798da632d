import { describe, expect, it } from "vitest";
import { fitPipeGas } from "../../src/steam/pipe-gas.js";
import type { PipeGas } from "../../src/steam/pipe-gas.js";
import { saturatedVapour, stateFromPressureEnthalpy } from "../../src/steam/state-from.js";
import { createAir, createSteam } from "../../src/steam/working-fluid.js";

const steam = createSteam();
const air = createAir();
const temperatureOf = (gas: PipeGas, enthalpy: number) =>
  (enthalpy - gas.enthalpyOffsetJPerKg) / gas.specificHeatJPerKgK;
const volumeOf = (gas: PipeGas, pressurePa: number, enthalpy: number) =>
  (gas.gasConstantJPerKgK * temperatureOf(gas, enthalpy)) / pressurePa;

const dryEnthalpy = saturatedVapour(1.1e5).enthalpyJPerKg;

describe("the perfect gas of the exhaust pipes", () => {
  it.each([
    ["dry saturated steam", steam, 1.1e5, dryEnthalpy],
    ["wet steam", steam, 1.1e5, dryEnthalpy - 200e3],
    ["superheated steam", steam, 1.1e5, dryEnthalpy + 150e3],
    ["condenser steam", steam, 15e3, 2.4e6],
    ["air", air, 1.1e5, 260e3],
  ] as const)("has the density, temperature and enthalpy of %s where it is fitted", (_, fluid, p, h) => {
    const gas = fitPipeGas(fluid, p, h);
    const state = stateFromPressureEnthalpy(fluid, p, h);
    expect(Math.abs(temperatureOf(gas, h) / state.temperatureK - 1)).toBeLessThan(1e-9);
    expect(Math.abs(volumeOf(gas, p, h) * state.densityKgPerM3 - 1)).toBeLessThan(1e-9);
    const back = gas.specificHeatJPerKgK * state.temperatureK + gas.enthalpyOffsetJPerKg;
    expect(Math.abs(back / h - 1)).toBeLessThan(1e-9);
    const k = gas.isentropicExponent;
    expect(gas.specificHeatJPerKgK / ((gas.gasConstantJPerKgK * k) / (k - 1))).toBeCloseTo(1, 12);
    fluid.lookup(state.densityKgPerM3, state.internalEnergyJPerKg);
    expect(Math.abs(fluid.pressurePa / p - 1)).toBeLessThan(1e-4);
  });

  it("has the exponent of the dry vapour, 1.3154 at 1 atmosphere (IF97, open library iapws), wet or dry", () => {
    const dry = saturatedVapour(101_325);
    for (const wetness of [0, 0.05, 0.15])
      expect(fitPipeGas(steam, 101_325, dry.enthalpyJPerKg - wetness * 2256.54e3).isentropicExponent).toBeCloseTo(
        1.3154,
        4,
      );
    expect(fitPipeGas(air, 101_325, 290e3).isentropicExponent).toBeCloseTo(1.4, 2);
  });

  it("carries sound in dry saturated steam of 1 atmosphere at 472.24 m/s (IF97, open library iapws), slower when wet", () => {
    const soundOf = (gas: PipeGas, t: number) => Math.sqrt(gas.isentropicExponent * gas.gasConstantJPerKgK * t);
    const dry = saturatedVapour(101_325);
    expect(soundOf(fitPipeGas(steam, 101_325, dry.enthalpyJPerKg), dry.temperatureK)).toBeCloseTo(472.24, 2);
    const wet = fitPipeGas(steam, 101_325, dry.enthalpyJPerKg - 225_654);
    expect(soundOf(wet, dry.temperatureK) / 472.24).toBeCloseTo(Math.sqrt(0.9), 3);
  });

  // The farthest that density and temperature stray for enthalpies and pressures about the one fitted.
  it.each([
    ["superheated steam", steam, dryEnthalpy + 150e3, 40e3, 0.0005, 1],
    ["dry to wet steam", steam, dryEnthalpy, 40e3, 0.045, 24],
    ["wet steam", steam, dryEnthalpy - 200e3, 40e3, 0.045, 24],
    ["air", air, 290e3, 40e3, 0.0005, 0.2],
  ] as const)(
    "%s: 40 kJ/kg either way it strays by no more than stated",
    (name, fluid, h, step, densityLimit, limitK) => {
      let density = 0;
      let temperatureK = 0;
      for (const p of [1.05e5, 1.1e5, 1.3e5]) {
        const gas = fitPipeGas(fluid, p, h);
        for (const offset of [-step, -0.5 * step, 0.5 * step, step]) {
          const state = stateFromPressureEnthalpy(fluid, p, h + offset);
          density = Math.max(density, Math.abs(volumeOf(gas, p, h + offset) * state.densityKgPerM3 - 1));
          temperatureK = Math.max(temperatureK, Math.abs(temperatureOf(gas, h + offset) - state.temperatureK));
        }
      }
      console.log(
        `pipe gas, ${name}: density ${(100 * density).toFixed(2)} %, temperature ${temperatureK.toFixed(2)} K`,
      );
      expect(density).toBeLessThan(densityLimit);
      expect(temperatureK).toBeLessThan(limitK);
    },
  );

  it("an enthalpy that is water is refused with a way out", () => {
    expect(() => fitPipeGas(steam, 1.1e5, 300e3)).toThrow(
      /fitPipeGas: enthalpyJPerKg must be that of steam, got 300000/,
    );
  });
});
