import { describe, expect, it } from "vitest";
import { AIR_AT_WALL, wallLossNpPerM } from "../../src/sound/acoustics.js";
import { WallLoss } from "../../src/sound/wall-loss.js";
import { gainDbAt, impulseResponse, phaseDelayAt, responseAt } from "./signal-measures.js";

const RATES = [44100, 48000, 96000];
const NP_TO_DB = 20 / Math.LN10;

function response(rate: number, lowestHz: number, lossNp: number): Float64Array {
  const wall = new WallLoss(rate);
  wall.setLoss(lowestHz, lossNp);
  wall.reset();
  return impulseResponse((a, b, n) => wall.process(a, b, n), 1 << 15);
}

describe("wall loss", () => {
  it.each(RATES)("takes what Kirchhoff's loss takes on one passage from f1 to 40 f1, at %d Hz", (rate) => {
    // 1 m of 25 mm radius; f1 = 85.8 Hz. 1 % below 0.06 of the rate, 2 % at 3.4 kHz, where the bilinear transform tells.
    const lowest = 343.2 / 4;
    const h = response(rate, lowest, wallLossNpPerM(lowest, 0.025, AIR_AT_WALL));
    for (let ratio = 1; ratio <= 40; ratio *= 1.3) {
      const hz = lowest * ratio;
      const exact = -wallLossNpPerM(hz, 0.025, AIR_AT_WALL) * NP_TO_DB;
      expect(Math.abs(gainDbAt(h, hz, rate) / exact - 1)).toBeLessThan(hz < 0.06 * rate ? 0.01 : 0.02);
    }
  });

  it("slows the wave as much as it takes from it: alpha L over omega, within 2 % from f1 to 20 f1", () => {
    const lowest = 343.2 / 4;
    const alpha1 = wallLossNpPerM(lowest, 0.025, AIR_AT_WALL);
    const h = response(96000, lowest, alpha1);
    for (let ratio = 1; ratio <= 20; ratio *= 1.3) {
      const hz = lowest * ratio;
      const exact = (wallLossNpPerM(hz, 0.025, AIR_AT_WALL) / (2 * Math.PI * hz)) * 96000;
      expect(Math.abs(phaseDelayAt(h, hz, 96000, exact) / exact - 1)).toBeLessThan(0.02);
    }
  });

  it("keeps the printed loss of 0.1029 dB/m at 100 Hz and 25 mm radius within the 1 % of the checks", () => {
    // Keefe, JASA 75 (1984) 58-62: .011844 Np/m; set at its own lowest frequency.
    const h = response(48000, 100, 0.011844);
    expect(Math.abs(gainDbAt(h, 100, 48000) / -0.1029 - 1)).toBeLessThan(0.01);
  });

  it("still follows the law within 6 % where a passage takes 0.3 Np at f1 (2.4 dB), 16 dB at 40 f1", () => {
    const h = response(96000, 50, 0.3);
    for (let ratio = 1; ratio <= 40; ratio *= 1.3) {
      const exact = -0.3 * Math.sqrt(ratio) * NP_TO_DB;
      expect(Math.abs(gainDbAt(h, 50 * ratio, 96000) / exact - 1)).toBeLessThan(0.06);
    }
  });

  it("passes what stands still exactly, and everything when there is no loss", () => {
    const wall = new WallLoss(48000);
    wall.setLoss(80, 0.2);
    wall.reset(0.7);
    const block = new Float64Array(1000).fill(0.7);
    wall.process(block, block, 1000);
    for (const x of block) expect(Math.abs(x / 0.7 - 1)).toBeLessThan(1e-15);
    const none = response(48000, 80, 0);
    expect(none[0]).toBe(1);
    expect(responseAt(none, 20000, 48000).re).toBeCloseTo(1, 12);
  });

  it("never makes anything louder", () => {
    for (const loss of [0.001, 0.1, 5]) {
      const h = response(44100, 2000, loss);
      for (let hz = 50; hz < 22000; hz += 500) expect(gainDbAt(h, hz, 44100)).toBeLessThan(1e-9);
    }
  });
});
