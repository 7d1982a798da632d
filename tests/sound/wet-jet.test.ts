import { describe, expect, it } from "vitest";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { NoisePeriod, NoiseStream } from "../../src/quantities/random.js";
import { CombustionRoar } from "../../src/sound/combustion-roar.js";
import { JetNoise } from "../../src/sound/jet-noise.js";
import { Slugs } from "../../src/sound/slugs.js";
import { WetJet } from "../../src/sound/wet-jet.js";
import { bandLevelDb, levelDb } from "./jet-measures.js";
import { rms } from "./signal-measures.js";

const RATE = 48_000;
const AIR = { distanceM: 7.5, airDensityKgPerM3: 1.2041, airSoundSpeedMPerS: 343.2 };
const of = (n: number, value: number): Float64Array => new Float64Array(n).fill(value);

interface Flow {
  readonly steam: number;
  readonly speed: number;
  readonly mach: number;
  readonly water: number;
}

function blown(flow: Flow, seconds: number, boreM = 0.01, period = new NoisePeriod()): Float64Array {
  const noises = Array.from({ length: 7 }, (_, k) => new NoiseStream(9, k, period));
  const jet = new WetJet(RATE, noises, { ...AIR, boreM, slugHz: 14 });
  const n = Math.round(seconds * RATE);
  const output = new Float64Array(n);
  jet.process(of(n, flow.steam), of(n, flow.speed), of(n, flow.mach), of(n, 1), of(n, flow.water), output, n);
  return output;
}

function centroidHz(signal: Float64Array): number {
  const { powers, binHz } = averagedSpectrum(signal, RATE, 4096);
  let sum = 0;
  let moment = 0;
  for (let k = 1; k < powers.length; k++) {
    sum += powers[k];
    moment += powers[k] * k * binHz;
  }
  return moment / sum;
}

describe("a jet of steam and water", () => {
  const dry: Flow = { steam: 0.08, speed: 550, mach: 1.6, water: 0 };

  it("is, dry and below the speed of sound, the plain jet to the bit", () => {
    const n = RATE;
    const plain = new Float64Array(n);
    new JetNoise(RATE, new NoiseStream(9, 0), { ...AIR, boreM: 0.01 }).process(of(n, 0.02), of(n, 250), plain, n);
    expect(blown({ steam: 0.02, speed: 250, mach: 0.6, water: 0 }, 1)).toEqual(plain);
  });

  it("is the duller and the quieter the more water it carries", () => {
    const heard = [0, 0.2, 1, 4].map((ratio) => blown({ ...dry, water: ratio * dry.steam }, 10));
    const centroids = heard.map(centroidHz);
    const levels = heard.map(levelDb);
    for (let k = 1; k < heard.length; k++) {
      expect(centroids[k]).toBeLessThan(0.9 * centroids[k - 1]);
      expect(levels[k]).toBeLessThan(levels[k - 1]);
    }
  });

  // Water injected into jets takes some 6 to 12 dB at one to four times the gas's mass (Krothapalli et al., JFM 491, 2003,
  // from memory); treble that the drops take comes on top of it.
  it("loses 6 to 20 dB to its own mass of water", () => {
    const loss = levelDb(blown(dry, 10)) - levelDb(blown({ ...dry, water: dry.steam }, 10));
    expect(loss).toBeGreaterThan(6);
    expect(loss).toBeLessThan(20);
  });

  it("spits: in 5 ms steps its level swings by far more with water than without", () => {
    const swing = (signal: Float64Array): number => {
      const levels: number[] = [];
      for (let i = 0; i + 240 <= signal.length; i += 240) {
        levels.push(20 * Math.log10(rms(signal.subarray(i, i + 240)) + 1e-9));
      }
      const mean = levels.reduce((a, b) => a + b) / levels.length;
      return Math.sqrt(levels.reduce((a, b) => a + (b - mean) ** 2, 0) / levels.length);
    };
    expect(swing(blown(dry, 10))).toBeLessThan(0.6);
    expect(swing(blown({ ...dry, water: 0.5 * dry.steam }, 10))).toBeGreaterThan(1.2);
  });

  // A close release of steam rises from 2 kHz to its maximum in the 8 kHz octave (measured on a public recording whose
  // content ends at 8 to 10 kHz).
  it("rises from 2 kHz to the octave of 8 kHz from a drain cock of 10 mm at 3 and 6 bar", () => {
    for (const flow of [dry, { steam: 0.045, speed: 430, mach: 1.25, water: 0 }]) {
      const signal = blown(flow, 10);
      const octaves = [1000, 2000, 4000, 8000].map((hz) => {
        return bandLevelDb(signal, hz * Math.SQRT1_2, hz * Math.SQRT2, RATE);
      });
      for (let k = 1; k < 4; k++) expect(octaves[k]).toBeGreaterThan(octaves[k - 1] + 1);
    }
  });

  it("repeats with the period of its noise", () => {
    const period = new NoisePeriod();
    period.samples = 48_000;
    const output = blown({ ...dry, water: 0.1 }, 6, 0.01, period);
    let most = 0;
    for (let i = 0; i < 48_000; i++) {
      most = Math.max(most, Math.abs(output[4 * 48_000 + i] - output[5 * 48_000 + i]));
    }
    expect(most).toBeLessThan(1e-9);
  });

  it("stays finite at flows beyond all bounds", () => {
    for (const flow of [
      { steam: 1e6, speed: 5000, mach: 5, water: 1e6 },
      { steam: 1e-9, speed: 1e-3, mach: 0, water: 1e6 },
      { steam: -1, speed: -100, mach: -1, water: -1 },
      { steam: 1e-300, speed: 1e-300, mach: 1e-300, water: 1e-300 },
    ]) {
      expect(blown(flow, 0.2).every(Number.isFinite)).toBe(true);
    }
  });
});

