import { describe, expect, it } from "vitest";
import { beatCentroids, type BeatCentroids } from "../../src/listening/beat-centroids.js";
import { centreDeg, synthesise, type SyntheticBeat, type SyntheticEngine } from "./synthetic-engine.js";

const expectedBeatDeg = [20, 110, 200, 290];

/** Four beats a quarter turn apart, each moved by `shiftsDeg` and raised by `levelsDb`. */
function four(fallDeg: number, shiftsDeg = [0, 0, 0, 0], levelsDb = [0, 0, 0, 0]): SyntheticBeat[] {
  return expectedBeatDeg.map((deg, k) => ({ startDeg: deg + shiftsDeg[k], fallDeg, levelDb: levelsDb[k] }));
}

function measure(engine: Omit<SyntheticEngine, "turns"> & { turns?: number }, more: object = {}): BeatCentroids {
  return beatCentroids({ ...synthesise({ turns: 40, ...engine }), expectedBeatDeg, ...more });
}

const shifts = (after: BeatCentroids, before: BeatCentroids) =>
  after.beats.map((beat, k) => beat.lagDeg - before.beats[k].lagDeg);

describe("centroids of beats against the closed form of the gamma envelope", () => {
  it.each([2, 4, 5])("a steady tone shaped into beats of fall %d degrees: within 0.015 degrees", (fallDeg) => {
    const beats = four(fallDeg, [0, 1.3, -2.1, 0.4], [0, -4, 2, -1]);
    for (const [k, beat] of measure({ beats, carrier: "tone", floorDb: -50 }).beats.entries()) {
      expect(Math.abs(beat.centroidDeg - centreDeg(beats[k]))).toBeLessThan(0.015);
      expect(beat.lagDeg).toBeCloseTo(beat.centroidDeg - expectedBeatDeg[k], 9);
    }
  });

  it("noise bursts over 40 turns: within three quarters of a degree, and within three times the stated 1 sigma", () => {
    for (const start of [1, 2, 3]) {
      const beats = four(5);
      for (const [k, beat] of measure({ beats, start, floorDb: -20 }).beats.entries()) {
        const error = Math.abs(beat.centroidDeg - centreDeg(beats[k]));
        expect(error).toBeLessThan(1.6 * beat.uncertaintyDeg);
        expect(beat.uncertaintyDeg).toBeGreaterThan(0.05);
        expect(beat.uncertaintyDeg).toBeLessThan(0.5);
      }
    }
  });

  it("levels: closed form of the gamma area, exp(2) / 4 x 2 x fall / 360, and equal floors taken off", () => {
    const levelsDb = [0, -6, -1, 2];
    const { beats } = measure({ beats: four(5, [0, 0, 0, 0], levelsDb), carrier: "tone", floorDb: -20 });
    for (const [k, beat] of beats.entries()) {
      // A sine carrier has mean square 1/2.
      const closed = 10 * Math.log10((Math.exp(2) / 4) * 2 * (5 / 360) * 0.5) + levelsDb[k];
      expect(Math.abs(beat.levelDb - closed)).toBeLessThan(0.06);
    }
  });
});

describe("a beat moved by a known angle, the noise the same", () => {
  it.each([0.5, -1, 2, -3])("by %d degrees: found within 0.1, the others unmoved within 0.1", (shiftDeg) => {
    for (const fallDeg of [4, 6]) {
      const square = measure({ beats: four(fallDeg), floorDb: -25 });
      const faulty = measure({ beats: four(fallDeg, [0, shiftDeg, 0, 0]), floorDb: -25 });
      for (const [k, shift] of shifts(faulty, square).entries()) {
        expect(Math.abs(shift - (k === 1 ? shiftDeg : 0))).toBeLessThan(0.1);
      }
    }
  });

  it("in beats that run into each other (11 dB between top and trough): within 0.3", () => {
    const square = measure({ beats: four(10), floorDb: -20 });
    const faulty = measure({ beats: four(10, [2, 0, -2, 0]), floorDb: -20 });
    const expected = [2, 0, -2, 0];
    for (const [k, shift] of shifts(faulty, square).entries()) expect(Math.abs(shift - expected[k])).toBeLessThan(0.3);
  });

  it("in unequal beats, one 6 dB weaker: within 0.2 by power", () => {
    const levelsDb = [0, -6, 0, 1];
    const square = measure({ beats: four(5, [0, 0, 0, 0], levelsDb), floorDb: -25 });
    const faulty = measure({ beats: four(5, [0, 1.5, 0, -1], levelsDb), floorDb: -25 });
    const expected = [0, 1.5, 0, -1];
    for (const [k, shift] of shifts(faulty, square).entries()) expect(Math.abs(shift - expected[k])).toBeLessThan(0.2);
    const levelled = measure({ beats: four(5), floorDb: -25 });
    expect(square.beats[1].levelDb - levelled.beats[1].levelDb).toBeCloseTo(-6, 1);
    // A weaker beat alone does not move.
    for (const shift of shifts(square, levelled)) expect(Math.abs(shift)).toBeLessThan(0.1);
  });

  it("by amplitude too, within 0.3, and later than by power", () => {
    const square = measure({ beats: four(5), floorDb: -25 }, { envelope: "amplitude" });
    const faulty = measure({ beats: four(5, [0, 2, 0, 0]), floorDb: -25 }, { envelope: "amplitude" });
    const expected = [0, 2, 0, 0];
    for (const [k, shift] of shifts(faulty, square).entries()) expect(Math.abs(shift - expected[k])).toBeLessThan(0.3);
    const power = measure({ beats: four(5), floorDb: -25 });
    for (const [k, beat] of square.beats.entries()) expect(beat.lagDeg).toBeGreaterThan(power.beats[k].lagDeg + 1);
  });
});

