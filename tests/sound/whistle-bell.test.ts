import { describe, expect, it } from "vitest";
import { NoiseStream } from "../../src/quantities/random.js";
import type { WallGas } from "../../src/sound/acoustics.js";
import { AIR_AT_WALL } from "../../src/sound/acoustics.js";
import type { BellShape } from "../../src/sound/whistle-bell.js";
import { STEAM_IN_BELL, WhistleBell } from "../../src/sound/whistle-bell.js";
import { cents, gainDbAt, ringingHz, rms } from "./signal-measures.js";

const SHAPE: BellShape = { lengthM: 0.14, boreM: 0.06, slitM: 0.00048, cutUpRatio: 0.4, gas: STEAM_IN_BELL };

/** Flow out of the mouth for a push and a jet speed by time. */
function blown(
  shape: BellShape,
  rate: number,
  seconds: number,
  drive: (timeS: number) => readonly [pushN: number, jetMPerS: number],
  seed = 1,
): Float64Array {
  const bell = new WhistleBell(rate, new NoiseStream(seed, 0), shape);
  const n = Math.round(seconds * rate);
  const push = new Float64Array(n);
  const jet = new Float64Array(n);
  for (let i = 0; i < n; i++) [push[i], jet[i]] = drive(i / rate);
  const flow = new Float64Array(n);
  bell.process(push, jet, flow, n);
  return flow;
}

const steady =
  (pushN: number, jetMPerS: number) =>
  (timeS: number): readonly [number, number] => [pushN * Math.min(1, timeS / 0.02), jetMPerS];

// About that of saturated steam at 9 bar through the slit of `SHAPE`.
const WELL = steady(70, 650);

const later = (signal: Float64Array, rate: number, fromS: number): Float64Array => signal.subarray(fromS * rate);

/** Where the spectrum of half a second has its maximum, within 8 % of a guess. */
function pitchHz(flow: Float64Array, nearHz: number, rate: number): number {
  const n = Math.round(rate / 2);
  const windowed = flow.subarray(0, n).map((value, i) => value * (1 - Math.cos((2 * Math.PI * i) / n)));
  let best = nearHz;
  for (const step of [0.01 * nearHz, 0.001 * nearHz, 0.0001 * nearHz]) {
    const from = best;
    let most = -Infinity;
    for (let k = -10; k <= 10; k++) {
      const level = gainDbAt(windowed, from + k * step, rate);
      if (level > most) [most, best] = [level, from + k * step];
    }
  }
  return best;
}

/** Level of a whole multiple of the pitch against that of the pitch, as sound: the flow's rate of change. */
function partialDb(flow: Float64Array, pitchHz: number, order: number, rate: number): number {
  const windowed = flow.map((value, i) => value * (1 - Math.cos((2 * Math.PI * i) / flow.length)));
  return gainDbAt(windowed, order * pitchHz, rate) - gainDbAt(windowed, pitchHz, rate) + 20 * Math.log10(order);
}

/** Gas whose walls take nothing. */
const smooth = (gas: WallGas): WallGas => ({ ...gas, viscosityPaS: 1e-12 });

describe("a bell that a puff sets ringing", () => {
  // Stopped pipes with the unflanged end correction of Levine & Schwinger, Phys. Rev. 73 (1948) 383, walls without loss.
  it.each([
    { lengthM: 1, boreM: 0.05, soundSpeedMPerS: 343.2, wantedHz: 84.51 },
    { lengthM: 0.5, boreM: 0.1, soundSpeedMPerS: 343.2, wantedHz: 161.75 },
    { lengthM: 1, boreM: 0.15, soundSpeedMPerS: 475, wantedHz: 113.55 },
  ])("rings at $wantedHz Hz: $lengthM m by $boreM m, within 3 cents at every rate", (row) => {
    const gas = smooth({ ...AIR_AT_WALL, soundSpeedMPerS: row.soundSpeedMPerS });
    for (const rate of [44_100, 48_000, 96_000]) {
      const shape = { ...SHAPE, lengthM: row.lengthM, boreM: row.boreM, gas };
      const flow = blown(shape, rate, 1, (t) => [t < 0.002 ? 1e-6 : 0, 100]);
      expect(Math.abs(cents(ringingHz(flow, row.wantedHz, rate, 0.25), row.wantedHz))).toBeLessThan(3);
    }
  });

  // Keefe, JASA 75 (1984) 58: at 85 Hz a wall slows the wave in a 50 mm bore by some 0.65 %: 11 cents.
  it("rings 8 to 14 cents flatter for the drag of the wall of a 50 mm bore", () => {
    const hz = [AIR_AT_WALL, smooth(AIR_AT_WALL)].map((gas) => {
      const flow = blown({ ...SHAPE, lengthM: 1, boreM: 0.05, gas }, 48_000, 1, (t) => [t < 0.002 ? 1e-6 : 0, 100]);
      return ringingHz(flow, 84.5, 48_000, 0.25);
    });
    const fall = cents(hz[1], hz[0]);
    expect(fall).toBeGreaterThan(8);
    expect(fall).toBeLessThan(14);
  });
});

