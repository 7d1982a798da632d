import { describe, expect, it } from "vitest";
import { NoiseStream } from "../../src/quantities/random.js";
import { FlowNoise, TURBULENCE_RATIO, TURBULENCE_STROUHAL } from "../../src/sound/flow-noise.js";
import { bandLevelDb } from "./jet-measures.js";
import { rms } from "./signal-measures.js";

const rate = 48_000;

interface Flow {
  readonly headPa: number;
  /** Corners at the opening and in the pipe, Hz. */
  readonly openingHz: number;
  readonly pipeHz: number;
}

const FLOW: Flow = { headPa: 1000, openingHz: 900, pipeHz: 90 };

function rowsOf(flow: Flow, tickCount: number): Float64Array {
  const rows = new Float64Array(3 * tickCount);
  for (let t = 0; t < tickCount; t++) {
    rows[3 * t] = flow.headPa;
    rows[3 * t + 1] = flow.openingHz / TURBULENCE_STROUHAL;
    rows[3 * t + 2] = flow.pipeHz / TURBULENCE_STROUHAL;
  }
  return rows;
}

/** Noise of a flow that stands still in its ways, its beginning left out. */
function noiseOf(flow: Flow, seconds: number, sampleRateHz = rate): Float64Array {
  const tickCount = Math.round((seconds * sampleRateHz) / 4);
  const output = new Float64Array(4 * tickCount);
  const noise = new FlowNoise(sampleRateHz, 4, new NoiseStream(4, 1));
  noise.process(rowsOf(flow, tickCount), 3, 0, 1, 2, tickCount, output);
  return output.subarray(sampleRateHz / 2);
}

const levelDb = (signal: Float64Array): number => 20 * Math.log10(rms(signal));

