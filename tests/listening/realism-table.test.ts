import { describe, expect, it } from "vitest";
import { realismTable, steadyResonances } from "../../src/listening/realism-table.js";
import type { RealismMeasures } from "../../src/listening/realism.js";

/** The first column of the realism table as measures. */
const recorded: RealismMeasures = {
  crestDb: 15.1,
  attackS: 0.043,
  decayS: 0.091,
  halfWidthRatio: 0.257,
  octaves: [125, 250, 500, 1000, 2000, 4000].map((centreHz, i) => ({
    centreHz,
    levelDb: [-11.7, -5.7, -4.4, -8.6, -9.5, -9.2][i],
    modulationDepthDb: [4.1, 10.9, 15.7, 12.4, 9.6, 8.6][i],
  })),
  slopeDbPerOctave: -3.8,
  levelScatterDb: 0.74,
  timingScatterS: 0.015,
  centroidInBeatHz: 1640,
  centroidBetweenHz: 2394,
  levelSpreadDb: 0.5,
  timingSpreadS: 0.0025,
  resonances: [],
};
const peak = (frequencyHz: number) => ({ frequencyHz, levelDb: 0, prominenceDb: 9 });

describe("the realism table", () => {
  it("lets its own recording pass every row, figure beside figure", () => {
    const rows = realismTable(recorded);
    expect(rows.filter((row) => !row.isWithin).map((row) => row.name)).toEqual([]);
    for (const row of rows) {
      expect(row.measured.length).toBe(row.limits.length);
      row.recorded[0].forEach((value, i) => expect(row.measured[i]).toBeCloseTo(value, 9));
    }
    expect(rows.filter((row) => row.kind === "pass/fail").length).toBe(7);
  });

  it.each<[string, Partial<RealismMeasures>]>([
    ["crest, dB", { crestDb: 19.1 }],
    ["attack 10-90 %, ms", { attackS: 0.0249 }],
    ["decay 90-10 %, ms", { decayS: 0.037 }],
    ["half-height width / period", { halfWidthRatio: 0.17 }],
    [
      "modulation depth 250/500/1k/2k/4k, dB",
      { octaves: recorded.octaves.map((o) => ({ ...o, modulationDepthDb: 41 })) },
    ],
    ["PSD slope in the beat 1-7.5 kHz, dB/octave", { slopeDbPerOctave: -1.4 }],
    ["level scatter beat to beat, dB SD", { levelScatterDb: NaN }],
  ])("fails a render whose %s is out", (name, change) => {
    expect(
      realismTable({ ...recorded, ...change })
        .filter((row) => !row.isWithin)
        .map((row) => row.name),
    ).toEqual([name]);
  });

  it("holds resonances of two speeds together within 5 %", () => {
    const slow = [peak(194), peak(409), peak(560)];
    expect(steadyResonances(slow, [peak(203), peak(440), peak(533)]).map((each) => each.frequencyHz)).toEqual([
      194, 560,
    ]);
    expect(steadyResonances(slow, [])).toEqual([]);
  });
});
