import { describe, expect, it } from "vitest";
import { weightedLevelDb } from "../../src/listening/frequency-weighting.js";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { NoiseStream } from "../../src/quantities/random.js";
import { Background } from "../../src/sound/background.js";

function quiet(rate: number, seconds: number, levelDb = 30, stream = 90): Float64Array {
  const background = new Background(rate, new NoiseStream(7, stream), levelDb);
  const skip = Math.round(0.5 * rate);
  const output = new Float64Array(Math.round(seconds * rate) + skip);
  background.process(output, output.length);
  return output.subarray(skip);
}

// IEC 61672-1:2013 A weighting, from src/listening, whose own tests hold it to the standard's table.
function levelDbA(signal: Float64Array, rate: number, window = 16384): number {
  return weightedLevelDb(averagedSpectrum(signal, rate, window), "A") - 20 * Math.log10(2e-5);
}

describe("background", () => {
  // Measured at 30 dB(A): 30.00, 30.00, 29.98 dB(A).
  it.each([
    [44100, 30],
    [48000, 30],
    [96000, 30],
    [48000, 20],
    [48000, 45],
  ])("at %i Hz is as loud as asked, %i dB(A), within 0.1 dB", (rate, level) => {
    const measured = levelDbA(quiet(rate, 60, level), rate);
    expect(Math.abs(measured - level), `${measured.toFixed(3)} dB(A)`).toBeLessThan(0.1);
  });

  // The spectrum that the unit states.
  it.each([44100, 48000, 96000])("has at %i Hz the octave bands that it states, within 0.6 dB", (rate) => {
    const { powers, binHz } = averagedSpectrum(quiet(rate, 60), rate, 16384);
    const octave = (k: number): number => {
      const [low, high] = [1000 * 10 ** (0.3 * k - 0.15), 1000 * 10 ** (0.3 * k + 0.15)];
      const share = (bin: number): number => Math.min(high, (bin + 0.5) * binHz) - Math.max(low, (bin - 0.5) * binHz);
      return 10 * Math.log10(powers.reduce((sum, power, bin) => sum + (power * Math.max(0, share(bin))) / binHz, 0));
    };
    const stated = [21.8, 18.4, 13.2, 7.7, 3.4, 0, -2.6, -4.5, -6.2, -8.4];
    stated.forEach((value, i) => {
      expect(Math.abs(octave(i - 5) - octave(0) - value), `octave ${i - 5}`).toBeLessThan(0.6);
    });
  });

  it("has no tones: no line of 1.5 Hz stands 3 dB above its neighbourhood from 20 Hz to 20 kHz", () => {
    const rate = 48000;
    const { powers, binHz } = averagedSpectrum(quiet(rate, 120), rate, 32768);
    // Some 350 windows: scatter of 0.23 dB a line, 5 of them 1.2 dB in either way.
    let greatest = 0;
    for (let k = Math.ceil(20 / binHz); k < 20000 / binHz; k++) {
      const near = powers.subarray(k - 5, k + 6).reduce((sum, x) => sum + x, 0) / 11;
      greatest = Math.max(greatest, 10 * Math.log10(powers[k] / near));
    }
    expect(greatest).toBeLessThan(3);
  });

  it("stays level: seconds of A-weighted level within 1 dB of the whole, minutes within 0.1 dB of each other", () => {
    const rate = 48000;
    const signal = quiet(rate, 120);
    for (let s = 0; s < 120; s++) {
      const second = signal.subarray(s * rate, (s + 1) * rate);
      expect(Math.abs(levelDbA(second, rate, 4096) - 30)).toBeLessThan(1);
    }
    const half = signal.length / 2;
    const drift = levelDbA(signal.subarray(0, half), rate) - levelDbA(signal.subarray(half), rate);
    expect(Math.abs(drift)).toBeLessThan(0.1);
  });

  it("goes on from any position: what is sought is what was played, once the filter has settled", () => {
    const whole = quiet(48000, 2);
    const background = new Background(48000, new NoiseStream(7, 90), 30);
    const part = new Float64Array(48000);
    background.setNextSampleIndex(24000 + 24000);
    background.process(part, part.length);
    // 16 Hz, the lowest corner, settles in 10 ms.
    for (let i = 24000; i < part.length; i++) expect(Math.abs(part[i] - whole[24000 + i])).toBeLessThan(1e-12);
  });

  it("is another noise on another stream, and louder by what the level says", () => {
    const left = quiet(48000, 20);
    const right = quiet(48000, 20, 36, 91);
    let [cross, a, b] = [0, 0, 0];
    for (let i = 0; i < left.length; i++) {
      cross += left[i] * right[i];
      a += left[i] * left[i];
      b += right[i] * right[i];
    }
    // Bandwidth of the unweighted noise some 40 Hz: 1 / sqrt(2 x 40 x 20) of chance.
    expect(Math.abs(cross) / Math.sqrt(a * b)).toBeLessThan(0.1);
    expect(Math.abs(10 * Math.log10(b / a) - 6)).toBeLessThan(0.5);
  });

  it("names the range of a level that is out of it", () => {
    expect(() => new Background(48000, new NoiseStream(7, 90), 130)).toThrow(
      /Background: aWeightedLevelDb must be between -20 dB and 100 dB, got 130/,
    );
  });
});