describe("the floor", () => {
  it("of noise moves no centroid of a steady tone by more than its uncertainty", () => {
    const quiet = measure({ beats: four(5), floorDb: -60 });
    const loud = measure({ beats: four(5), floorDb: -12 });
    for (const [k, shift] of shifts(loud, quiet).entries()) {
      expect(Math.abs(shift)).toBeLessThan(loud.beats[k].uncertaintyDeg);
      expect(Math.abs(loud.beats[k].levelDb - quiet.beats[k].levelDb)).toBeLessThan(0.3);
    }
  });
});

describe("stated uncertainty", () => {
  it("holds the true centre in at least 89 % of 120 beats at 2 sigma", () => {
    let held = 0;
    const beats = four(4);
    for (let start = 1; start <= 30; start++) {
      for (const [k, beat] of measure({ beats, start, turns: 20, floorDb: -25, sampleRateHz: 10000 }).beats.entries()) {
        if (Math.abs(beat.centroidDeg - centreDeg(beats[k])) <= beat.uncertaintyDeg) held += 1;
      }
    }
    // 95.4 % expected; the binomial 3 sigma of 120 is 5.7 %.
    expect(held / 120).toBeGreaterThan(0.89);
  });

  it("is nothing when every turn is the same, and unlimited for one turn", () => {
    const engine = { beats: four(5), turns: 1 };
    const one = synthesise(engine);
    expect(beatCentroids({ ...one, expectedBeatDeg }).beats[0].uncertaintyDeg).toBe(Infinity);
    const n = one.samples.length;
    const samples = new Float64Array(8 * n).map((_, i) => one.samples[i % n]);
    const turnStartsS = Array.from({ length: 7 }, (_, k) => 1 + k);
    for (const beat of beatCentroids({ samples, sampleRateHz: 12000, turnStartsS, expectedBeatDeg }).beats) {
      expect(beat.scatterDeg).toBeLessThan(1e-4);
      expect(beat.uncertaintyDeg).toBeLessThan(1e-4);
      expect(beat.levelUncertaintyDb).toBeLessThan(1e-4);
    }
  });
});

describe("the count of maxima", () => {
  it.each([1, 2, 3, 4, 6])("is the number of beats, %i a turn", (count) => {
    const places = Array.from({ length: count }, (_, k) => 10 + (360 / count) * k);
    const beats = places.map((startDeg) => ({ startDeg, fallDeg: 15 / count, levelDb: 0 }));
    const result = beatCentroids({ ...synthesise({ beats, turns: 10, floorDb: -15 }), expectedBeatDeg: places });
    expect(result.maximaCount).toBe(count);
    expect(result.turnCount).toBe(10);
  });

  it("is 3 where the gear says 4 but one is silent, and 0 in plain noise", () => {
    expect(measure({ beats: four(5).slice(1), floorDb: -20 }).maximaCount).toBe(3);
    expect(measure({ beats: [], floorDb: 0 }).maximaCount).toBe(0);
  });
});

describe("what beatCentroids asks for", () => {
  it("keeps the order it was given, and the windows meet", () => {
    const shuffled = [200, 20, 290, 110];
    const { beats } = beatCentroids({
      ...synthesise({ beats: four(5), turns: 5, floorDb: -25 }),
      expectedBeatDeg: shuffled,
    });
    expect(beats.map((beat) => beat.expectedDeg)).toEqual(shuffled);
    for (const beat of beats) expect(Math.abs(beat.lagDeg - 15)).toBeLessThan(2);
    expect(beats[1].toDeg).toBe(beats[3].fromDeg);
    expect(beats[2].toDeg).toBe(beats[1].fromDeg);
  });

  it("says of silence that there are no beats in it", () => {
    const silence = { samples: new Float64Array(24000), sampleRateHz: 12000, turnStartsS: [0, 1, 2], expectedBeatDeg };
    const { beats, maximaCount } = beatCentroids(silence);
    expect(maximaCount).toBe(0);
    for (const beat of beats) {
      expect(beat.levelDb).toBe(-Infinity);
      expect(beat.centroidDeg).toBeNaN();
    }
  });

  it("refuses no beats and beats that fall together", () => {
    const engine = synthesise({ beats: four(5), turns: 2 });
    expect(() => beatCentroids({ ...engine, expectedBeatDeg: [] })).toThrow(/more than 2 degrees apart/);
    expect(() => beatCentroids({ ...engine, expectedBeatDeg: [359.5, 90, 1] })).toThrow(/more than 2 degrees apart/);
  });
});
