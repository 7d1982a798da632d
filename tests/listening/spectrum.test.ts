import { describe, expect, it } from "vitest";
import { weightedLevelDb, weightingDb } from "../../src/listening/frequency-weighting.js";
import { periodicSpectrum } from "../../src/listening/periodic-spectrum.js";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { prominentMaxima } from "../../src/listening/prominent-maxima.js";
import { spectralPeaks } from "../../src/listening/spectral-peaks.js";
import { bandLevels, bandPower, octaveBands, thirdOctaveBands } from "../../src/listening/standard-bands.js";

const sine = (count: number, cyclesPerSample: number, amplitude = 1) =>
  Float64Array.from({ length: count }, (_, i) => amplitude * Math.sin(2 * Math.PI * cyclesPerSample * i + 0.3));

function noise(count: number): Float64Array {
  let state = 1;
  return Float64Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return state / 2 ** 31;
  });
}

const meanSquare = (x: Float64Array) => x.reduce((sum, v) => sum + v * v, 0) / x.length;

describe("averaged spectrum", () => {
  it("a sine's power is half its amplitude squared, wherever it lies between bins", () => {
    for (const offset of [0, 0.25, 0.5]) {
      const spectrum = averagedSpectrum(sine(16384, (100 + offset) / 1024, 0.8), 48000, 1024);
      expect(spectrum.powers.reduce((a, b) => a + b)).toBeCloseTo(0.32, 3);
    }
  });

  it("white noise: all bins together make the mean square (Parseval), an octave twice the one below (+3.01 dB)", () => {
    const samples = noise(400000);
    const spectrum = averagedSpectrum(samples, 48000, 4096);
    const total = spectrum.powers.reduce((a, b) => a + b);
    expect(total / meanSquare(samples)).toBeCloseTo(1, 2);
    const levels = bandLevels(spectrum, octaveBands());
    const level = (hz: number) => levels.find((each) => each.band.nominalHz === hz)!.levelDb;
    expect(level(8000) - level(4000)).toBeCloseTo(10 * Math.log10(10 ** 0.3), 0);
    expect(level(8000)).toBeCloseTo(10 * Math.log10((meanSquare(samples) * (11220.18 - 5623.41)) / 24000), 0);
  });

  it("refuses windows that are no power of two and signals shorter than one", () => {
    expect(() => averagedSpectrum(noise(2000), 48000, 1000)).toThrow(/power of two/);
    expect(() => averagedSpectrum(noise(200), 48000, 1024)).toThrow(/at least one window of 1024/);
  });
});

describe("periodic spectrum", () => {
  it.each([2, 7, 64, 1001, 7351, 43636])("holds each harmonic exactly, %i samples a turn", (n) => {
    const k = Math.max(1, Math.floor(n / 5));
    if (n < 3)
      return expect(periodicSpectrum(Float64Array.from([1, 2]), 2).powers).toEqual(Float64Array.from([2.25, 0.25]));
    const { powers, binHz } = periodicSpectrum(sine(n, k / n, 2), 44100);
    expect(binHz).toBe(44100 / n);
    expect(Math.abs(powers[k] - 2)).toBeLessThan(1e-12);
    powers.forEach((power, i) => i !== k && expect(power).toBeLessThan(1e-22));
  });

  it("all lines together make the mean square (Parseval), and match a plain sum", () => {
    for (const n of [1000, 999]) {
      const samples = noise(n);
      const { powers } = periodicSpectrum(samples, 48000);
      expect(powers.reduce((a, b) => a + b)).toBeCloseTo(meanSquare(samples), 12);
      let [re, im] = [0, 0];
      samples.forEach((x, i) => {
        re += x * Math.cos((2 * Math.PI * 17 * i) / n);
        im += x * Math.sin((2 * Math.PI * 17 * i) / n);
      });
      expect(powers[17]).toBeCloseTo((2 * (re * re + im * im)) / (n * n), 13);
    }
  });

  it("puts each line wholly into its octave", () => {
    // Harmonics 1 to 800 of 1 Hz, each of mean square 1: an octave holds as many as it spans.
    const n = 4000;
    const samples = new Float64Array(n);
    for (let k = 1; k <= 800; k++) {
      for (let i = 0; i < n; i++) samples[i] += Math.SQRT2 * Math.cos((2 * Math.PI * ((k * i + k * k * 2) % n)) / n);
    }
    const levels = bandLevels(periodicSpectrum(samples, n), octaveBands());
    const count = (hz: number) => 10 ** (levels.find((each) => each.band.nominalHz === hz)!.levelDb / 10);
    expect(count(31.5)).toBeCloseTo(22, 6); // 23 to 44, edges 22.39 and 44.67 Hz
    expect(count(125)).toBeCloseTo(88, 6); // 90 to 177, edges 89.13 and 177.83 Hz
    expect(count(500)).toBeCloseTo(353, 6); // 355 to 707, edges 354.81 and 707.95 Hz
  });
});

