import { describe, expect, it } from "vitest";
import { contactDurationS, STEEL_ON_STEEL_PA } from "../../src/sound/hertz-contact.js";
import { STEEL } from "../../src/sound/modal-bodies.js";
import { barModes, plateModes, ringModes, type StruckMode } from "../../src/sound/struck-body.js";
import { StruckModes } from "../../src/sound/struck-modes.js";
import { cents, responseAt, ringingHz } from "./signal-measures.js";

const AIR = { distanceM: 7.5, airDensityKgPerM3: 1.2041, airSoundSpeedMPerS: 343.2 };
const BAR = { stuff: STEEL, lossRatio: 1e-3, modeCount: 4, lengthM: 0.3, depthM: 0.01, widthM: 0.02 };
const PLATE = { stuff: STEEL, lossRatio: 0.01, modeCount: 6, lengthM: 0.5, widthM: 0.5, thicknessM: 0.005 };

function struck(modes: readonly StruckMode[], durationS: number, seconds = 1, rate = 48000, delay = 0): Float64Array {
  const bank = new StruckModes(rate, modes, 128);
  bank.strike(delay, 1, durationS);
  const output = new Float64Array(Math.round(seconds * rate));
  bank.process(output, output.length);
  return output;
}

/** Share of the pulse 30 u^2 (1 - u)^2 at a frequency, by integration. */
function pulseRatio(frequencyHz: number, durationS: number): number {
  let [re, im] = [0, 0];
  for (let i = 0; i < 2000; i++) {
    const u = (i + 0.5) / 2000;
    const share = (30 * u * u * (1 - u) * (1 - u)) / 2000;
    re += share * Math.cos(2 * Math.PI * frequencyHz * durationS * u);
    im += share * Math.sin(2 * Math.PI * frequencyHz * durationS * u);
  }
  return Math.hypot(re, im);
}

