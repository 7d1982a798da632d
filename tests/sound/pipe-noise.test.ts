import { describe, expect, it } from "vitest";
import { NoiseStream } from "../../src/quantities/random.js";
import { PipeNoise } from "../../src/sound/pipe-noise.js";
import { cents, phaseDelayAt, ringingHz, rms } from "./signal-measures.js";
import { clickAt, heardFrom, PLAIN, type PipesState } from "./steady-pipes.js";

const rate = 48_000;
const ONE = { ...PLAIN, branchCount: 1, hasTrunk: false };
const THREE = { ...PLAIN, branchCount: 2, hasTrunk: true };

/** One pipe, stopped at its port; a mouth without flow. */
function stopped(samples: number, mouthReflection = -1): PipesState {
  return {
    downstreamSamples: [samples],
    upstreamSamples: [samples],
    portReflection: [1],
    mouthReflection: [mouthReflection],
    mouthAdmittance: [1],
  };
}

/** Two passages of 40 and 55 samples into a trunk of 70, stopped ports, a mouth that takes all that comes. */
function meeting(admittance: readonly number[]): PipesState {
  return {
    downstreamSamples: [40, 55, 70],
    upstreamSamples: [40, 55, 70],
    junctionAdmittance: admittance,
    portReflection: [1, 1],
    mouthReflection: [0],
    mouthAdmittance: [1],
  };
}

describe("a stopped pipe with an open mouth", () => {
  it.each([44_100, 48_000, 96_000])("rings within 5 cents of published pipes at %d Hz", (sampleRateHz) => {
    // Levine & Schwinger, Phys. Rev. 73 (1948), end correction solved for each frequency, recomputed. The mouth's load is a
    // mass of 0.6133 radii and 1.5045 rho c beside it.
    const rows = [
      { lengthM: 1, radiusM: 0.025, soundSpeed: 343.2, expected: [84.51, 253.53, 422.59] },
      { lengthM: 0.5, radiusM: 0.05, soundSpeed: 343.2, expected: [161.75, 486.25] },
      { lengthM: 1, radiusM: 0.075, soundSpeed: 475, expected: [113.55, 340.99] },
    ];
    for (const { lengthM, radiusM, soundSpeed, expected } of rows) {
      const shape = { ...ONE, mouthLoadRatio: 1.5045, mouthLoadS: (0.6133 * radiusM) / soundSpeed };
      const state = stopped((lengthM / soundSpeed) * sampleRateHz);
      const click = { ports: [clickAt(sampleRateHz)] };
      const { turbulence } = heardFrom(sampleRateHz, 1, shape, sampleRateHz, () => state, click);
      for (const hz of expected) {
        expect(Math.abs(cents(ringingHz(turbulence, hz, sampleRateHz, 0.12), hz))).toBeLessThan(5);
      }
    }
  });

  it("rings where the phase of its own mouth closes the round trip, within half a cent", () => {
    const loadRatio = 2.5;
    const loadS = 2e-4;
    const samples = 140.37;
    const shape = { ...ONE, mouthLoadRatio: loadRatio, mouthLoadS: loadS };
    const { turbulence } = heardFrom(rate, 4, shape, rate, () => stopped(samples), { ports: [clickAt(rate)] });
    // Load r x sT / (r + sT) by backward Euler, s T = (T x rate)(1 - 1/z): reflection (Z - 1)/(Z + 1) of a still mouth.
    const phase = (hz: number): number => {
      const w = (2 * Math.PI * hz) / rate;
      const re = loadS * rate * (1 - Math.cos(w));
      const im = loadS * rate * Math.sin(w);
      const square = (loadRatio + re) ** 2 + im ** 2;
      const zRe = (loadRatio * (re * (loadRatio + re) + im * im)) / square;
      const zIm = (loadRatio * loadRatio * im) / square;
      const reflection = Math.atan2(zIm, zRe - 1) - Math.atan2(zIm, zRe + 1);
      return 2 * w * samples - reflection;
    };
    for (const [mode, near] of [80, 240, 400].entries()) {
      // The round trip's phase is a whole number of turns; bisection.
      let low = near / 1.15;
      let high = near * 1.15;
      for (let i = 0; i < 60; i++) {
        const middle = (low + high) / 2;
        if (phase(middle) < 2 * Math.PI * mode) low = middle;
        else high = middle;
      }
      expect(Math.abs(cents(ringingHz(turbulence, low, rate, 0.1), low))).toBeLessThan(0.5);
    }
  });

  it("lets out a source in a still mouth without load as flow through two pipes' resistance", () => {
    // A pressure p in the mouth drives p / (rho c) of flow past a pipe that takes all: waves of -p up, flow p x admittance.
    const own = clickAt(2000, 3);
    const state = { ...stopped(300), portReflection: [0] };
    const still = heardFrom(rate, 1, ONE, 2000, () => state, { mouths: [own] }).turbulence;
    expect(still[3]).toBeCloseTo(1, 12);
    // Resistance of the flow, (1 + R)/(1 - R), comes on top of the pipe's own 1.
    const flowing = { ...state, mouthReflection: [0.25] };
    const held = heardFrom(rate, 1, ONE, 2000, () => flowing, { mouths: [own] }).turbulence;
    expect(held[3]).toBeCloseTo(1 / (1 + 1.25 / 0.75), 12);
  });

  it("loses what the wall takes at each passage", () => {
    const shape = { ...ONE, passRatios: [0.9] };
    const state = { ...stopped(50), mouthReflection: [0.5] };
    const { turbulence } = heardFrom(rate, 1, shape, 400, () => state, { ports: [clickAt(400)] });
    expect(turbulence[50]).toBeCloseTo(0.5 * 0.9, 12);
    expect(turbulence[150]).toBeCloseTo(0.5 * 0.9 * (0.5 * 0.9 * 0.9), 12);
  });
});

