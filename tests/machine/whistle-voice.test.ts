import { describe, expect, it } from "vitest";
import { WhistleSteam } from "../../src/engine/whistle-steam.js";
import type { VoiceRecord } from "../../src/engine/voice-record.js";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { levelDb } from "../sound/jet-measures.js";
import type { Rig } from "./side-voice-rig.js";
import { RATE, rig, steamFlow } from "./side-voice-rig.js";
import { stepsDb } from "./voice-measures.js";

const BELL = { lengthM: 0.14, boreM: 0.06 };
const AIR_PA = 101_325;

function whistle(bells = [BELL], distanceM = 7.5): Rig {
  return rig("whistle", { fittings: { whistle: { bells, slitM: 0.00048, cutUpRatio: 0.4 } }, distanceM });
}

const open =
  (ratio: number, boilerPa = 9e5) =>
  (record: VoiceRecord): void => {
    record.boilerPa = boilerPa;
    record.boilerK = steamFlow(boilerPa, 1).restK;
    record.whistleRatio = ratio;
  };

/** Once it has spoken. */
const settled = (signal: Float64Array): Float64Array => signal.subarray(RATE / 2);

/** Strongest frequency between two. */
function peakHz(signal: Float64Array, lowHz: number, highHz: number): number {
  const { powers, binHz } = averagedSpectrum(signal, RATE, 16_384);
  let best = Math.ceil(lowHz / binHz);
  for (let k = best; k * binHz < highHz; k++) if (powers[k] > powers[best]) best = k;
  const [a, b, c] = [powers[best - 1], powers[best], powers[best + 1]].map((power) => Math.log(power));
  return (best + (a - c) / (2 * (a - 2 * b + c))) * binHz;
}

/** Power within 3 % of a frequency, dB. */
function partialDb(signal: Float64Array, hz: number): number {
  const { powers, binHz } = averagedSpectrum(signal, RATE, 16_384);
  let sum = 0;
  for (let k = Math.ceil((0.97 * hz) / binHz); k * binHz < 1.03 * hz; k++) sum += powers[k];
  return 10 * Math.log10(sum);
}

