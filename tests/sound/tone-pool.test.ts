import { describe, expect, it } from "vitest";
import { NoisePeriod, NoiseStream } from "../../src/quantities/random.js";
import { bubbleHz } from "../../src/sound/bubble-pitch.js";
import { OpenPipe } from "../../src/sound/open-pipe.js";
import { Patter } from "../../src/sound/patter.js";
import { TonePool } from "../../src/sound/tone-pool.js";
import { cents, impulseResponse, ringingHz, rms } from "./signal-measures.js";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";

const RATE = 48_000;

function struck(hz: number, decayPerS: number, exposurePa2S: number, seconds: number): Float64Array {
  const pool = new TonePool(RATE, 4);
  const output = new Float64Array(seconds * RATE);
  pool.strikeHz = hz;
  pool.strikeDecayPerS = decayPerS;
  pool.strikeExposurePa2S = exposurePa2S;
  pool.strike();
  pool.add(output, 0, output.length);
  return output;
}

describe("a struck tone", () => {
  it.each([
    [440, 3],
    [2000, 5],
    [9000, 4],
  ])("of %d Hz rings at its pitch within 1 cent", (hz, decay) => {
    expect(Math.abs(cents(ringingHz(struck(hz, decay, 1, 1), hz, RATE, 0.1), hz))).toBeLessThan(1);
  });

  // Exact: the sum of squares over the rate is the integral, but for what the halved first sample takes off steep falls.
  it.each([
    [300, 40],
    [1500, 300],
    [4000, 2000],
  ])("of %d Hz that falls by e in 1/%d s carries the exposure that it was struck with, within 5 %%", (hz, decay) => {
    const tone = struck(hz, decay, 2e-4, 1);
    let sum = 0;
    for (const p of tone) sum += (p * p) / RATE;
    expect(Math.abs(sum / 2e-4 - 1)).toBeLessThan(0.05);
  });

  it("falls by 8.686 dB a time constant (20 lg e, exact)", () => {
    const tone = struck(1000, 20, 1, 1);
    const level = (from: number): number => rms(tone.subarray(from, from + 2400));
    expect(Math.abs(20 * Math.log10(level(2400) / level(4800)) - 8.686)).toBeLessThan(0.02);
  });

  // The sound of what swells and shrinks is the rate of change of a flow that is 0 before and after (Pierce, Acoustics,
  // 1989, 4-3): no integral.
  it("leaves no push of its own: its mean is below a thousandth of its beginning over a swing", () => {
    const tone = struck(500, 250, 1, 1);
    const sum = tone.reduce((a, b) => a + b, 0);
    expect(Math.abs(sum)).toBeLessThan(1e-3 * tone[1] * (RATE / 500));
  });

  it("is not struck beyond hearing's end of the rate, nor for what is not a number", () => {
    for (const hz of [0.46 * RATE, 1e6, -5, NaN]) {
      expect(struck(hz, 100, 1, 1).every((p) => p === 0)).toBe(true);
    }
    for (const exposure of [0, -1, NaN, Infinity]) {
      expect(struck(500, 100, exposure, 1).every((p) => p === 0)).toBe(true);
    }
  });
});