describe("the junction", () => {
  // [source: plane waves at a junction, textbook acoustics]: reflected (A1 - A2 - A3)/(A1 + A2 + A3), passed on 2 A1/sum.
  it.each([[[1, 1, 1]], [[0.0177, 0.0177, 0.0214]], [[0.002, 0.01, 0.02]], [[0.05, 0.01, 0.01]]])(
    "of areas %j splits waves as the areas say",
    (areas) => {
      const [a1, a2, a3] = areas;
      const sum = a1 + a2 + a3;
      const { turbulence } = heardFrom(rate, 1, THREE, 400, () => meeting(areas), { ports: [clickAt(400)] });
      const passed = (2 * a1) / sum;
      expect(turbulence[110]).toBeCloseTo(passed, 12);
      expect(turbulence[190]).toBeCloseTo((passed * (a1 - a2 - a3)) / sum, 12);
      expect(turbulence[220]).toBeCloseTo((passed * 2 * a2) / sum, 12);
      // From the mouth up the trunk and back: half the source's pressure is sent, upside down.
      const back = heardFrom(rate, 1, THREE, 400, () => meeting(areas), { mouths: [clickAt(400)] }).turbulence;
      expect(back[140]).toBeCloseTo((-0.5 * (a3 - a1 - a2)) / sum, 12);
    },
  );

  it("lets out the energy that a port sends in, but for what rings on between the branches, and never more", () => {
    for (const areas of [
      [1, 1, 1],
      [0.002, 0.01, 0.02],
      [0.05, 0.01, 0.01],
    ]) {
      const { turbulence } = heardFrom(rate, 1, THREE, 1 << 16, () => meeting(areas), { ports: [clickAt(1 << 16)] });
      const out = areas[2] * turbulence.reduce((total, flow) => total + flow * flow, 0);
      expect(out / areas[0], String(areas)).toBeLessThan(1 + 1e-9);
      expect(out / areas[0], String(areas)).toBeGreaterThan(0.98);
    }
  });
});