describe("a whistle", () => {
  // Steam whistles: some 100 to 125 dB a few metres off, from memory.
  it("of 60 mm bore has 105 to 125 dB 7.5 m off at 9 bar, and 6 dB more at half the distance", () => {
    const far = levelDb(settled(whistle().run(1.5, open(1))));
    expect(far).toBeGreaterThan(105);
    expect(far).toBeLessThan(125);
    expect(Math.abs(levelDb(settled(whistle([BELL], 3.75).run(1.5, open(1)))) - far - 6.02)).toBeLessThan(0.05);
  });

  it("grows with every step of its valve, by 40 dB and more in all", () => {
    const levels = [0.01, 0.03, 0.1, 0.2, 0.4, 0.7, 1].map((x) => levelDb(settled(whistle().run(1.5, open(x)))));
    for (let k = 1; k < levels.length; k++) expect(levels[k]).toBeGreaterThan(levels[k - 1]);
    expect(levels[6] - levels[0]).toBeGreaterThan(40);
  });

  // Whistles sharpen as pressure rises: reports of 1883 of some semitones for short plain ones, as quoted in encyclopaedias.
  it("grows louder and a little sharper with the boiler's pressure: 2 to 16 bar by 0.2 to 2 semitones", () => {
    const heard = [2e5, 4e5, 8e5, 16e5].map((pa) => settled(whistle().run(2, open(1, pa))));
    const pitches = heard.map((signal) => peakHz(signal, 600, 1000));
    for (let k = 1; k < heard.length; k++) {
      expect(levelDb(heard[k])).toBeGreaterThan(levelDb(heard[k - 1]) + 2);
      expect(pitches[k]).toBeGreaterThan(pitches[k - 1]);
    }
    const semitones = 12 * Math.log2(pitches[3] / pitches[0]);
    expect(semitones).toBeGreaterThan(0.2);
    expect(semitones).toBeLessThan(2);
  });

  it("breathes before it speaks: a hardly open valve gives no pitch 10 dB above the hiss beside it", () => {
    const faint = settled(whistle().run(3, open(0.02)));
    expect(levelDb(faint)).toBeLessThan(90);
    const well = settled(whistle().run(3, open(0.6)));
    const beside = (signal: Float64Array): number => partialDb(signal, 760) - partialDb(signal, 1150);
    expect(beside(well)).toBeGreaterThan(beside(faint) + 10);
  });

  // Bells of 5 to 4: a major third.
  it("of several bells sounds them together, each at its own pitch", () => {
    const bells = [
      { lengthM: 0.188, boreM: 0.06 },
      { lengthM: 0.147, boreM: 0.06 },
    ];
    const both = settled(whistle(bells).run(2, open(1)));
    const [low, high] = bells.map((bell) => {
      const alone = settled(whistle([bell]).run(2, open(1)));
      const hz = peakHz(alone, 450, 900);
      expect(Math.abs(partialDb(both, hz) - partialDb(alone, hz))).toBeLessThan(2);
      return hz;
    });
    expect(high / low).toBeGreaterThan(1.22);
    expect(high / low).toBeLessThan(1.28);
  });

  it("is idle until it is opened, dies away when shut, and is idle again", () => {
    const { voice, run } = whistle();
    run(0.1, open(0));
    expect(voice.isIdle).toBe(true);
    run(0.5, open(1));
    expect(voice.isIdle).toBe(false);
    const steps = stepsDb(run(0.3, open(0)), 0.02);
    for (let k = 1; k < 8; k++) expect(steps[k]).toBeLessThan(steps[k - 1]);
    run(0.7, open(0));
    expect(voice.isIdle).toBe(true);
    expect(voice.pressurePa.every((pressure) => pressure === 0)).toBe(true);
  });

  it("is silent on a cold boiler", () => {
    const { voice, run } = whistle();
    for (const value of run(0.3, open(1, AIR_PA))) expect(value).toBe(0);
    expect(voice.isIdle).toBe(true);
  });

  it("opens at once without a click: no sample of the first millisecond beyond a tenth of what it comes to", () => {
    const signal = whistle().run(1, open(1));
    const most = (from: number, to: number): number =>
      signal.subarray(from, to).reduce((sum, value) => Math.max(sum, Math.abs(value)), 0);
    expect(most(0, 0.001 * RATE)).toBeLessThan(0.1 * most(0.5 * RATE, RATE));
    // And it takes some periods to speak.
    expect(most(0, 0.004 * RATE)).toBeLessThan(0.7 * most(0.5 * RATE, RATE));
  });

  it("stays bounded and a number from 0 to 100 bar at any opening, jumps and rubbish in the record included", () => {
    const { run } = whistle();
    let state = 12_345;
    const chance = (): number => (state = (state * 16_807) % 2_147_483_647) / 2_147_483_647;
    const signal = run(4, (record, timeS) => {
      if (Math.floor(timeS * 6000) % 300 !== 0) return;
      record.boilerPa = 1e7 * chance();
      record.boilerK = 373 + 210 * chance();
      record.whistleRatio = chance();
      if (chance() < 0.05) record.boilerPa = NaN;
      if (chance() < 0.05) record.whistleRatio = -1;
      if (chance() < 0.05) record.boilerK = Infinity;
    });
    // 154 dB.
    for (const value of signal) expect(Math.abs(value) < 1000).toBe(true);
    expect(levelDb(signal)).toBeGreaterThan(110);
  });

  it("sounds the same when it is reset and played again", () => {
    const { voice, run } = whistle();
    const once = run(0.3, open(0.7));
    voice.reset();
    voice.setNextSampleIndex(0);
    expect(run(0.3, open(0.7))).toEqual(once);
  });
});

