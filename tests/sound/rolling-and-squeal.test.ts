import { describe, expect, it } from "vitest";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { NoiseStream } from "../../src/quantities/random.js";
import { ROLLING_REFERENCE_M_PER_S, RollingNoise } from "../../src/sound/rolling-noise.js";
import { StickSlip } from "../../src/sound/stick-slip.js";
import { rms } from "./signal-measures.js";

function rolled(speedMPerS: number, seconds = 20, rate = 48000): Float64Array {
  const unit = new RollingNoise(rate, new NoiseStream(3, 800), 0.2);
  const output = new Float64Array(seconds * rate);
  unit.process(new Float64Array(output.length).fill(speedMPerS), output, output.length);
  return output;
}

/** Frequency that halves the power. */
function middleHz(signal: Float64Array): number {
  const { powers, binHz } = averagedSpectrum(signal, 48000, 16384);
  const half = powers.reduce((sum, p) => sum + p, 0) / 2;
  let sum = 0;
  const bin = powers.findIndex((p) => (sum += p) >= half);
  return bin * binHz;
}

describe("rolling", () => {
  // Thompson, Railway Noise and Vibration, 2009: 30 log v, 9.03 dB for a doubling.
  it("is louder by 9 dB for twice the speed, and as loud as set at 80 km/h", () => {
    // Half of 80 km/h and less, so that hardly anything lies beyond half the sample rate.
    for (const speed of [2, 5, 10]) {
      const gain = 20 * Math.log10(rms(rolled(2 * speed), 4800) / rms(rolled(speed), 4800));
      expect(Math.abs(gain - 9.03), `${gain.toFixed(2)} dB`).toBeLessThan(0.4);
    }
    expect(20 * Math.log10(rms(rolled(ROLLING_REFERENCE_M_PER_S), 4800) / 0.2)).toBeCloseTo(0, 0);
  });

  // The same roughness passes twice as fast: exact.
  it("has its colour move with the speed", () => {
    for (const speed of [3, 6]) {
      expect(middleHz(rolled(2 * speed)) / middleHz(rolled(speed))).toBeCloseTo(2, 0.9);
    }
    expect(middleHz(rolled(20))).toBeGreaterThan(300);
  });

  it("is silent on a standing wheel, and the same backwards", () => {
    expect(rolled(0, 1).every((x) => x === 0)).toBe(true);
    const there = rolled(7, 1);
    expect(rolled(-7, 1).every((x, i) => x === there[i])).toBe(true);
  });
});

const WHEEL = {
  modes: [
    { frequencyHz: 695, lossRatio: 1e-3, paPerNs: 1e-3 },
    { frequencyHz: 1125, lossRatio: 1e-3, paPerNs: 1e-3 },
  ],
  massKg: 500,
  loadN: 8e4,
  adhesionRatio: 0.3,
  slipRatio: 0.15,
  halfMPerS: 1,
};

function rubbed(slipMPerS: number, seconds = 3, changes: Partial<typeof WHEEL> = {}): Float64Array {
  const unit = new StickSlip(48000, { ...WHEEL, ...changes });
  const output = new Float64Array(seconds * 48000);
  unit.process(new Float64Array(output.length).fill(slipMPerS), output, output.length);
  return output;
}

describe("a wheel that slips", () => {
  it("howls at a mode of its own, and no other", () => {
    const { powers, binHz } = averagedSpectrum(rubbed(0.2).subarray(72000), 48000, 16384);
    const loudest = powers.indexOf(Math.max(...powers)) * binHz;
    const away = Math.min(...WHEEL.modes.map(({ frequencyHz }) => Math.abs(loudest - frequencyHz)));
    expect(away).toBeLessThan(12);
  });

  // A wheel that moved faster than it slips would be driven by what brakes it. [source: Rudd 1976, stick-slip, from memory]
  it("swings as fast as it slips, not faster: louder for more slip", () => {
    const amplitude = (slip: number): number =>
      Math.max(...rubbed(slip, 6).subarray(240000)) / (WHEEL.modes[0].paPerNs * WHEEL.massKg);
    for (const slip of [0.1, 0.2, 0.4]) {
      expect(amplitude(slip)).toBeGreaterThan(0.5 * slip);
      expect(amplitude(slip)).toBeLessThan(1.5 * slip);
    }
  });

  it("keeps quiet where friction does not fall with speed, and where nothing slips", () => {
    const even = rubbed(0.2, 6, { adhesionRatio: 0.15 });
    expect(rms(even, 240000)).toBeLessThan(1e-3 * rms(rubbed(0.2, 6), 240000));
    expect(rubbed(0).every((x) => x === 0)).toBe(true);
    const unit = new StickSlip(48000, WHEEL);
    unit.process(new Float64Array(480), new Float64Array(480), 480);
    expect(unit.isIdle).toBe(true);
  });

  it("names the rule for friction that rises", () => {
    expect(() => new StickSlip(48000, { ...WHEEL, adhesionRatio: 0.1 })).toThrow(
      /adhesionRatio must be between 0.15 and 2, got 0.1/,
    );
  });
});
