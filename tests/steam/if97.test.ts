import { describe, expect, it } from "vitest";
import {
  liquidProperties,
  region3BoundaryPa,
  saturatedLiquid,
  saturatedVapourProperties,
  saturationPressurePa,
  saturationTemperatureK,
  vapourProperties,
} from "../../src/steam/if97.js";
import type { WaterProperties } from "../../src/steam/if97-equations.js";

/** Half a unit of the last of nine printed digits, or of the last printed decimal where the row says so. */
const toNineDigits = (expected: number) => 0.5000001 * 10 ** (Math.floor(Math.log10(Math.abs(expected))) - 8);

function expectPrinted(actual: number, expected: number, halfUnit = toNineDigits(expected)) {
  expect(Math.abs(actual - expected), `${actual} against ${expected}`).toBeLessThanOrEqual(halfUnit);
}

// T K, p MPa, v m3/kg, h, u kJ/kg, s, cp kJ/(kg K), w m/s
type Row = readonly [number, number, number, number, number, number, number, number];

function expectRow(properties: (temperatureK: number, pressurePa: number) => WaterProperties, row: Row) {
  const [t, p, v, h, u, s, cp, w] = row;
  const got = properties(t, p * 1e6);
  expectPrinted(got.volumeM3PerKg, v);
  expectPrinted(got.enthalpyJPerKg / 1e3, h);
  expectPrinted(got.internalEnergyJPerKg / 1e3, u);
  expectPrinted(got.entropyJPerKgK / 1e3, s);
  expectPrinted(got.specificHeatJPerKgK / 1e3, cp);
  expectPrinted(got.soundSpeedMPerS, w);
}

describe("IF97, verification tables of IAPWS R7-97(2012)", () => {
  it.each<Row>([
    [300, 3, 0.100215168e-2, 115.331273, 112.324818, 0.392294792, 4.17301218, 1507.73921],
    [300, 80, 0.971180894e-3, 184.142828, 106.448356, 0.368563852, 4.01008987, 1634.69054],
    [500, 3, 0.1202418e-2, 975.542239, 971.934985, 2.58041912, 4.65580682, 1240.71337],
  ])("liquid at %d K and %d MPa is as printed in table 5", (...row) => expectRow(liquidProperties, row));

  it.each<Row>([
    [300, 0.0035, 39.4913866, 2549.91145, 2411.6916, 8.52238967, 1.91300162, 427.920172],
    [700, 0.0035, 92.3015898, 3335.68375, 3012.62819, 10.1749996, 2.08141274, 644.289068],
    [700, 30, 0.542946619e-2, 2631.49474, 2468.61076, 5.17540298, 10.3505092, 480.386523],
  ])("vapour at %d K and %d MPa is as printed in table 15", (...row) => expectRow(vapourProperties, row));

  it.each([
    [300, 0.353658941e-2],
    [500, 2.63889776],
    [600, 12.3443146],
  ])("water at %d K boils at the pressure of table 35", (t, p) => expectPrinted(saturationPressurePa(t) / 1e6, p));

  it.each([
    [0.1, 372.755919],
    [1, 453.035632],
    [10, 584.149488],
  ])("water at %d MPa boils at the temperature of table 36", (p, t) =>
    expectPrinted(saturationTemperatureK(p * 1e6), t),
  );

  it("the border of region 3 passes the point printed under eq. 5 and 6", () =>
    expectPrinted(region3BoundaryPa(623.15) / 1e6, 16.5291643));
});

describe("saturated rows, recomputed with the open library iapws", () => {
  // p bar, Ts C, vf e3, vg, hf, hg, hfg, ug, sf, sg, cp_g, w_g, k
  it.each([
    [1.01325, 99.974, 1.04344, 1.673295, 418.99, 2675.53, 2256.54, 2505.98, 1.30672, 7.35439, 2.0774, 472.24, 1.3154],
    [2, 120.212, 1.06052, 0.885735, 504.68, 2706.24, 2201.56, 2529.09, 1.5301, 7.12686, 2.1752, 481.88, 1.3108],
    [5, 151.836, 1.09256, 0.374804, 640.19, 2748.11, 2107.92, 2560.71, 1.8606, 6.82058, 2.4127, 493.8, 1.3011],
    [10, 179.886, 1.12723, 0.194349, 762.68, 2777.12, 2014.44, 2582.77, 2.13843, 6.58498, 2.715, 500.89, 1.291],
    [15, 198.295, 1.15387, 0.131702, 844.72, 2791.01, 1946.29, 2593.46, 2.31468, 6.44305, 2.9645, 503.66, 1.2841],
  ])("at %d bar to the printed digits", (bar, tC, vf, vg, hf, hg, hfg, ug, sf, sg, cp, w, k) => {
    const p = bar * 1e5;
    const liquid = saturatedLiquid(p);
    const vapour = saturatedVapourProperties(p);
    expectPrinted(vapour.temperatureK - 273.15, tC, 0.00051);
    expectPrinted(liquid.volumeM3PerKg * 1e3, vf, 0.0000051);
    expectPrinted(vapour.volumeM3PerKg, vg, 0.00000051);
    expectPrinted(liquid.enthalpyJPerKg / 1e3, hf, 0.0051);
    expectPrinted(vapour.enthalpyJPerKg / 1e3, hg, 0.0051);
    expectPrinted((vapour.enthalpyJPerKg - liquid.enthalpyJPerKg) / 1e3, hfg, 0.0051);
    expectPrinted(vapour.internalEnergyJPerKg / 1e3, ug, 0.0051);
    expectPrinted(liquid.entropyJPerKgK / 1e3, sf, 0.0000051);
    expectPrinted(vapour.entropyJPerKgK / 1e3, sg, 0.0000051);
    expectPrinted(vapour.specificHeatJPerKgK / 1e3, cp, 0.000051);
    expectPrinted(vapour.soundSpeedMPerS, w, 0.0051);
    expectPrinted(vapour.soundSpeedMPerS ** 2 / (p * vapour.volumeM3PerKg), k, 0.000051);
  });

  it("at 450 K agrees with IAPWS-95 within 4.3e-4 (printed table of that formulation)", () => {
    const p = saturationPressurePa(450);
    const liquid = saturatedLiquid(p);
    const vapour = saturatedVapourProperties(p);
    const pairs: readonly (readonly [number, number])[] = [
      [p, 0.932203564e6],
      [1 / liquid.volumeM3PerKg, 890.34125],
      [1 / vapour.volumeM3PerKg, 4.8120036],
      [liquid.enthalpyJPerKg, 749161.585],
      [vapour.enthalpyJPerKg, 2774410.78],
      [liquid.entropyJPerKgK, 2108.65845],
      [vapour.entropyJPerKgK, 6609.21221],
    ];
    for (const [got, expected] of pairs) expect(Math.abs(got / expected - 1)).toBeLessThan(4.3e-4);
  });
});