describe("travel", () => {
  it("takes as long with and against the flow as the table says, to a thousandth of a sample", () => {
    const state = { ...stopped(1, 0), downstreamSamples: [61.3], upstreamSamples: [143.8] };
    const down = heardFrom(rate, 4, ONE, 2000, () => state, { ports: [clickAt(2000)] }).turbulence;
    const around = heardFrom(rate, 4, ONE, 2000, () => state, { mouths: [clickAt(2000)] }).turbulence;
    around[0] = 0;
    for (const hz of [100, 440, 1000]) {
      expect(Math.abs(phaseDelayAt(down, hz, rate, 61.3) - 61.3)).toBeLessThan(1e-3);
      // Upside down it left, upside down it comes.
      const turned = around.map((x) => -x);
      expect(Math.abs(phaseDelayAt(turned, hz, rate, 205.1) - 205.1)).toBeLessThan(1e-3);
    }
  });

  it("follows a delay that moves, sample by sample: a tone is raised by as much as the delay falls", () => {
    const frames = 4000;
    const w = (2 * Math.PI * 500) / rate;
    const tone = Float64Array.from({ length: frames }, (_, n) => Math.sin(w * n));
    for (const [slope, most] of [
      [-0.2, 1e-5],
      [0.34, 1e-5],
    ]) {
      // Delay at the end of tick t, which is as sample 4 t + 3 has it.
      const at = (n: number): number => (slope < 0 ? 1500 : 200) + slope * n;
      const state = (t: number): PipesState => ({ ...stopped(at(4 * t + 3), 0), portReflection: [0] });
      const { turbulence } = heardFrom(rate, 4, ONE, frames, state, { ports: [tone] });
      let worst = 0;
      for (let n = 1600; n < frames; n++) {
        worst = Math.max(worst, Math.abs(turbulence[n] - Math.sin(w * (n - at(n)))));
      }
      expect(worst).toBeLessThan(most);
    }
  });

  it("holds a delay shorter than a tick and a sample to that, and a longer one than there is room for to the room", () => {
    const short = heardFrom(rate, 4, ONE, 400, () => stopped(0.5, 0), { ports: [clickAt(400)] }).turbulence;
    expect(short.findIndex((x) => Math.abs(x) > 1e-9)).toBe(5);
    const long = heardFrom(rate, 4, ONE, 8000, () => stopped(1e6, 0), { ports: [clickAt(8000)] }).turbulence;
    const arrival = long.findIndex((x) => Math.abs(x) > 1e-9);
    expect(arrival).toBeGreaterThanOrEqual(4800);
    expect(arrival).toBeLessThan(4820);
  });
});

describe("nothing is made of nothing", () => {
  // Delays, admittances and reflections swing as a hard-working engine's do and faster: at beats, at the pipes' own first note
  // and at twice that, where a swing could pump them.
  it.each([7, 60, 120, 177, 354])("with everything swinging at %d Hz a burst only dies away", (swingHz) => {
    const burst = new Float64Array(4 * rate);
    new NoiseStream(3, 1).fill(0, burst, 2000);
    for (const phase of [0, 1.6, 3.1, 4.7]) {
      const state = (t: number): PipesState => {
        const swing = Math.sin((2 * Math.PI * swingHz * 4 * t) / rate + phase);
        const other = Math.cos((2 * Math.PI * swingHz * 4 * t) / rate + phase);
        // Steepest fall or rise of a delay: 0.4.
        const reach = Math.min(20, (0.4 * rate) / (2 * Math.PI * swingHz));
        return {
          downstreamSamples: [136 + reach * swing, 136 - reach * other, 107 + reach * swing],
          upstreamSamples: [136 - reach * swing, 136 + reach * other, 107 - reach * swing],
          junctionAdmittance: [1 + 0.2 * swing, 1 - 0.2 * swing, 1.2 + 0.2 * other],
          portReflection: [0.2 + 0.8 * swing, 1],
          mouthReflection: [-0.5 + 0.5 * other],
          mouthAdmittance: [1],
        };
      };
      const shape = { ...THREE, mouthLoadRatio: 2.5, mouthLoadS: 2e-4 };
      const { turbulence } = heardFrom(rate, 4, shape, burst.length, state, { ports: [burst, burst] });
      let last = rms(turbulence.subarray(0, 4800));
      for (let start = 4800; start < turbulence.length; start += 9600) {
        const now = rms(turbulence.subarray(start, start + 4800));
        expect(now).toBeLessThanOrEqual(Math.max(last, 1e-15));
        last = now;
      }
    }
  });

  it("reflections of a lossless pipe that swing from -1 to 1 never raise the energy of a round trip", () => {
    const samples = 120;
    const burst = new Float64Array(rate);
    new NoiseStream(3, 2).fill(0, burst, 2 * samples);
    const stream = new NoiseStream(3, 3);
    const state = (t: number): PipesState => ({
      ...stopped(samples),
      portReflection: [stream.uniformAt(t)],
      // Held off 1, so that a little of every wave gets out to be seen.
      mouthReflection: [0.98 * stream.uniformAt(t + 1e6)],
    });
    const { turbulence } = heardFrom(rate, 4, ONE, rate, state, { ports: [burst] });
    const sent = burst.reduce((total, wave) => total + wave * wave, 0);
    // What gets out, wave x (1 - R), is at most twice the wave.
    const heard = turbulence.reduce((total, flow) => total + flow * flow, 0);
    expect(heard).toBeLessThan(4 * sent);
    expect(rms(turbulence, rate / 2)).toBeLessThan(1e-9 * rms(turbulence));
  });
});