describe("flow noise", () => {
  it("keeps its level while what comes through the opening stops and turns round over a stream that goes on", () => {
    const tickCount = 24_000;
    const rows = rowsOf({ headPa: 1000, openingHz: 0, pipeHz: 90 }, tickCount);
    // The opening's speed swings through nothing twice a second.
    for (let t = 0; t < tickCount; t++) {
      rows[3 * t + 1] = (900 / TURBULENCE_STROUHAL) * Math.abs(Math.sin((2 * Math.PI * t) / 12_000));
    }
    const output = new Float64Array(4 * tickCount);
    new FlowNoise(rate, 4, new NoiseStream(4, 1)).process(rows, 3, 0, 1, 2, tickCount, output);
    const due = 1000 * TURBULENCE_RATIO;
    // Hundredths of a second, the beginning left out: noise of this width scatters, but nothing bursts.
    for (let at = 4800; at < output.length; at += 480) {
      expect(rms(output.subarray(at, at + 480)) / due, `at sample ${at}`).toBeLessThan(2.2);
    }
  });

  it("has its stated share of the velocity head as its rms, whatever the corners, within 0.3 dB", () => {
    // Corners far enough below half the sample rate for all of it to be heard.
    for (const [openingHz, pipeHz] of [
      [900, 90],
      [900, 900],
      [300, 200],
      [1500, 400],
    ]) {
      const found = levelDb(noiseOf({ ...FLOW, openingHz, pipeHz }, 40));
      const short = 10 * Math.log10((2 / Math.PI) * Math.atan(rate / 2 / openingHz));
      expect(Math.abs(found - 20 * Math.log10(TURBULENCE_RATIO * FLOW.headPa) - short)).toBeLessThan(0.3);
    }
  });

  it("is in exact proportion to the head", () => {
    const once = noiseOf(FLOW, 1);
    const fourfold = noiseOf({ ...FLOW, headPa: 4 * FLOW.headPa }, 1);
    for (let i = 0; i < once.length; i++) expect(Math.abs(fourfold[i] - 4 * once[i])).toBeLessThan(1e-9);
  });

  it("is flat to the pipe's corner, falls 6 dB an octave to a shelf, and ends at the opening's", () => {
    const samples = noiseOf({ headPa: 1000, pipeHz: 50, openingHz: 6000 }, 60);
    const density = (hz: number): number =>
      bandLevelDb(samples, hz * 0.84, hz * 1.19, rate) - 10 * Math.log10(hz * 0.35);
    const flat = density(12);
    // Two poles and a zero: (1 + F^2 x^2)/((1 + x^2)(1 + y^2)), x = f over the pipe's corner, y over the opening's, and F the
    // shelf, 26 dB down.
    const shelf = 10 ** (-26 / 10);
    for (const [hz, mostDb] of [
      [50, 0.7],
      [100, 0.7],
      [200, 0.7],
      [400, 0.7],
      [1000, 0.7],
      [2500, 0.7],
      [6000, 1],
      [10_000, 1.5],
    ]) {
      const x = (hz / 50) ** 2;
      const y = (hz / 6000) ** 2;
      const wanted = 10 * Math.log10((1 + shelf * x) / ((1 + x) * (1 + y)));
      expect(Math.abs(density(hz) - flat - wanted), `${hz} Hz`).toBeLessThan(mostDb);
    }
  });

  it("folds nothing in of what lies beyond half the sample rate: below it the density stays what it is", () => {
    // Flat far beyond: its share of the variance per Hz is 2 / (pi x corner) for one pole, and half of it for two alike:
    // integral of df / (1 + (f/F)^2)^2 = pi F / 4.
    const cornerHz = 150_000;
    for (const sampleRateHz of [44_100, 48_000, 96_000]) {
      const samples = noiseOf({ headPa: 1000, openingHz: cornerHz, pipeHz: cornerHz }, 10, sampleRateHz);
      const found = bandLevelDb(samples, 1000, 8000, sampleRateHz);
      const share = (7000 * 4) / (Math.PI * cornerHz);
      const wanted = 20 * Math.log10((TURBULENCE_RATIO * 1000) / 20e-6) + 10 * Math.log10(share);
      expect(Math.abs(found - wanted)).toBeLessThan(0.4);
      expect(levelDb(samples)).toBeLessThan(20 * Math.log10(TURBULENCE_RATIO * 1000) - 1);
    }
  });

  it("can be begun anywhere: from there on the same noise, once its filters have settled", () => {
    const rows = rowsOf(FLOW, 6000);
    const whole = new Float64Array(24_000);
    new FlowNoise(rate, 4, new NoiseStream(4, 1)).process(rows, 3, 0, 1, 2, 6000, whole);
    const sought = new FlowNoise(rate, 4, new NoiseStream(4, 1));
    sought.setNextSampleIndex(8000);
    const part = new Float64Array(16_000);
    sought.process(rows, 3, 0, 1, 2, 4000, part);
    for (let i = 6000; i < 16_000; i++) expect(Math.abs(part[i] - whole[8000 + i])).toBeLessThan(1e-9);
    expect(Math.abs(part[0] - whole[8000])).toBeGreaterThan(1e-6);
  });

  it("is led from tick to tick along a straight line, without a step", () => {
    // Corners far above: what is heard is white times the level, so the same noise at a level of 1 divides it out.
    const openingHz = 8 * rate;
    const rising = rowsOf({ headPa: 0, openingHz, pipeHz: openingHz }, 100);
    for (let t = 0; t < 100; t++) rising[3 * t] = t + 1;
    const [levelled, plain] = [new Float64Array(400), new Float64Array(400)];
    new FlowNoise(rate, 4, new NoiseStream(4, 1)).process(rising, 3, 0, 1, 2, 100, levelled);
    new FlowNoise(rate, 4, new NoiseStream(4, 1)).process(
      rowsOf({ headPa: 1, openingHz, pipeHz: openingHz }, 100),
      ...([3, 0, 1, 2, 100, plain] as const),
    );
    // The plain one comes up over its first tick.
    for (let i = 4; i < 400; i++) expect(levelled[i] / plain[i]).toBeCloseTo((i + 1) / 4, 9);
  });

  it("is silent without flow, and comes from another stream as other noise of the same level", () => {
    expect(noiseOf({ headPa: 0, openingHz: 0, pipeHz: 0 }, 1).every((x) => x === 0)).toBe(true);
    const rows = rowsOf(FLOW, 240_000);
    const [one, other] = [new Float64Array(960_000), new Float64Array(960_000)];
    new FlowNoise(rate, 4, new NoiseStream(4, 1)).process(rows, 3, 0, 1, 2, 240_000, one);
    new FlowNoise(rate, 4, new NoiseStream(4, 2)).process(rows, 3, 0, 1, 2, 240_000, other);
    expect(Math.abs(levelDb(one) - levelDb(other))).toBeLessThan(0.3);
    let product = 0;
    for (let i = 0; i < one.length; i++) product += one[i] * other[i];
    expect(Math.abs(product / one.length / rms(one) / rms(other))).toBeLessThan(0.05);
  });
});