describe("a struck body", () => {
  // Euler-Bernoulli: 583.7, 1608.9, 3154.0, 5213.8 Hz.
  it.each([44100, 48000, 96000])("of a steel bar rings at %d Hz sample rate with the bar's own tones", (rate) => {
    const sound = struck(barModes(BAR, AIR), 3e-5, 2, rate);
    for (const hz of [583.7, 1608.9, 3154.0, 5213.8]) {
      expect(Math.abs(cents(ringingHz(sound, hz, rate, 0.2), hz)), `${hz} Hz`).toBeLessThan(1.5);
    }
  });

  // T60 = 2.2 / (f eta), Cremer & Heckl; 1 kHz, eta 1e-3: 2.199 s.
  it("falls by 60 dB in 2.2 / (f eta)", () => {
    const sound = struck([{ frequencyHz: 1000, lossRatio: 1e-3, paPerNs: 1 }], 1e-4, 2.4);
    const peak = (atS: number): number =>
      sound
        .subarray(Math.round(48000 * atS), Math.round(48000 * (atS + 0.01)))
        .reduce((m, x) => Math.max(m, Math.abs(x)), 0);
    expect(20 * Math.log10(peak(0.1) / peak(0.1 + 2.199))).toBeCloseTo(60, 1);
  });

  it("answers a short blow with the amplitude that its mode states, at any rate and wherever between samples it falls", () => {
    for (const rate of [44100, 48000, 96000]) {
      for (const delay of [0, 3, 17.37, 100.5]) {
        const sound = struck([{ frequencyHz: 500, lossRatio: 1e-4, paPerNs: 0.25 }], 2e-5, 0.2, rate, delay);
        expect(Math.max(...sound) / 0.25, `${rate} Hz, ${delay}`).toBeCloseTo(1, 2);
      }
    }
  });

  // What a linear resonator takes from a pulse is the pulse's spectrum at its own frequency: exact.
  it("takes from a long blow what the blow has at its frequency: softer is duller", () => {
    for (const hz of [200, 800, 2500]) {
      for (const durationS of [2e-4, 5e-4, 9e-4]) {
        const mode = [{ frequencyHz: hz, lossRatio: 1e-5, paPerNs: 1 }];
        const sound = struck(mode, durationS, 0.1).subarray(480);
        const amplitude = sound.reduce((m, x) => Math.max(m, Math.abs(x)), 0);
        expect(amplitude, `${hz} Hz, ${durationS} s`).toBeCloseTo(pulseRatio(hz, durationS), 2);
      }
    }
  });

  // Hertz: half the speed makes the contact 1.149 times as long; so the ratio of high to low modes falls.
  it("sounds duller for a softer blow of the same hammer", () => {
    const hammer = { massKg: 20, radiusM: 0.05, modulusPa: STEEL_ON_STEEL_PA };
    const tilt = (speed: number): number => {
      const sound = struck(plateModes(PLATE, AIR), contactDurationS(hammer, speed));
      const levelDb = (hz: number): number => {
        const { re, im } = responseAt(sound, hz, 48000);
        return 20 * Math.log10(Math.hypot(re, im));
      };
      return levelDb(484.26) - levelDb(96.85);
    };
    expect(tilt(1) - tilt(0.03)).toBeGreaterThan(0.2);
    expect(tilt(10)).toBeGreaterThan(tilt(1));
  });

  // 1.875 against 1.838 for Hertz's own course, which is known by integration of m x'' = -k x^1.5.
  it("is struck as steeply as Hertz has it, within 2.5 % of the peak", () => {
    let [x, v, peak, impulse] = [0, 1, 0, 0];
    const dt = 1e-5;
    let t = 0;
    for (; x >= 0; t += dt) {
      const force = Math.max(0, x) ** 1.5;
      peak = Math.max(peak, force);
      impulse += force * dt;
      v -= force * dt;
      x += v * dt;
    }
    const hertz = (peak * t) / impulse;
    expect(hertz).toBeCloseTo(1.838, 2);
    expect(Math.abs(1.875 / hertz - 1)).toBeLessThan(0.025);
  });

  // Energy: what is heard all around cannot be more than the blow has given.
  it("never radiates more than the blow has given it", () => {
    const bodies = [
      { modes: barModes(BAR, AIR), massKg: 7850 * 0.3 * 0.01 * 0.02 },
      { modes: plateModes(PLATE, AIR), massKg: 7850 * 0.25 * 0.005 },
      { modes: plateModes({ ...PLATE, lossRatio: 1e-6, thicknessM: 0.02 }, AIR), massKg: 7850 * 0.25 * 0.02 },
      {
        modes: ringModes(
          { stuff: STEEL, lossRatio: 1e-6, modeCount: 4, radiusM: 0.4, depthM: 0.06, widthM: 0.13, massKg: 150 },
          AIR,
        ),
        massKg: 150,
      },
    ];
    for (const { modes, massKg } of bodies) {
      for (const mode of modes) {
        const sound = struck([mode], 1e-6, 30, 16000);
        const radiatedJ =
          (sound.reduce((sum, p) => sum + p * p, 0) / 16000 / (1.2041 * 343.2)) * 4 * Math.PI * 7.5 ** 2;
        // A blow of 1 Ns gives a mode 1/2M.
        expect(radiatedJ * 2 * massKg).toBeLessThan(1.001);
        expect(radiatedJ).toBeGreaterThan(0);
      }
    }
  });

  it("does nothing until it is struck, and nothing again when it has rung out", () => {
    const bank = new StruckModes(48000, plateModes(PLATE, AIR), 128);
    const output = new Float64Array(480);
    expect(bank.isIdle).toBe(true);
    bank.process(output, 480);
    expect(output.every((x) => x === 0)).toBe(true);
    bank.strike(5, 1e-3, 1e-4);
    expect(bank.isIdle).toBe(false);
    bank.process(output, 480);
    expect(Math.max(...output)).toBeGreaterThan(0);
    for (let i = 0; i < 3000 && !bank.isIdle; i++) bank.process(output, 480);
    expect(bank.isIdle).toBe(true);
    output.fill(0);
    bank.process(output, 480);
    expect(output.every((x) => x === 0)).toBe(true);
  });

  it("leaves out modes that the sample rate cannot carry", () => {
    expect(struck([{ frequencyHz: 30000, lossRatio: 0.01, paPerNs: 1 }], 1e-5, 0.1).every((x) => x === 0)).toBe(true);
  });

  it("names the rule for a loss factor that no iron has", () => {
    expect(() => new StruckModes(48000, [{ frequencyHz: 100, lossRatio: 0, paPerNs: 1 }], 64)).toThrow(
      /StruckModes: lossRatio must be between 0.000001 and 2, got 0/,
    );
  });
});
