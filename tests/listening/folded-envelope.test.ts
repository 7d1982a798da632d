import { describe, expect, it } from "vitest";
import { beatCentroids } from "../../src/listening/beat-centroids.js";
import { foldedEnvelope, smoothedRound, smoothingWeights } from "../../src/listening/folded-envelope.js";
import { shaftTurns } from "../../src/listening/shaft-turns.js";
import { synthesise } from "./synthetic-engine.js";

const beats = [40, 160, 300].map((startDeg, k) => ({ startDeg, fallDeg: 4 + k, levelDb: -k }));
const expectedBeatDeg = [40, 160, 300];

describe("folded envelope", () => {
  it("of a steady tone is half its amplitude squared in every bin", () => {
    const samples = Float64Array.from({ length: 48000 }, (_, i) => 0.4 * Math.sin((2 * Math.PI * 1200.7 * i) / 16000));
    const { meanSquare, rootMeanSquare, turnCount } = foldedEnvelope({
      samples,
      sampleRateHz: 16000,
      turnStartsS: [0.5, 1, 1.5, 2, 2.5],
      binCount: 24,
    });
    expect(turnCount).toBe(4);
    for (let k = 0; k < 24; k++) {
      expect(meanSquare[k] / 0.08).toBeCloseTo(1, 2);
      expect(rootMeanSquare[k]).toBe(Math.sqrt(meanSquare[k]));
    }
  });

  it("keeps nothing of a rumble below its band nor of hiss above it", () => {
    for (const hz of [60, 7500]) {
      const samples = Float64Array.from({ length: 32000 }, (_, i) => Math.sin((2 * Math.PI * hz * i) / 16000));
      const { meanSquare } = foldedEnvelope({ samples, sampleRateHz: 16000, turnStartsS: [0.5, 1, 1.5], binCount: 20 });
      for (const value of meanSquare) expect(value).toBeLessThan(1e-4);
    }
  });

  it("refuses more bins than samples can fill", () => {
    const engine = synthesise({ beats, turns: 2, rpm: 600, sampleRateHz: 10000 });
    expect(() => foldedEnvelope({ ...engine, binCount: 5000 })).toThrow(/leave a sample in every bin/);
  });

  it("smooths round the circle without changing the sum", () => {
    const row = Float64Array.from({ length: 12 }, (_, i) => (i === 0 ? 12 : 0));
    const smooth = smoothedRound(row, smoothingWeights(5));
    expect(smooth.reduce((a, b) => a + b)).toBeCloseTo(12, 12);
    expect(smooth[1]).toBeCloseTo(smooth[11], 12);
    expect(smooth[3]).toBe(0);
    expect(smoothedRound(row, smoothingWeights(1))).toEqual(row);
  });
});

describe("where the shaft is known", () => {
  it("by angle at every sample, by turn starts, and running backwards: the same beats", () => {
    const engine = synthesise({ beats, turns: 12, floorDb: -30 });
    const { samples, sampleRateHz } = engine;
    const shaftAngleRad = Float64Array.from(samples, (_, i) => (2 * Math.PI * i) / sampleRateHz);
    const byStarts = beatCentroids({ ...engine, expectedBeatDeg });
    const byAngle = beatCentroids({ samples, sampleRateHz, shaftAngleRad, expectedBeatDeg });
    const backwards = beatCentroids({
      samples,
      sampleRateHz,
      shaftAngleRad: shaftAngleRad.map((angle) => -angle),
      expectedBeatDeg: expectedBeatDeg.map((deg) => 360 - deg),
    });
    expect(byAngle.turnCount).toBe(12);
    for (const [k, beat] of byStarts.beats.entries()) {
      expect(byAngle.beats[k].centroidDeg).toBeCloseTo(beat.centroidDeg, 6);
      expect(backwards.beats[k].centroidDeg).toBeCloseTo(360 - beat.centroidDeg, 6);
      expect(backwards.beats[k].lagDeg).toBeCloseTo(beat.lagDeg, 6);
    }
  });

  it("a shaft that speeds up by half: beats stay on their angles, slow turns weigh no more", () => {
    // The same engine on a shaft that runs from 60 to 90 rpm in 12 turns: u(t) = t + t^2 / 38.4, sampled by angle.
    const sampleRateHz = 16000;
    const steady = synthesise({ beats, turns: 12, sampleRateHz, carrier: "tone", floorDb: -40 });
    const samples: number[] = [];
    const angles: number[] = [];
    for (let i = 0; ; i++) {
      const t = i / sampleRateHz;
      const turns = t + (t * t) / 38.4;
      if (turns >= 12) break;
      angles.push(2 * Math.PI * turns);
      const place = turns * sampleRateHz;
      const level = Math.hypot(steady.samples[Math.floor(place)], steady.samples[Math.floor(place) + 3] ?? 0);
      samples.push(level * Math.sin((2 * Math.PI * 1431 * i) / sampleRateHz));
    }
    const result = beatCentroids({
      samples: Float64Array.from(samples),
      sampleRateHz,
      shaftAngleRad: angles,
      expectedBeatDeg,
    });
    for (const [k, beat] of result.beats.entries()) {
      expect(Math.abs(beat.centroidDeg - (beats[k].startDeg + 3 * beats[k].fallDeg))).toBeLessThan(0.15);
    }
  });

  it("counts whole turns only, from the first that is whole", () => {
    const angles = Float64Array.from({ length: 1000 }, (_, i) => 2 * Math.PI * (0.3 + i / 300));
    const shaft = shaftTurns({ shaftAngleRad: angles }, 1000, 1000);
    expect([shaft.turnCount, shaft.firstSample, shaft.endSample]).toEqual([2, 210, 810]);
    expect(shaft.turns[0]).toBeCloseTo(0, 12);
    expect(shaft.turns[599]).toBeCloseTo(599 / 300, 12);
    const starts = shaftTurns({ turnStartsS: [0.21, 0.51, 0.81] }, 1000, 1000);
    expect([starts.turnCount, starts.firstSample, starts.endSample]).toEqual([2, 210, 810]);
    starts.turns.forEach((turns, i) => expect(turns).toBeCloseTo(shaft.turns[i], 9));
  });

  it("says what is wrong with the shaft", () => {
    expect(() => shaftTurns({ turnStartsS: [0] }, 1000, 1000)).toThrow(/at least 2 times/);
    expect(() => shaftTurns({ turnStartsS: [0, 0.4, 0.3, 0.9] }, 1000, 1000)).toThrow(/must rise/);
    expect(() => shaftTurns({ turnStartsS: [0, 1.2] }, 1000, 1000)).toThrow(/within the recording/);
    expect(() => shaftTurns({ shaftAngleRad: [0, 1, 0.5, 9] }, 1000, 4)).toThrow(/must not turn back/);
    expect(() => shaftTurns({ shaftAngleRad: [0, 1] }, 1000, 2)).toThrow(/must hold a whole turn/);
    expect(() => shaftTurns({ shaftAngleRad: [0, 1] }, 1000, 4)).toThrow(/one value for each of 4 samples/);
  });
});
