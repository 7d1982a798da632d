import { describe, expect, it } from "vitest";
import type { GearingDescription } from "../../src/engine/running-description.js";
import { weightedLevelDb } from "../../src/listening/frequency-weighting.js";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { GearingVoice } from "../../src/machine/gearing-voice.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { locomotive } from "../engine/descriptions.js";
import { rms } from "../sound/signal-measures.js";
import { energy, making, peak, rowS, running, samplesPerRow, sounded } from "./voice-rig.js";

const pair: GearingDescription = { kind: "gear", pairs: [{ driving: 13, driven: 35 }], pitchM: 0.0157, faceM: 0.05 };
const road: GearingDescription = {
  kind: "gear",
  pairs: [
    { driving: 17, driven: 61 },
    { driving: 15, driven: 72 },
  ],
  pitchM: 0.045,
  faceM: 0.11,
};

function voiceOf(gearing: GearingDescription | null, changes: Parameters<typeof making>[1] = {}) {
  const one = making({ ...locomotive(), running: running({ gearing }) }, changes);
  return { voice: new GearingVoice(one), record: one.record };
}

/** Steady turning under a steady torque. */
function turned(
  gearing: GearingDescription,
  turnsPerS: number,
  torqueNm: number,
  seconds: number,
  changes: Parameters<typeof making>[1] = {},
): Float64Array {
  const { voice, record } = voiceOf(gearing, changes);
  record.loadTorqueNm = torqueNm;
  voice.settle();
  return sounded(voice, Math.ceil(seconds * 375), (timeS) => {
    record.shaftRad = 2 * Math.PI * turnsPerS * timeS;
    record.shaftRadPerS = 2 * Math.PI * turnsPerS;
  });
}

/** Amplitude at a frequency that goes a whole number of times into the signal. */
function lineOf(signal: Float64Array, frequencyHz: number): number {
  let [re, im] = [0, 0];
  const w = (2 * Math.PI * frequencyHz) / 48_000;
  for (let i = 0; i < signal.length; i++) {
    re += signal[i] * Math.cos(w * i);
    im += signal[i] * Math.sin(w * i);
  }
  return (2 * Math.hypot(re, im)) / signal.length;
}