describe("a patter", () => {
  const of = (n: number, value: number): Float64Array => new Float64Array(n).fill(value);
  const patter = (sizePower: 0 | 1 | 2 | 3 | 4, period = new NoisePeriod(), spreadRatio = 2): Patter =>
    new Patter(RATE, new NoiseStream(3, 1, period), new NoiseStream(3, 2, period), {
      spreadRatio,
      quality: 5,
      sizePower,
    });

  // Campbell's theorem: the mean square of shot noise is rate x energy of a shot. Chance: 2 / sqrt(events).
  it.each([
    [20, 0, 0.4],
    [400, 1, 0.3],
    [400, 3, 0.9],
    [20_000, 1, 0.3],
    [1e6, 1, 0.3],
  ] as const)(
    "of %d tones a second of sizes to the power %d has the mean square rate x exposure",
    (rate, power, db) => {
      const n = 40 * RATE;
      const output = new Float64Array(n);
      patter(power).process(of(n, rate), of(n, 1e-3 / rate), of(n, 1200), output, n);
      expect(Math.abs(20 * Math.log10(rms(output)) - 10 * Math.log10(1e-3))).toBeLessThan(db);
    },
  );

  it("strikes as many tones as it is asked for, within three deviations of chance: 50 a second for 100 s", () => {
    const n = 100 * RATE;
    const output = new Float64Array(n);
    const unit = new Patter(RATE, new NoiseStream(3, 1), new NoiseStream(3, 2), {
      spreadRatio: 1,
      quality: 1,
      sizePower: 0,
    });
    unit.process(of(n, 50), of(n, 1), of(n, 8000), output, n);
    let count = 0;
    let last = -1000;
    for (let i = 0; i < n; i++) {
      if (output[i] > 50 && i - last > 2) count++;
      if (output[i] > 50) last = i;
    }
    expect(Math.abs(count - 5000)).toBeLessThan(3 * Math.sqrt(5000));
  });

  it("repeats with the period of its noise, once what rings has died away", () => {
    const period = new NoisePeriod();
    period.samples = 24_000;
    const unit = patter(1, period);
    const n = 72_000;
    const output = new Float64Array(n);
    unit.process(of(n, 300), of(n, 1e-4), of(n, 2000), output, n);
    expect(output.subarray(24_000, 48_000)).toEqual(output.subarray(48_000, 72_000));
  });

  it("is silent at a rate of 0 and finite at rates and exposures beyond all bounds", () => {
    const n = 9600;
    const output = of(n, 7);
    patter(1).process(of(n, 0), of(n, 1), of(n, 500), output, n);
    expect(output.every((p) => p === 0)).toBe(true);
    for (const [rate, exposure, hz] of [
      [1e300, 1e-200, 500],
      [100, 1e11, 1e9],
      [NaN, 1, 500],
      [100, NaN, 500],
      [100, 1, NaN],
    ]) {
      patter(4).process(of(n, rate), of(n, exposure), of(n, hz), output, n);
      expect(output.every(Number.isFinite)).toBe(true);
    }
  });
});

describe("the pitch of a bubble", () => {
  // Minnaert 1933 in its usual form: 3.26 m/s over the radius for air in water at 1 atm, 20 degrees.
  it("of air of 1 mm in water at 1 atm is 3.26 kHz", () => {
    expect(Math.abs(bubbleHz(1e-3, 101_325, 1.4, 998) / 3260 - 1)).toBeLessThan(0.01);
  });

  it("halves with twice the radius and doubles with four times the pressure (closed form)", () => {
    const one = bubbleHz(2e-3, 1e5, 1.3, 958);
    expect(bubbleHz(4e-3, 1e5, 1.3, 958) / one).toBeCloseTo(0.5, 12);
    expect(bubbleHz(2e-3, 4e5, 1.3, 958) / one).toBeCloseTo(2, 12);
  });
});

describe("a pipe open at both ends", () => {
  // Whole multiples of c / 2 (l + 2 x 0.6133 a): Levine & Schwinger, Phys. Rev. 73 (1948) 383.
  it("swells at whole multiples of the closed form, within 2 %", () => {
    const shape = { lengthM: 1.2, boreM: 0.3, soundSpeedMPerS: 430 };
    const pipe = new OpenPipe(RATE, shape);
    const impulse = impulseResponse((x, y, n) => pipe.process(x, y, n), 65_536);
    const { powers, binHz } = averagedSpectrum(impulse, RATE, 65_536);
    const note = 430 / (2 * (1.2 + 0.6133 * 0.3));
    for (const k of [1, 2, 3]) {
      let best = 0;
      for (let b = Math.round(((k - 0.4) * note) / binHz); b < ((k + 0.4) * note) / binHz; b++) {
        if (powers[b] > powers[best] || best === 0) best = b;
      }
      expect(Math.abs((best * binHz) / (k * note) - 1)).toBeLessThan(0.02);
    }
  });
});
