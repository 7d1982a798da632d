import { describe, expect, it } from "vitest";
import { AbsorptionTable, AirAbsorption, airAbsorptionDbPerM, type TravelAir } from "../../src/sound/air-absorption.js";
import { gainDbAt, impulseResponse } from "../sound/signal-measures.js";

// ISO 9613-1:1993 by its formula at exact midbands and 101.325 kPa, dB/km; rows 10/70, 20/70, 15/20, 15/50, 15/80 and 30/70
// agree with ISO 9613-2:1996, table 2.
const MIDBANDS_HZ = [63.1, 125.89, 251.19, 501.19, 1000, 1995.26, 3981.07, 7943.28];
const ROWS: readonly (readonly [number, number, readonly number[]])[] = [
  [10, 50, [0.16, 0.486, 1.05, 1.9, 4.26, 13.2, 46.7, 155]],
  [10, 70, [0.122, 0.411, 1.04, 1.93, 3.66, 9.66, 32.8, 117]],
  [20, 50, [0.123, 0.445, 1.32, 2.73, 4.66, 9.86, 29.4, 104]],
  [20, 70, [0.0897, 0.339, 1.13, 2.8, 4.98, 9.02, 22.9, 76.6]],
  [20, 10, [0.37, 0.776, 1.58, 4.25, 14.1, 45.3, 109, 175]],
  [0, 70, [0.151, 0.39, 0.763, 1.61, 4.64, 16.1, 55.5, 153]],
  [15, 20, [0.272, 0.647, 1.22, 2.7, 8.17, 28.2, 88.8, 202]],
  [15, 50, [0.142, 0.479, 1.22, 2.24, 4.16, 10.8, 36.2, 129]],
  [15, 80, [0.0927, 0.343, 1.07, 2.4, 4.15, 8.31, 23.7, 82.8]],
  [30, 70, [0.0654, 0.256, 0.963, 3.14, 7.41, 12.7, 23.1, 59.3]],
];

const airOf = (celsius: number, percent: number): TravelAir => ({
  temperatureK: 273.15 + celsius,
  pressurePa: 101_325,
  humidityRatio: percent / 100,
  soundSpeedMPerS: 343.2,
});

describe("what the air takes from sound", () => {
  it.each(ROWS)("ISO 9613-1 at %d degrees and %d %%", (celsius, percent, dbPerKm) => {
    dbPerKm.forEach((db, i) => {
      const ours = 1000 * airAbsorptionDbPerM(MIDBANDS_HZ[i]!, airOf(celsius, percent));
      expect(Math.abs(ours / db - 1)).toBeLessThan(0.01);
    });
  });

  it.each([
    [7.5, 0.05],
    [50, 0.4],
    [85, 0.7],
    [300, 1.2],
    [1000, 1.6],
  ])("the filter for %d m comes within %f dB of the rows where they take less than 12 dB", (distanceM, within) => {
    let worst = 0;
    let least = Infinity;
    for (const rate of [44100, 48000, 96000]) {
      for (const [celsius, percent] of ROWS) {
        const filter = new AirAbsorption(new AbsorptionTable(rate, airOf(celsius, percent), 1000));
        filter.setDistanceM(distanceM);
        filter.reset();
        const h = impulseResponse((a, b, n) => filter.process(a, b, n), 16384);
        for (const hz of MIDBANDS_HZ) {
          const wanted = distanceM * airAbsorptionDbPerM(hz, airOf(celsius, percent));
          const lossDb = -gainDbAt(h, hz, rate);
          if (wanted < 12) worst = Math.max(worst, Math.abs(lossDb - wanted));
          else least = Math.min(least, lossDb);
        }
      }
    }
    console.log(`${distanceM} m: worst ${worst.toFixed(3)} dB, least beyond ${least.toFixed(1)} dB`);
    expect(worst).toBeLessThan(within);
    expect(least).toBeGreaterThan(11);
  });
});