describe("several mouths and both noises", () => {
  const pair: PipesState = {
    downstreamSamples: [80.4, 131.7],
    upstreamSamples: [95.1, 140.2],
    portReflection: [0.9, 0.4],
    mouthReflection: [-0.8, -0.3],
    mouthAdmittance: [2, 3],
  };
  const single = (i: 0 | 1): PipesState => ({
    downstreamSamples: [pair.downstreamSamples[i]],
    upstreamSamples: [pair.upstreamSamples[i]],
    portReflection: [pair.portReflection[i]],
    mouthReflection: [pair.mouthReflection[i]],
    mouthAdmittance: [pair.mouthAdmittance[i]],
  });
  const noise = (stream: number): Float64Array => {
    const samples = new Float64Array(4000);
    new NoiseStream(8, stream).fill(0, samples, samples.length);
    return samples;
  };
  const [a, b, c, d] = [1, 2, 3, 4].map(noise);
  const loaded = { mouthLoadRatio: 2, mouthLoadS: 1e-4 };

  it("sound together as each would alone", () => {
    const shape = { ...PLAIN, ...loaded, branchCount: 2, hasTrunk: false };
    const both = heardFrom(rate, 4, shape, 4000, () => pair, { ports: [a, b], mouths: [c, d] }).turbulence;
    const one = { ...ONE, ...loaded };
    const first = heardFrom(rate, 4, one, 4000, () => single(0), { ports: [a], mouths: [c] }).turbulence;
    const second = heardFrom(rate, 4, one, 4000, () => single(1), { ports: [b], mouths: [d] }).turbulence;
    for (let n = 0; n < 4000; n++) expect(Math.abs(both[n] - first[n] - second[n])).toBeLessThan(1e-12);
  });

  it("leaks go the way of turbulence from the same place, and neither hears the other", () => {
    const shape = { ...THREE, ...loaded };
    const state = { ...meeting([1, 1.1, 1.3]), mouthReflection: [-0.4] };
    const alone = heardFrom(rate, 4, shape, 4000, () => state, { ports: [a, b] });
    const swapped = heardFrom(rate, 4, shape, 4000, () => state, { leaks: [a, b] });
    expect(swapped.leaks).toEqual(alone.turbulence);
    const together = heardFrom(rate, 4, shape, 4000, () => state, { ports: [a, b], leaks: [c, d] });
    expect(together.turbulence).toEqual(alone.turbulence);
    expect(rms(swapped.turbulence)).toBeLessThan(1e-20);
  });
});

it("names the range of a pipe that is out of it", () => {
  expect(() => new PipeNoise(rate, 4, { ...ONE, branchCount: 0 })).toThrow(/PipeNoise: branchCount must be between 1/);
  expect(() => new PipeNoise(rate, 4, { ...ONE, longestDelayS: 11 })).toThrow(
    /longestDelayS must be between .* 10 s, got 11/,
  );
});