describe("slugs of water", () => {
  it.each([0.1, 0.3, 0.6, 0.9])("leave the opening free for the rest of the time: water for %f of it", (share) => {
    const n = 200 * RATE;
    const free = new Float64Array(n);
    new Slugs(RATE, new NoiseStream(4, 0)).process(of(n, share), of(n, 20), free, n);
    const mean = free.reduce((a, b) => a + b, 0) / n;
    expect(Math.abs(mean - (1 - share))).toBeLessThan(0.06);
  });

  it("follow each other the faster the faster they are driven", () => {
    const crossings = (hz: number): number => {
      const n = 60 * RATE;
      const free = new Float64Array(n);
      new Slugs(RATE, new NoiseStream(4, 0)).process(of(n, 0.5), of(n, hz), free, n);
      let count = 0;
      for (let i = 1; i < n; i++) if (free[i] >= 0.5 && free[i - 1] < 0.5) count++;
      return count / 60;
    };
    expect(crossings(20) / crossings(10)).toBeGreaterThan(1.6);
    expect(crossings(20) / crossings(10)).toBeLessThan(2.5);
  });
});

describe("the roar of a fire", () => {
  const roar = (heatW: number, seconds = 20): Float64Array => {
    const n = seconds * RATE;
    const output = of(n, heatW);
    new CombustionRoar(RATE, new NoiseStream(2, 0), { ...AIR, outRatio: 1 }).process(output, output, n);
    return output.subarray(RATE);
  };

  it("has a sound power in proportion to its heat: ten times the fire is 10 dB louder, within 0.3 dB", () => {
    const levels = [2e3, 2e4, 2e5, 2e6].map((heatW) => levelDb(roar(heatW)));
    for (let k = 1; k < levels.length; k++) expect(Math.abs(levels[k] - levels[k - 1] - 10)).toBeLessThan(0.3);
  });

  // Strahle 1978 and those after him, from memory.
  it("turns 1e-8 to 1e-6 of the heat into sound", () => {
    const signal = roar(1e5);
    const power =
      (rms(signal) ** 2 * 4 * Math.PI * AIR.distanceM ** 2) / (AIR.airDensityKgPerM3 * AIR.airSoundSpeedMPerS);
    expect(power / 1e5).toBeGreaterThan(0.95e-8);
    expect(power / 1e5).toBeLessThan(1e-6);
  });

  // f^2 at low frequencies, a peak of some hundred hertz, 2 to 3.5 powers of f down from it: Rajaram, Georgia Institute of
  // Technology, 2007.
  it("has its peak at a few hundred hertz, rises to it by 6 dB an octave, and falls from it", () => {
    const { powers, binHz } = averagedSpectrum(roar(1e5, 60), RATE, 4096);
    const density = (hz: number): number => {
      let sum = 0;
      const k = Math.round(hz / binHz);
      for (let j = -1; j <= 1; j++) sum += powers[k + j];
      return 10 * Math.log10(sum);
    };
    const peakHz = [100, 150, 220, 320, 450, 650, 900].reduce((a, b) => (density(b) > density(a) ? b : a));
    expect(peakHz).toBeGreaterThanOrEqual(220);
    expect(peakHz).toBeLessThanOrEqual(450);
    expect(Math.abs(density(70) - density(35) - 6)).toBeLessThan(1.2);
    const fall = density(1000) - density(2000);
    expect(fall).toBeGreaterThan(6);
    expect(fall).toBeLessThan(11);
  });

  it("is lower from a larger fire", () => {
    expect(centroidHz(roar(2e6))).toBeLessThan(0.7 * centroidHz(roar(2e4)));
  });
});
