import { describe, expect, it } from "vitest";
import { periodicSpectrum } from "../../src/listening/periodic-spectrum.js";
import { heardRun } from "./heard-run.js";

describe("the locomotive that runs past", () => {
  const run = () => heardRun("harrow-passes");
  const vMPerS = (30 * 1609.344) / 3600;
  const cMPerS = 340.3; // dry air at 15 degC [source: ISO 9613-1, from memory 340.3]
  const levelOf = (channel: number, fromS: number, toS: number) => {
    const { channels, rateHz } = run();
    const part = channels[channel].subarray(fromS * rateHz, toS * rateHz);
    return 10 * Math.log10(part.reduce((sum, x) => sum + x * x, 0) / part.length);
  };
  const bothOf = (fromS: number, toS: number) =>
    10 * Math.log10(10 ** (levelOf(0, fromS, toS) / 10) + 10 ** (levelOf(1, fromS, toS) / 10));

  it("comes up and dies away, as much before as after", () => {
    // [source: spherical spreading: 7.5 m abeam, and 20 log of the distance's ratio; the ground and the air take more]
    const rise = bothOf(6.5, 7.5) - bothOf(1, 2);
    expect(rise).toBeGreaterThan(12);
    expect(rise).toBeLessThan(30);
    expect(Math.abs(bothOf(1, 2) - bothOf(12, 13))).toBeLessThan(4);
  });
  it("goes over from one channel to the other", () => {
    const lean = (fromS: number, toS: number) => levelOf(0, fromS, toS) - levelOf(1, fromS, toS);
    expect(Math.abs(lean(1, 2))).toBeGreaterThan(6);
    expect(lean(12, 13) * lean(1, 2)).toBeLessThan(0);
    expect(Math.abs(lean(12, 13))).toBeGreaterThan(6);
    // Abeam half way through, give or take the engine's own length.
    expect(lean(6, 6.5) * lean(1, 2)).toBeGreaterThan(0);
    expect(lean(7.7, 8.2) * lean(1, 2)).toBeLessThan(0);
  });
  it("its whistle falls by Doppler's ratio, (c + v cos) / (c - v cos)", () => {
    // The strongest line between 700 and 950 Hz, from the middle half second of each blast.
    const toneHz = (fromS: number, channel: number) => {
      const { channels, rateHz } = run();
      const length = 0.5 * rateHz;
      const part = channels[channel].slice(fromS * rateHz, fromS * rateHz + length);
      const windowed = part.map((x, i) => x * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length)));
      const power = periodicSpectrum(windowed, rateHz).powers;
      let sum = 0;
      let moment = 0;
      let best = 0;
      for (let k = 350; k < 475; k++) if (power[k] > power[best]) best = k;
      for (let k = best - 2; k <= best + 2; k++) {
        sum += power[k];
        moment += k * power[k];
      }
      return (moment / sum) * (rateHz / length);
    };
    // Both blasts end 2.5 to 4 s from the moment abeam; sound needs a tenth of a second.
    const cosine = Math.cos(Math.atan2(7.5, 3.25 * vMPerS));
    const expected = (cMPerS + vMPerS * cosine) / (cMPerS - vMPerS * cosine);
    const louder = levelOf(0, 1, 2) > levelOf(1, 1, 2) ? 0 : 1;
    const ratio = toneHz(3.6, louder) / toneHz(10.1, 1 - louder);
    expect(Math.abs(ratio / expected - 1)).toBeLessThan(0.006);
  });
  it("is in step with its run as it passes, and late by the way from there while it is far", () => {
    // The first blast begins at 2.9 s, some way off: the sound is under way for that distance less 7.5 m.
    const { channels, rateHz } = run();
    const power = (fromS: number) => {
      const part = channels[0].subarray(Math.round(fromS * rateHz), Math.round((fromS + 0.02) * rateHz));
      return part.reduce((sum, x) => sum + x * x, 0) / part.length;
    };
    const before = power(2.6);
    let heardS = 2.6;
    while (power(heardS) < 4 * before && heardS < 4) heardS += 0.01;
    const aheadM = (7 - 2.9) * vMPerS;
    const lagS = (Math.hypot(aheadM, 7.5) - 7.5) / cMPerS;
    expect(heardS).toBeGreaterThan(2.9 + lagS - 0.06);
    expect(heardS).toBeLessThan(2.9 + lagS + 0.2);
  });
});