describe("gear mesh", () => {
  // MathWorks, worked example of gear vibration: pinion of 13 teeth at 22.5 Hz, gear of 35 teeth: mesh 292.5 Hz, gear shaft
  // 8.357 Hz, side tones at both distances. 35 turns of the pinion bring the same teeth together: 224 000 samples are 105 turns.
  const whole = turned(pair, 22.5, 70, 10);
  const signal = whole.subarray(240_000, 464_000);
  const meshHz = 292.5;

  it("of 13 teeth at 22.5 turns a second on 35 sounds at 292.5 Hz, with side tones at 8.357 and 22.5 Hz to both sides", () => {
    const mesh = lineOf(signal, meshHz);
    // Between the tones of both shafts lie those of the hunting tooth, every 22.5 / 35 Hz; between these is nothing.
    const between = [1 / 3, 2 / 3, 4 / 3, 5 / 3].map((k) => lineOf(signal, meshHz + (k * 22.5) / 35));
    expect(Math.max(...between)).toBeLessThan(1e-3 * mesh);
    const others = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12].flatMap((k) => [
      lineOf(signal, meshHz + (k * 22.5) / 35),
      lineOf(signal, meshHz - (k * 22.5) / 35),
    ]);
    for (const away of [22.5 / 2.6923, 22.5]) {
      const hz = Math.round(away / (22.5 / 35)) * (22.5 / 35);
      expect(Math.abs(hz - away)).toBeLessThan(1e-3);
      for (const side of [meshHz + hz, meshHz - hz]) {
        expect(lineOf(signal, side)).toBeLessThan(mesh);
        expect(lineOf(signal, side)).toBeGreaterThan(5 * Math.max(...others));
      }
    }
  });

  it("has the same error for the same teeth: 35 turns of the pinion later it is the same sound, five turns later another", () => {
    const turnsLater = (turns: number): number => {
      const samples = Math.round((turns * 48_000) / 22.5);
      const later = whole.subarray(240_000 + samples, 464_000 + samples);
      return energy(later.map((x, i) => x - signal[i])) / energy(signal);
    };
    // 105 turns are a whole number of samples.
    expect(turnsLater(105)).toBeLessThan(1e-12);
    expect(turnsLater(5)).toBeGreaterThan(1e-3);
  });

  it("is another pair of wheels with another seed, as loud within 2 dB", () => {
    const other = turned(pair, 22.5, 70, 10, { seed: 2 }).subarray(240_000, 464_000);
    expect(energy(other.map((x, i) => x - signal[i]))).toBeGreaterThan(1e-3 * energy(signal));
    expect(Math.abs(20 * Math.log10(rms(other) / rms(signal)))).toBeLessThan(2);
  });

  // VDI 2159, from memory: sound power of gear units 77.1 + 12.3 lg(kW) dB; 28.5 dB less at 7.5 m. Open gears differ by some dB.
  it("grows with speed and torque, and stands within 10 dB of what closed gears passing 10 kW have", () => {
    const levelDb = (turnsPerS: number, torqueNm: number): number =>
      20 * Math.log10(rms(turned(road, turnsPerS, torqueNm, 3), 48_000) / 2e-5);
    const level = levelDb(3, 530);
    expect(Math.abs(level - (77.1 + 12.3 - 28.5))).toBeLessThan(10);
    expect(levelDb(6, 530) - level).toBeGreaterThan(6);
    expect(levelDb(3, 2100) - level).toBeGreaterThan(2);
    expect(level - levelDb(3, 50)).toBeGreaterThan(2);
  });

  it("stands still in silence, and turns backwards as loud as forwards", () => {
    const { voice, record } = voiceOf(road);
    record.loadTorqueNm = 900;
    voice.settle();
    expect(peak(sounded(voice, 100, () => undefined))).toBe(0);
    expect(voice.isIdle).toBe(true);
    const back = rms(turned(road, -3, 530, 3), 48_000) / rms(turned(road, 3, 530, 3), 48_000);
    expect(Math.abs(20 * Math.log10(back))).toBeLessThan(1);
  });

  it("rattles once each time the torque turns round, though nothing meshes", () => {
    const { voice, record } = voiceOf(road);
    record.loadTorqueNm = 500;
    voice.settle();
    const made = sounded(voice, 1500, (timeS) => {
      record.loadTorqueNm = 500 * Math.cos(2 * Math.PI * timeS);
    });
    // Twice a second, four seconds: loud parts after each reversal.
    const after = (atS: number): number =>
      peak(made.subarray(Math.round(48_000 * atS), Math.round(48_000 * (atS + 0.2))));
    const before = (atS: number): number =>
      peak(made.subarray(Math.round(48_000 * (atS - 0.1)), Math.round(48_000 * atS)));
    for (const atS of [1.25, 1.75, 2.25, 2.75]) {
      expect(after(atS)).toBeGreaterThan(1e-3);
      expect(before(atS)).toBeLessThan(0.2 * after(atS));
    }
  });

  it("is as loud at 96 kHz as at 48 kHz", () => {
    const finer = turned(road, 3, 530, 3, { sampleRateHz: 96_000, samplesPerRow: 16 });
    const levelDb = 20 * Math.log10(rms(finer, 96_000) / rms(turned(road, 3, 530, 3), 48_000));
    expect(Math.abs(levelDb)).toBeLessThan(0.3);
  });

  it("repeats with a loop that brings the crank back, though the last wheel has not come round", () => {
    const { voice, record } = voiceOf(road);
    record.loadTorqueNm = 500;
    voice.settle();
    record.shaftRadPerS = 6 * Math.PI;
    const made = sounded(voice, 4000, (timeS) => {
      // Eight turns in 16 000 rows, 1000 chunks. What began the first pass still rings, 110 dB down.
      record.shaftRad = (2 * Math.PI * 8 * (Math.round(timeS / rowS) % 16_000)) / 16_000;
    });
    const [second, third] = [made.subarray(128_000, 256_000), made.subarray(256_000, 384_000)];
    expect(energy(second.map((x, i) => x - third[i]))).toBeLessThan(1e-11 * energy(second));
  });

  it("is no voice without gearing", () => {
    const { voice } = voiceOf(null);
    expect(peak(sounded(voice, 10, () => undefined))).toBe(0);
    expect(voice.isIdle).toBe(true);
  });

  it("allocates less than half a byte per sample", () => {
    const { voice, record } = voiceOf(road);
    record.loadTorqueNm = 500;
    record.shaftRadPerS = 19;
    let row = 0;
    const chunk = (): void => {
      for (let r = 0; r < 16; r++) {
        record.shaftRad = 19 * rowS * (row++ % 20_000);
        voice.take(r);
      }
      voice.process();
    };
    expect(allocatedBytesPerCall(chunk, 500) / (16 * samplesPerRow)).toBeLessThan(0.5);
  });
});

describe("chain and belt", () => {
  const chain: GearingDescription = { kind: "chain", pairs: [{ driving: 16, driven: 32 }], pitchM: 0.0254 };

  // A chain maker's guide: 25.4 mm on 16 teeth at 123 rpm, 0.3 m away, 65 dB(A) dry and 57 dB(A) oiled.
  it("a chain of 25.4 mm on 16 teeth at 123 rpm has 57 to 65 dB(A) at 0.3 m, within 5 dB", () => {
    const signal = turned(chain, 123 / 60, 100, 6, { distanceM: 0.3 }).subarray(48_000);
    const levelDb = weightedLevelDb(averagedSpectrum(signal, 48_000, 16_384), "A") - 20 * Math.log10(2e-5);
    expect(levelDb).toBeGreaterThan(52);
    expect(levelDb).toBeLessThan(70);
  });

  it("a chain sounds once a link: 16 teeth at 2 turns a second 32 times", () => {
    const signal = turned(chain, 2, 100, 7).subarray(48_000, 48_000 * 7);
    const rectified = signal.map((x) => x * x);
    expect(lineOf(rectified, 32)).toBeGreaterThan(3 * lineOf(rectified, 32 - 4));
    expect(lineOf(rectified, 32)).toBeGreaterThan(3 * lineOf(rectified, 16));
  });

  it("a belt's lap slaps once a turn of the belt", () => {
    const belt: GearingDescription = { kind: "belt", pairs: [{ driving: 1200, driven: 400 }], beltM: 9 };
    const signal = turned(belt, 3, 300, 6);
    const speedMPerS = Math.PI * 1.2 * 3;
    const found: number[] = [];
    const loud = 0.5 * peak(signal);
    for (let i = 0; i < signal.length; i++) {
      if (Math.abs(signal[i]) > loud && (found.length === 0 || i - found[found.length - 1] > 4800)) found.push(i);
    }
    expect(found).toHaveLength(Math.floor((6 * speedMPerS) / 9));
    for (let k = 1; k < found.length; k++) {
      expect((found[k] - found[k - 1]) / 48_000).toBeCloseTo(9 / speedMPerS, 3);
    }
  });
});