describe("superheated rows, recomputed with the open library iapws", () => {
  // p bar, t C, v, h, s, u, cp, w, k
  it.each([
    [1.01325, 150, 1.911184, 2776.49, 7.60842, 2582.84, 1.9867, 504.67, 1.3152],
    [2, 150, 0.959894, 2769.09, 7.28091, 2577.11, 2.0667, 501.97, 1.3125],
    [5, 200, 0.425034, 2855.9, 7.06107, 2643.38, 2.1448, 526.84, 1.3061],
    [10, 200, 0.206004, 2828.27, 6.69549, 2622.26, 2.4288, 517.32, 1.2991],
    [10, 250, 0.232739, 2943.22, 6.92662, 2710.48, 2.2116, 550.11, 1.3002],
    [10, 300, 0.257979, 3051.7, 7.12471, 2793.72, 2.1408, 578.51, 1.2973],
    [12, 300, 0.21385, 3046.4, 7.0336, 2789.77, 2.1735, 576.85, 1.2967],
    [14, 350, 0.200283, 3150.07, 7.13783, 2869.68, 2.164, 601.93, 1.2922],
  ])("at %d bar and %d C to the printed digits", (bar, tC, v, h, s, u, cp, w, k) => {
    const got = vapourProperties(tC + 273.15, bar * 1e5);
    expectPrinted(got.volumeM3PerKg, v, 0.00000051);
    expectPrinted(got.enthalpyJPerKg / 1e3, h, 0.0051);
    expectPrinted(got.entropyJPerKgK / 1e3, s, 0.0000051);
    expectPrinted(got.internalEnergyJPerKg / 1e3, u, 0.0051);
    expectPrinted(got.specificHeatJPerKgK / 1e3, cp, 0.000051);
    expectPrinted(got.soundSpeedMPerS, w, 0.0051);
    expectPrinted(got.soundSpeedMPerS ** 2 / (bar * 1e5 * got.volumeM3PerKg), k, 0.000051);
  });
});

describe("derivatives and ranges", () => {
  it("the derivatives are the slopes of the volume itself", () => {
    for (const [properties, t, p] of [
      [liquidProperties, 450, 5e6],
      [vapourProperties, 450, 5e5],
      [vapourProperties, 800, 8e6],
    ] as const) {
      const here = properties(t, p);
      const dp = p * 1e-4;
      const dt = t * 1e-5;
      const slopeP = (properties(t, p + dp).volumeM3PerKg - properties(t, p - dp).volumeM3PerKg) / (2 * dp);
      const slopeT = (properties(t + dt, p).volumeM3PerKg - properties(t - dt, p).volumeM3PerKg) / (2 * dt);
      expect(here.volumePerPressure / slopeP).toBeCloseTo(1, 5);
      expect(here.volumePerTemperature / slopeT).toBeCloseTo(1, 5);
      const slopeU =
        (properties(t + dt, p).internalEnergyJPerKg - properties(t - dt, p).internalEnergyJPerKg) / (2 * dt);
      expect((here.specificHeatJPerKgK - p * here.volumePerTemperature) / slopeU).toBeCloseTo(1, 5);
    }
  });

  it("both ways across the saturation line agree to 1e-9", () => {
    for (let t = 273.16; t < 647; t += 1.7)
      expect(Math.abs(saturationTemperatureK(saturationPressurePa(t)) / t - 1)).toBeLessThan(1e-9);
  });

  it("a value out of range is named with its rule and what was got", () => {
    expect(() => saturationTemperatureK(100)).toThrow(
      "saturationTemperatureK: pressurePa must be between 611.213 Pa and 22064000 Pa, got 100 Pa. Is it an absolute pressure in pascals?",
    );
    expect(() => saturationPressurePa(700)).toThrow(RangeError);
    expect(() => saturationPressurePa(Number.NaN)).toThrow(RangeError);
    expect(() => liquidProperties(400, 1e5)).toThrow(/pressurePa must be between .*vapourProperties/);
    expect(() => vapourProperties(400, 5e5)).toThrow(/liquidProperties/);
    expect(() => vapourProperties(1100, 1e5)).toThrow(RangeError);
    expect(() => vapourProperties(640, 21e6)).toThrow(RangeError);
    expect(() => vapourProperties(400, 0)).toThrow(RangeError);
  });
});