describe("a bell that is blown", () => {
  it("sounds within a semitone of its own resonance, alike at 44.1, 48 and 96 kHz within 10 cents", () => {
    const pitches = [44_100, 48_000, 96_000].map((rate) =>
      pitchHz(later(blown(SHAPE, rate, 1.2, WELL), rate, 0.2), 775, rate),
    );
    const own = new WhistleBell(48_000, new NoiseStream(1, 0), SHAPE).resonanceHz;
    for (const pitch of pitches) {
      expect(Math.abs(cents(pitch, own))).toBeLessThan(100);
      expect(Math.abs(cents(pitch, pitches[1]))).toBeLessThan(10);
    }
  });

  // Sound speeds in a stopped pipe: pitch as c (textbook); 472 over 343.2 is 552 cents.
  it("sounds higher on steam than on air as the sound speeds are, within 60 cents", () => {
    const [steam, air] = [STEAM_IN_BELL, AIR_AT_WALL].map((gas) => {
      const near = gas === AIR_AT_WALL ? 555 : 775;
      return pitchHz(later(blown({ ...SHAPE, gas }, 48_000, 1.2, WELL), 48_000, 0.2), near, 48_000);
    });
    expect(Math.abs(cents(steam, air) - cents(472, 343.2))).toBeLessThan(60);
  });

  // Scale: all lengths halved, time halved.
  it("sounds an octave up at half its size, within 10 cents", () => {
    const half = { ...SHAPE, lengthM: 0.07, boreM: 0.03, slitM: 0.00024 };
    const pitch = pitchHz(later(blown(SHAPE, 48_000, 1.2, WELL), 48_000, 0.2), 775, 48_000);
    const halved = later(blown(half, 48_000, 1.2, steady(17.5, 650)), 48_000, 0.2);
    expect(Math.abs(cents(pitchHz(halved, 1550, 48_000), pitch) - 1200)).toBeLessThan(10);
  });

  // A stopped bell measured at 829 Hz: 2487 Hz near the pitch in level, even partials 17 dB or more below.
  it("has the odd harmonics: the third within 12 dB of the pitch, the second and fourth 17 dB or more below it", () => {
    const flow = later(blown(SHAPE, 48_000, 1.2, WELL), 48_000, 0.2);
    const pitch = pitchHz(flow, 775, 48_000);
    expect(partialDb(flow, pitch, 3, 48_000)).toBeGreaterThan(-12);
    expect(partialDb(flow, pitch, 3, 48_000)).toBeLessThan(3);
    for (const even of [2, 4]) expect(partialDb(flow, pitch, even, 48_000)).toBeLessThan(-17);
  });

  it("speaks: from a tenth to nine tenths of its swing in 3 to 60 ms, some periods long", () => {
    const flow = blown(SHAPE, 48_000, 0.6, (t) => [t < 0.05 ? 0 : 70, 650]);
    const full = rms(later(flow, 48_000, 0.3));
    const reached = (share: number): number => {
      for (let i = 0; i < flow.length - 64; i += 16)
        if (rms(flow.subarray(i, i + 64)) > share * full) return i / 48_000;
      return NaN;
    };
    const rise = reached(0.9) - reached(0.1);
    expect(rise).toBeGreaterThan(0.003);
    expect(rise).toBeLessThan(0.06);
  });

  it("only breathes when hardly blown: 50 dB below what it does when well blown, yet not silent", () => {
    const faint = rms(later(blown(SHAPE, 48_000, 1, steady(0.5, 150)), 48_000, 0.5));
    const well = rms(later(blown(SHAPE, 48_000, 1, WELL), 48_000, 0.5));
    expect(20 * Math.log10(faint / well)).toBeLessThan(-50);
    expect(faint).toBeGreaterThan(0);
  });

  it("stays bounded however it is over-blown: at the push of 100 bar its flow swings slower than sound through the mouth", () => {
    const mouthM2 = Math.PI * 0.06 * 0.024;
    for (const [pushN, jetMPerS] of [
      [1000, 900],
      [1e4, 1500],
      [1000, 50],
    ]) {
      const flow = blown(SHAPE, 48_000, 0.5, steady(pushN, jetMPerS));
      for (const one of flow) expect(Math.abs(one)).toBeLessThan(3 * 472 * mouthM2);
    }
    const usual = blown(SHAPE, 48_000, 0.5, steady(900, 900));
    expect(rms(usual)).toBeLessThan(472 * mouthM2);
  });

  it("dies away by 60 dB in 0.05 to 0.3 s once the steam is shut off", () => {
    const flow = blown(SHAPE, 48_000, 1, (t) => [t < 0.5 ? 70 : 0, 650]);
    const at = (fromS: number): number => rms(flow.subarray(fromS * 48_000, (fromS + 0.02) * 48_000));
    const loud = at(0.45);
    expect(at(0.53)).toBeGreaterThan(1e-3 * loud);
    expect(at(0.8)).toBeLessThan(1e-3 * loud);
  });
});

describe("a bell's settings", () => {
  it.each([
    ["lengthM", 0],
    ["boreM", NaN],
    ["slitM", -1],
    ["cutUpRatio", 5],
  ] as const)("are refused where there is no such bell: %s %d", (name, value) => {
    expect(() => new WhistleBell(48_000, new NoiseStream(1, 0), { ...SHAPE, [name]: value })).toThrow(
      new RegExp(`^WhistleBell: ${name} must be between`),
    );
  });
});