describe("bands of IEC 61260-1:2014, base ten", () => {
  it("has the edges 891.25 and 1122.02 (third octave), 707.95 and 1412.54 Hz (octave) at 1 kHz", () => {
    const third = thirdOctaveBands().find((band) => band.nominalHz === 1000)!;
    expect([third.lowHz, third.highHz].map((hz) => hz.toFixed(2))).toEqual(["891.25", "1122.02"]);
    const octave = octaveBands().find((band) => band.nominalHz === 1000)!;
    expect([octave.lowHz, octave.highHz].map((hz) => hz.toFixed(2))).toEqual(["707.95", "1412.54"]);
  });

  it("names every band within 2.5 % of its exact midband, and each begins where the last ends", () => {
    for (const bands of [octaveBands(), thirdOctaveBands()]) {
      bands.forEach((band, i) => {
        expect(Math.abs(band.midbandHz / band.nominalHz - 1)).toBeLessThan(0.025);
        if (i > 0) expect(band.lowHz / bands[i - 1].highHz).toBeCloseTo(1, 12);
      });
    }
  });

  it("shares a density bin cut by an edge", () => {
    const spectrum = { binHz: 10, powers: Float64Array.from([0, 0, 4, 0, 0]), kind: "density" } as const;
    expect(bandPower(spectrum, 0, 17.5)).toBeCloseTo(1, 12);
    expect(bandPower(spectrum, 17.5, 40)).toBeCloseTo(3, 12);
  });
});

describe("A and C weighting of IEC 61672-1", () => {
  // Exact base-ten midbands; values recomputed to two decimals from the formulas of the standard.
  const rows: readonly (readonly [number, number, number])[] = [
    [10, -70.43, -14.33],
    [12.5, -63.37, -11.25],
    [16, -56.69, -8.53],
    [20, -50.45, -6.24],
    [25, -44.7, -4.41],
    [31.5, -39.44, -3.01],
    [40, -34.63, -2],
    [50, -30.23, -1.29],
    [63, -26.19, -0.82],
    [80, -22.5, -0.5],
    [100, -19.14, -0.3],
    [125, -16.1, -0.17],
    [160, -13.35, -0.09],
    [200, -10.87, -0.03],
    [250, -8.63, 0],
    [315, -6.61, 0.02],
    [400, -4.81, 0.03],
    [500, -3.23, 0.03],
    [630, -1.9, 0.03],
    [800, -0.82, 0.02],
    [1000, 0, 0],
    [1250, 0.59, -0.03],
    [1600, 0.98, -0.09],
    [2000, 1.2, -0.17],
    [2500, 1.27, -0.3],
    [3150, 1.2, -0.5],
    [4000, 0.97, -0.82],
    [5000, 0.55, -1.29],
    [6300, -0.12, -2],
    [8000, -1.11, -3.01],
    [10000, -2.49, -4.41],
    [12500, -4.32, -6.24],
    [16000, -6.6, -8.53],
    [20000, -9.32, -11.25],
  ];
  it.each(rows)("at the midband named %d Hz: A %d dB, C %d dB", (nominalHz, a, c) => {
    const exactHz = 1000 * 10 ** (Math.round(10 * Math.log10(nominalHz / 1000)) / 10);
    expect(Math.abs(weightingDb("A", exactHz) - a)).toBeLessThan(0.0101);
    expect(Math.abs(weightingDb("C", exactHz) - c)).toBeLessThan(0.0101);
  });

  it("weights a whole spectrum", () => {
    const spectrum = periodicSpectrum(sine(480, 1 / 480), 48000); // 100 Hz
    expect(weightedLevelDb(spectrum, "Z")).toBeCloseTo(-3.0103, 4);
    expect(weightedLevelDb(spectrum, "A")).toBeCloseTo(-3.01 - 19.14, 1);
    expect(weightedLevelDb(spectrum, "C")).toBeCloseTo(-3.01 - 0.3, 1);
  });
});

describe("spectral peaks", () => {
  it("finds the frequency of a tone within 0.02 of a bin", () => {
    for (const offset of [0, 0.1, 0.3, 0.5, 0.8]) {
      const spectrum = averagedSpectrum(sine(8192, (60 + offset) / 1024), 48000, 1024);
      const peaks = spectralPeaks(spectrum, { lowHz: 100, highHz: 20000, leastProminenceDb: 20 });
      const highest = peaks.reduce((a, b) => (b.levelDb > a.levelDb ? b : a));
      expect(Math.abs(highest.frequencyHz / spectrum.binHz - 60 - offset)).toBeLessThan(0.02);
    }
  });

  it("counts maxima by prominence, on a line and round a circle", () => {
    const levels = [0, 5, 1, 9, 7, 8, 2, 4];
    expect(prominentMaxima(levels, 3, "line").map((maximum) => [maximum.index, maximum.prominenceDb])).toEqual([
      [1, 4],
      [3, 7],
    ]);
    // Round the circle the last value has a way down to both sides (2 and 0), and the lowest point is the same for the greatest.
    expect(prominentMaxima(levels, 2, "circle").map((maximum) => [maximum.index, maximum.prominenceDb])).toEqual([
      [1, 4],
      [3, 9],
      [7, 2],
    ]);
    expect(prominentMaxima([0, 3, 3, 3, 0], 1, "line").map((maximum) => maximum.index)).toEqual([1]);
    expect(prominentMaxima([0, 3, 3, 5, 0], 1, "line").map((maximum) => maximum.index)).toEqual([3]);
    expect(prominentMaxima([2, 2, 2], 1, "circle")).toEqual([]);
  });
});
