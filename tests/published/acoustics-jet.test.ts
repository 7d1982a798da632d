import { describe, expect, it } from "vitest";
import { jetSoundPowerW } from "../../src/sound/jet-noise.js";
import type { Jet } from "../sound/jet-measures.js";
import { AIR, bandLevelDb, hiss, levelDb } from "../sound/jet-measures.js";

const powerLevelDb = (jet: Jet): number => {
  const area = (Math.PI * jet.boreM ** 2) / 4;
  const massFlow = jet.densityKgPerM3 * area * jet.velocityMPerS;
  return 10 * Math.log10(jetSoundPowerW(massFlow, jet.velocityMPerS, AIR.airSoundSpeedMPerS) / 1e-12);
};

const STEAM_150: Jet = { boreM: 0.1, velocityMPerS: 150, densityKgPerM3: 0.59 };

// eta = 1e-4 (U/c)^5 of the jet's power: Lighthill's law (Proc. R. Soc. A 211 (1952)) as handbooks give it, from
// memory.
describe("jet sound power", () => {
  it.each([
    [STEAM_150, 100.96],
    [{ ...STEAM_150, velocityMPerS: 300 }, 125.04],
    [{ boreM: 0.05, velocityMPerS: 100, densityKgPerM3: 1.2041 }, 83.95],
    [{ boreM: 0.05, velocityMPerS: 200, densityKgPerM3: 1.2041 }, 108.03],
  ])("of %o is %f dB", (jet, expected) => {
    // Printed to 0.01 dB; the levelling-off at 2.4e-3 takes 0.001 dB at 300 m/s.
    expect(Math.abs(powerLevelDb(jet) - expected)).toBeLessThan(0.01);
  });

  it("grows with the eighth power of the speed: 24.08 dB for twice the speed (Lighthill 1952)", () => {
    const slow = powerLevelDb({ ...STEAM_150, velocityMPerS: 50 });
    expect(Math.abs(powerLevelDb({ ...STEAM_150, velocityMPerS: 100 }) - slow - 24.08)).toBeLessThan(0.01);
  });

  it("never passes the 2.8e-3 of the jet's power that API 521 implies at a pressure ratio of 3", () => {
    for (let velocity = 10; velocity < 3000; velocity *= 1.1) {
      expect(jetSoundPowerW(1, velocity, 343.2) / (0.5 * velocity * velocity)).toBeLessThan(2.8e-3);
    }
  });

  it("is none for gas drawn in", () => {
    expect(jetSoundPowerW(-1, -100, 343.2)).toBe(0);
    expect(jetSoundPowerW(0, 0, 343.2)).toBe(0);
  });
});

describe("jet hiss", () => {
  const signal = hiss(STEAM_150, 48000, 120);

  it("of 0.1 m at 150 m/s is 69.97 dB 10 m off, within 0.3 dB of statistics", () => {
    expect(Math.abs(levelDb(signal) - 69.97)).toBeLessThan(0.3);
  });

  it("grows by 24.08 dB for twice the speed, within 0.3 dB of statistics", () => {
    const slow = hiss({ ...STEAM_150, velocityMPerS: 120 }, 48000, 60);
    const fast = hiss({ ...STEAM_150, velocityMPerS: 240 }, 48000, 60, 1);
    expect(Math.abs(levelDb(fast) - levelDb(slow) - 24.08)).toBeLessThan(0.3);
  });

  // IEC 60534-8-3:2010: third of an octave re the whole, x = f / fPeak. Tolerance: 0.5 dB between x = 0.1 and 10 for the filter
  // of three poles and the scatter of 120 s of noise. Measured: -0.33 -0.05 -0.01 -0.10 -0.09 +0.28 -0.32 dB.
  it.each([
    [0.1, -20.16],
    [0.25, -14.31],
    [0.5, -11.14],
    [1, -9.87],
    [2, -11.4],
    [4, -16.36],
    [10, -25.58],
  ])("has in the third of an octave at %f of its peak frequency %f dB of the whole", (x, expected) => {
    const centre = x * ((0.2 * 150) / 0.1);
    const band = bandLevelDb(signal, centre / 10 ** 0.05, centre * 10 ** 0.05, 48000);
    // The shape sums to +0.08 dB over all bands.
    const deviation = band - levelDb(signal) - (expected - 0.08);
    expect(Math.abs(deviation)).toBeLessThan(0.5);
  });
});