describe("the steam that a whistle draws", () => {
  const description = { bells: [BELL], slitM: 0.00048, cutUpRatio: 0.4 };
  function drawn(boilerPa: number, openRatio: number): WhistleSteam {
    const steam = new WhistleSteam(description, 1.3, AIR_PA);
    steam.boilerPa = boilerPa;
    steam.gasJPerKg = 461.5 * steamFlow(boilerPa, 1).restK;
    steam.openRatio = openRatio;
    steam.measure();
    return steam;
  }

  // Napier's rule: lb/s = p (psi absolute) x area (sq in) / 70, within 3 % for saturated steam.
  it("at the slits is Napier's flow at the pressure below them", () => {
    const steam = drawn(9e5, 1);
    const areaM2 = Math.PI * 0.06 * 0.00048;
    const napierKgPerS = (0.45359237 * (steam.slitPa / 6894.757) * (areaM2 / 6.4516e-4)) / 70;
    expect(Math.abs(steam.massFlowKgPerS / napierKgPerS - 1)).toBeLessThan(0.05);
    expect(steam.slitPa).toBeLessThan(9e5);
    expect(steam.slitPa).toBeGreaterThan(6e5);
  });

  it("is all that a valve passes that is much smaller than the slits", () => {
    const steam = drawn(9e5, 0.02);
    const wanted = steamFlow(9e5, 0.02 * 1.25 * Math.PI * 0.06 * 0.00048).massKgPerS;
    expect(Math.abs(steam.massFlowKgPerS / wanted - 1)).toBeLessThan(0.01);
  });

  // Isentropic flow of an ideal gas through an opening (Shapiro, Compressible Fluid Flow, 1953, chapter 4).
  function isentropicKgPerS(areaM2: number, upPa: number, downPa: number, gasJPerKg: number): number {
    const k = 1.3;
    const ratio = Math.max(downPa / upPa, (2 / (k + 1)) ** (k / (k - 1)));
    const head = ratio ** (2 / k) - ratio ** ((k + 1) / k);
    return ((areaM2 * upPa) / Math.sqrt(gasJPerKg)) * Math.sqrt(((2 * k) / (k - 1)) * Math.max(0, head));
  }

  it("is the same through valve and slits, choked or not: isentropic flow of both within 2 %", () => {
    const areaM2 = Math.PI * 0.06 * 0.00048;
    for (const pa of [1.05e5, 1.3e5, 2e5, 4e5, 9e5, 1e7]) {
      for (const x of [0.01, 0.1, 0.3, 0.5, 0.75, 1]) {
        const steam = drawn(pa, x);
        const { gasJPerKg, slitPa, massFlowKgPerS } = steam;
        const valve = isentropicKgPerS(1.25 * x * areaM2, pa, slitPa, gasJPerKg);
        const slits = isentropicKgPerS(areaM2, slitPa, AIR_PA, gasJPerKg);
        expect(Math.abs(massFlowKgPerS / valve - 1)).toBeLessThan(0.02);
        expect(Math.abs(massFlowKgPerS / slits - 1)).toBeLessThan(0.02);
      }
    }
  });

  it("grows with opening and pressure, and is nothing when shut or cold", () => {
    for (const pa of [2e5, 9e5, 1e7]) {
      let last = 0;
      for (const x of [0.01, 0.1, 0.3, 0.6, 1]) {
        const steam = drawn(pa, x);
        expect(steam.massFlowKgPerS).toBeGreaterThan(last);
        last = steam.massFlowKgPerS;
      }
    }
    for (const [pa, x] of [
      [9e5, 0],
      [AIR_PA, 1],
      [5e4, 1],
      [NaN, 1],
    ]) {
      expect(drawn(pa, x).massFlowKgPerS).toBe(0);
      expect(drawn(pa, x).jetMPerS).toBe(0);
    }
  });
});
