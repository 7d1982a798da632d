import { describe, expect, it } from "vitest";
import { saturatedVapour } from "../../src/steam/state-from.js";
import { STEAM_FLOW_EXPONENT } from "../../src/steam/working-fluid.js";
import { chokedFlux, perfectGasChokedFlux } from "./choked-flux.js";
import { undercooledOfEntropy, undercooledVapour } from "./undercooled-vapour.js";

describe("steam too fast to condense, the reason for the flow exponent", () => {
  // K, MPa, v, h, u, s, cp, w
  it.each([
    [450, 1, 0.19251654, 2768.81115, 2576.29461, 6.56660377, 2.76349265, 498.408101],
    [440, 1, 0.186212297, 2740.15123, 2553.93894, 6.50218759, 2.98166443, 489.363295],
    [450, 1.5, 0.121685206, 2721.34539, 2538.81758, 6.2917044, 3.62795578, 481.941819],
  ])("at %d K and %d MPa is as printed in IAPWS R7-97(2012), table 18", (t, p, v, h, u, s, cp, w) => {
    const got = undercooledVapour(p * 1e6, t);
    expect(1 / got.densityKgPerM3 / v).toBeCloseTo(1, 8);
    expect(got.enthalpyJPerKg / 1e3 / h).toBeCloseTo(1, 8);
    expect(got.internalEnergyJPerKg / 1e3 / u).toBeCloseTo(1, 8);
    expect(got.entropyJPerKgK / 1e3 / s).toBeCloseTo(1, 8);
    expect(got.specificHeatJPerKgK / 1e3 / cp).toBeCloseTo(1, 8);
    expect(got.soundSpeedMPerS / w).toBeCloseTo(1, 8);
  });

  // bar, G: recomputed from the same equation with the open library iapws.
  it.each([
    [1.5, 240.5],
    [2, 317.6],
    [5, 770.2],
    [10, 1508.8],
    [15, 2240.4],
  ])("saturated at %d bar chokes as printed, and the model's exponent gives it within 0.6 %", (bar, g) => {
    const start = saturatedVapour(bar * 1e5);
    const { fluxKgPerM2S, criticalRatio } = chokedFlux(start, (pressurePa) =>
      undercooledOfEntropy(pressurePa, start.entropyJPerKgK),
    );
    expect(Math.abs(fluxKgPerM2S - g)).toBeLessThan(0.06);
    expect(criticalRatio).toBeGreaterThan(0.5457 - 0.002); // open library iapws, 1.5 bar
    expect(criticalRatio).toBeLessThan(0.5511 + 0.002); // the same, 20 bar
    const model = perfectGasChokedFlux(STEAM_FLOW_EXPONENT, start.pressurePa, start.densityKgPerM3);
    expect(Math.abs(model / fluxKgPerM2S - 1)).toBeLessThan(0.006);
  });
});
