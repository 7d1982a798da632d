import { existsSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { cutToBeats, type BeatenRecording } from "../../src/listening/beat-phase.js";
import { afterQuadratic, lineSlope } from "../../src/listening/polynomial-fit.js";
import { measureRealism, type RealismMeasures } from "../../src/listening/realism.js";

/** 31 uneven beats of noise, the same number for number as a Python copy gave to the reference tool. */
function syntheticExhaust(): BeatenRecording & { samples: Float64Array } {
  const sampleRateHz = 22050;
  const beatTimesS = [0.4];
  for (let k = 0; k < 31; k++) beatTimesS.push(beatTimesS[k] + 0.3 + 0.004 * (((k * 7) % 5) - 2) - 0.0005 * k);
  const samples = new Float64Array(10 * sampleRateHz);
  let state = 1;
  const draw = () => {
    state = (Math.imul(state, 1664525) + 1013904223) | 0;
    return state / 2 ** 31;
  };
  let low = 0;
  for (let i = 0; i < samples.length; i++) {
    const noise = draw() + draw();
    let amplitude = 0.02;
    for (let k = 0; k < beatTimesS.length && beatTimesS[k] <= i / sampleRateHz; k++) {
      const x = (i / sampleRateHz - beatTimesS[k]) / 0.03;
      amplitude += (1 + 0.1 * (k % 4)) * x * Math.exp(1 - x);
    }
    low += 0.35 * (noise - low);
    samples[i] = (low + 0.3 * noise * 0.2) * amplitude * 0.3;
  }
  return { samples, sampleRateHz, beatTimesS };
}

const octaves = (measures: RealismMeasures, row: "levelDb" | "modulationDepthDb"): number[] =>
  measures.octaves.map((octave) => octave[row]);

describe("the realism measures of a made-up exhaust, against the reference program realism.py (SciPy) without its rounding", () => {
  const recording = syntheticExhaust();
  const measures = measureRealism(recording, 4);

  it("is fed the same signal", () => {
    expect(recording.samples[20000]).toBeCloseTo(-0.0023566583967495336, 14);
    expect(recording.beatTimesS[31]).toBeCloseTo(9.459500000000002, 12);
    expect(recording.samples.reduce((sum, x) => sum + x * x, 0)).toBeCloseTo(851.8605087574294, 8);
  });

  it.each<[string, number, number]>([
    ["crest, dB", measures.crestDb, 16.896187867523842],
    ["attack, ms", measures.attackS * 1000, 22.382826752979753],
    ["decay, ms", measures.decayS * 1000, 100.18769577909337],
    ["half-height width / period", measures.halfWidthRatio, 0.24738550171920046],
    ["centroid in the beat, Hz", measures.centroidInBeatHz, 2525.976897831012],
    ["centroid between beats, Hz", measures.centroidBetweenHz, 2543.526641178149],
    ["slope, dB/octave", measures.slopeDbPerOctave, -3.6067647151433664],
    ["level scatter, dB", measures.levelScatterDb, 0.8770562038092019],
    ["timing scatter, ms", measures.timingScatterS * 1000, 6.132956767477851],
  ])("%s", (_name, value, expected) => {
    expect(Math.abs(value / expected - 1)).toBeLessThan(1e-7);
  });

  it("octave levels and modulation depths", () => {
    const levels = [
      -13.789749267987723, -10.62854279728928, -8.166256089327005, -5.860243255213204, -5.568575727974566,
      -6.495366671837353,
    ];
    const depths = [
      33.153315320297175, 34.91882598806251, 33.96872191451431, 34.97454397882123, 34.63937603989031,
      34.401332418861216,
    ];
    expect(measures.octaves.map((octave) => octave.centreHz)).toEqual([125, 250, 500, 1000, 2000, 4000]);
    octaves(measures, "levelDb").forEach((level, i) => expect(Math.abs(level - levels[i])).toBeLessThan(1e-6));
    octaves(measures, "modulationDepthDb").forEach((depth, i) =>
      expect(Math.abs(depth - depths[i])).toBeLessThan(1e-6),
    );
  });

  it("spread among the four beats: levels rise by 0.1 of the amplitude from one to the next", () => {
    // Standard deviation of 20 lg of 1, 1.1, 1.2, 1.3; each mean is of about eight noisy beats.
    const closed = 0.85;
    expect(Math.abs(measures.levelSpreadDb - closed)).toBeLessThan(0.25);
  });
});

describe("resonances in the beat", () => {
  it("finds two pipes under noise bursts within 5 %, and nothing in plain noise", () => {
    const { samples, sampleRateHz, beatTimesS } = syntheticExhaust();
    // Two-pole resonators at 210 and 480 Hz, 40 Hz wide.
    const ringing = new Float64Array(samples.length);
    for (const hz of [210, 480]) {
      const radius = Math.exp((-Math.PI * 40) / sampleRateHz);
      const turn = 2 * radius * Math.cos((2 * Math.PI * hz) / sampleRateHz);
      let [one, two] = [0, 0];
      for (let i = 0; i < samples.length; i++) {
        const y = samples[i] + turn * one - radius * radius * two;
        [two, one] = [one, y];
        ringing[i] += y;
      }
    }
    const { resonances } = measureRealism({ samples: ringing, sampleRateHz, beatTimesS }, 4);
    const strong = resonances.filter((peak) => peak.prominenceDb > 6);
    expect(strong.length).toBe(2);
    expect(Math.abs(strong[0].frequencyHz / 210 - 1)).toBeLessThan(0.05);
    expect(Math.abs(strong[1].frequencyHz / 480 - 1)).toBeLessThan(0.05);
    expect(
      measureRealism({ samples, sampleRateHz, beatTimesS }, 4).resonances.filter((peak) => peak.prominenceDb > 5),
    ).toEqual([]);
  });
});

describe("the recording of a four-coupled locomotive working uphill, 12-23.9 s", () => {
  const folder = new URL("../../../shared/recordings/", import.meta.url);
  const wave = new URL("uphill-four-coupled-first-24s.wav", folder);
  const beats = new URL("uphill-four-coupled-first-24s.beats.csv", folder);

  it("measures what the first column of the realism table says", (context) => {
    if (!existsSync(wave) || !existsSync(beats)) {
      console.warn(
        `SKIPPED: the recording is not here (${wave.pathname}); the figures of the realism table were not compared.`,
      );
      context.skip("the recording is not here");
    }
    // 16-bit mono PCM; its data chunk is not the first.
    const bytes = readFileSync(wave);
    const data = bytes.indexOf("data", 36, "latin1");
    const samples = Float64Array.from(
      { length: bytes.readUInt32LE(data + 4) / 2 },
      (_, i) => bytes.readInt16LE(data + 8 + 2 * i) / 32768,
    );
    const beatTimesS = readFileSync(beats, "utf8")
      .split("\n")
      .filter((line) => /^\d/.test(line))
      .map((line) => Number(line.split(",")[2]));
    const cut = cutToBeats({ samples, sampleRateHz: bytes.readUInt32LE(24), beatTimesS }, 12, 23.9);
    const measures = measureRealism(cut, 4);
    const rounded = (value: number, digits: number) => Number(value.toFixed(digits));
    expect(rounded(measures.crestDb, 1)).toBe(15.1);
    expect(rounded(measures.attackS * 1000, 0)).toBe(43);
    expect(rounded(measures.decayS * 1000, 0)).toBe(91);
    expect(rounded(measures.halfWidthRatio, 3)).toBe(0.257);
    expect(
      octaves(measures, "modulationDepthDb")
        .slice(1)
        .map((depth) => rounded(depth, 1)),
    ).toEqual([10.9, 15.7, 12.4, 9.6, 8.6]);
    expect(
      octaves(measures, "levelDb")
        .slice(1)
        .map((level) => rounded(level, 1)),
    ).toEqual([-5.7, -4.4, -8.6, -9.5, -9.2]);
    expect(rounded(measures.slopeDbPerOctave, 1)).toBe(-3.8);
    expect(rounded(measures.levelScatterDb, 2)).toBe(0.74);
    expect(rounded(measures.timingScatterS * 1000, 0)).toBe(15);
    expect(rounded(measures.centroidInBeatHz, 0)).toBe(1640);
    expect(rounded(measures.centroidBetweenHz, 0)).toBe(2394);
    // "2-3 ms, 0.5 dB": the table rounds, and leaves the statistic open.
    expect(measures.timingSpreadS).toBeGreaterThan(0.002);
    expect(measures.timingSpreadS).toBeLessThan(0.003);
    expect(Math.abs(measures.levelSpreadDb - 0.5)).toBeLessThan(0.1);
    // "Near 194, 409, 560 Hz": the table gives no window; with Hann windows of 0.1 s the maxima lie within 8 % of these.
    const prominent = [...measures.resonances].sort((a, b) => b.prominenceDb - a.prominenceDb).slice(0, 3);
    const frequencies = prominent.map((peak) => peak.frequencyHz).sort((a, b) => a - b);
    [194, 409, 560].forEach((hz, i) => expect(Math.abs(frequencies[i] / hz - 1)).toBeLessThan(0.08));
  });
});

describe("what the measures ask for", () => {
  it("refuses beats that do not rise, lie outside or are too few", () => {
    const samples = new Float64Array(22050);
    const at =
      (...beatTimesS: number[]) =>
      () =>
        measureRealism({ samples, sampleRateHz: 22050, beatTimesS }, 4);
    expect(at(0.1, 0.5, 0.5, 0.9)).toThrow(/must rise/);
    expect(at(0.1, 1.5)).toThrow(/within the recording of 1 s/);
    expect(at(0.1)).toThrow(/at least 2/);
    expect(() => cutToBeats({ samples, sampleRateHz: 22050, beatTimesS: [0.1, 0.6] }, 0.5, 9)).toThrow(
      /at least 2 beats/,
    );
  });

  it("takes off a parabola exactly, and fits a line", () => {
    const row = Float64Array.from({ length: 9 }, (_, i) => 3 - 2 * i + 0.5 * i * i);
    for (const left of afterQuadratic(row)) expect(Math.abs(left)).toBeLessThan(1e-12);
    // Alternating +-1 over 4 places: constant, line and parabola leave (-1, 3, -3, 1) x 2/5 (third difference, closed form).
    [-0.4, 1.2, -1.2, 0.4].forEach((left, i) => expect(afterQuadratic([-1, 1, -1, 1])[i]).toBeCloseTo(left, 12));
    expect(lineSlope([0, 1, 2, 3], [1, 3, 2, 6])).toBeCloseTo(1.4, 12);
  });
});
