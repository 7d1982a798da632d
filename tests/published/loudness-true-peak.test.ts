import { describe, expect, it } from "vitest";
import { TruePeakMeter } from "../../src/listening/true-peak-meter.js";

const RATE_HZ = 48000;

/** A sine of `cyclesPerSample` with 10 ms straight fades at both ends. */
function tone(cyclesPerSample: number, phaseDeg: number, amplitude: number): Float32Array {
  const count = RATE_HZ / 2;
  const fade = RATE_HZ / 100;
  return Float32Array.from({ length: count }, (_, i) => {
    const gain = Math.min(1, i / fade, (count - 1 - i) / fade);
    return gain * amplitude * Math.sin(2 * Math.PI * cyclesPerSample * i + (phaseDeg * Math.PI) / 180);
  });
}

describe("EBU Tech 3341 v4 (November 2023), Table 1, true-peak cases, signals synthesised", () => {
  it.each([
    ["case 15", 1 / 4, 0, 0.5, -6, -6.02],
    ["case 16", 1 / 4, 45, 0.5, -6, -9.03],
    ["case 17", 1 / 6, 60, 0.5, -6, -7.27],
    ["case 18", 1 / 8, 67.5, 0.5, -6, -6.71],
    ["case 19", 1 / 4, 45, 1.41, 3, -0.03],
  ])(
    "%s: within +0.2 and -0.4 dB, though the greatest sample is lower",
    (_name, cycles, phase, amplitude, expected, samplePeak) => {
      const samples = tone(cycles, phase, amplitude);
      const greatest = samples.reduce((a, x) => Math.max(a, Math.abs(x)), 0);
      expect(20 * Math.log10(greatest)).toBeCloseTo(samplePeak, 1);
      const meter = new TruePeakMeter(2);
      meter.process([samples, samples], samples.length);
      expect(meter.truePeakDbtp() - expected).toBeLessThan(0.2);
      expect(meter.truePeakDbtp() - expected).toBeGreaterThan(-0.4);
      // The level of the continuous sine, which the fades cannot exceed: far inside the table's limits.
      expect(Math.abs(meter.truePeakDbtp() - 20 * Math.log10(amplitude))).toBeLessThan(0.06);
    },
  );

  it("reads any sine up to 20 kHz within 0.2 dB of its amplitude", () => {
    for (const frequencyHz of [100, 1000, 4999, 9000, 12001, 15013, 18007, 20000]) {
      for (const phaseDeg of [0, 17, 45, 90, 133]) {
        const samples = tone(frequencyHz / RATE_HZ, phaseDeg, 0.5);
        const meter = new TruePeakMeter(1);
        meter.process([samples], samples.length);
        // Closed form; the under-read bound 20 lg cos(pi f / 8 fs) of BS.1770-4 Annex 2 is 0.117 dB at 20 kHz.
        expect(Math.abs(meter.truePeakDbtp() + 6.0206)).toBeLessThan(0.2);
      }
    }
  });
});
