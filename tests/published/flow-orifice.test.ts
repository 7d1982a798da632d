import { describe, expect, it } from "vitest";
import { chokedFlowFactor, criticalPressureRatio, orificeFlowKgPerS } from "../../src/flow/orifice.js";

// [source: gas-dynamics textbook forms psi = sqrt(k) (2/(k+1))^((k+1)/(2(k-1))), (2/(k+1))^(k/(k-1)), recomputed]
const chokedRows: readonly (readonly [number, number, number])[] = [
  [1.4, 0.68473, 0.52828],
  [1.33, 0.67263, 0.5404],
  [1.3, 0.66726, 0.54573],
  [1.135, 0.6356, 0.57743],
];

describe("choked flow", () => {
  it.each(chokedRows)("k = %s: flow factor %s, critical ratio %s", (k, factor, ratio) => {
    expect(Math.abs(chokedFlowFactor(k) - factor)).toBeLessThan(1e-5);
    expect(Math.abs(criticalPressureRatio(k) - ratio)).toBeLessThan(5e-5);
  });

  // Air, 293.15 K, R = 287.05: G = 0.684731 p0/sqrt(R T0), kg/(m2 s). [source: textbook form, recomputed; 1e-4]
  it.each([
    [2e5, 472.1],
    [3e5, 708.1],
    [5e5, 1180.2],
    [7e5, 1652.3],
  ])("air at %s Pa passes %s kg/(m2 s)", (p0, flux) => {
    const density = p0 / (287.05 * 293.15);
    const choked = chokedFlowFactor(1.4) * Math.sqrt(p0 * density);
    const flow = orificeFlowKgPerS(choked, p0, 1.01325e5, 0, criticalPressureRatio(1.4));
    expect(Math.abs(flow / flux - 1)).toBeLessThan(1e-4);
  });

  // Saturated steam, ideal gas of k = 1.3 with the real density at the inlet. [source: IAPWS-IF97 specific volumes
  // 1.1594, 0.88574, 0.37481, 0.19436, 0.13170 m3/kg; fluxes recomputed with k = 1.3]
  it.each([
    [1.5e5, 1.1594, 240.0],
    [2e5, 0.88574, 317.1],
    [5e5, 0.37481, 770.7],
    [10e5, 0.19436, 1513.6],
    [15e5, 0.1317, 2251.9],
  ])("saturated steam at %s Pa passes the ideal flux of k = 1.3", (p0, volume, flux) => {
    expect(Math.abs((chokedFlowFactor(1.3) * Math.sqrt(p0 / volume)) / flux - 1)).toBeLessThan(5e-4);
  });

  // Saturated steam of 3 bar, subcritical, k = 1.3. [source: exact isentropic flow, recomputed; specific volume 0.60576
  // m3/kg from IAPWS-IF97]. The ellipse is stated to be within 1.02 % of it.
  it.each([
    [0.95, 216.0],
    [0.9, 296.1],
    [0.8, 390.9],
    [0.7, 442.6],
    [0.6, 466.4],
  ])("steam of 3 bar at a pressure ratio of %s passes %s kg/(m2 s) within the ellipse's 1.02 %", (ratio, flux) => {
    const choked = chokedFlowFactor(1.3) * Math.sqrt(3e5 / 0.60576);
    const flow = orificeFlowKgPerS(choked, 3e5, ratio * 3e5, 0, criticalPressureRatio(1.3));
    console.log(`3 bar, ratio ${ratio}: ${flow.toFixed(1)} against ${flux}, ${(100 * (flow / flux - 1)).toFixed(2)} %`);
    expect(Math.abs(flow / flux - 1)).toBeLessThan(0.0102);
  });
});
