import { describe, expect, it } from "vitest";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { bandLevelDb, levelDb } from "../sound/jet-measures.js";
import { rms } from "../sound/signal-measures.js";
import { PLANT, RATE, rig } from "./side-voice-rig.js";
import { centroidHz, onsets, stepsDb } from "./voice-measures.js";

describe("a fire", () => {
  const burning = (share: number, plant = {}): Float64Array =>
    rig("fire", { plant }).run(8, (record) => {
      record.fireW = share * PLANT.fire!.powerW;
    });

  it("roars with its power, 10 dB for ten times, at some 55 to 72 dB 7.5 m from a locomotive's", () => {
    const levels = [0.1, 1].map((share) => bandLevelDb(burning(share), 30, 1500, RATE));
    expect(Math.abs(levels[1] - levels[0] - 10)).toBeLessThan(0.8);
    expect(levels[1]).toBeGreaterThan(55);
    expect(levels[1]).toBeLessThan(72);
  });

  it("crackles when it is of coal, and does not when of gas", () => {
    const crest = (signal: Float64Array): number => {
      let most = 0;
      for (const p of signal) most = Math.max(most, Math.abs(p));
      return most / rms(signal);
    };
    const coal = burning(0.3);
    const gas = burning(0.3, { fire: { ...PLANT.fire!, responseS: 4 } });
    expect(crest(gas)).toBeLessThan(6);
    expect(crest(coal)).toBeGreaterThan(1.5 * crest(gas));
  });

  it("breathes with the beats that draw it", () => {
    const output = rig("fire").run(10, (record, timeS) => {
      record.fireW = 2e6;
      record.exhaustKgPerS = (timeS * 2) % 1 < 0.3 ? 6 : 0;
    });
    const levels = stepsDb(output, 0.05);
    const at = (phase: number): number => {
      const chosen = levels.filter((_, k) => k > 80 && k % 10 === phase);
      return chosen.reduce((a, b) => a + b) / chosen.length;
    };
    expect(at(2) - at(9)).toBeGreaterThan(3);
  });
});

describe("a boiler on the way to the boil", () => {
  const at = (subcoolingK: number): Float64Array =>
    rig("simmer", { plant: { volumeM3: 0.002 }, distanceM: 1 }).run(4, (record) => {
      record.heatW = 2000;
      record.boilerPa = 101_325;
      record.boilerK = 373.15 - subcoolingK;
      record.subcoolingK = subcoolingK;
      record.steamRaisedKgPerS = subcoolingK > 0 ? 0 : 2000 / 2.26e6;
    });

  // A recorded kettle (physics.stackexchange.com 375243, 2017): level rises until 45 to 20 K short of boiling, falls from
  // there, and comes back lower in pitch at the boil. A kettle of 2 kW at its loudest: 55 to 70 dB at 1 m, from memory.
  it("sings loudest between 45 and 10 K short, falls off towards the boil, and boils more softly and lower", () => {
    const heard = [85, 60, 25, 4, 1, 0].map(at);
    const levels = heard.map(levelDb);
    expect(levels[1]).toBeGreaterThan(levels[0]);
    expect(levels[2]).toBeGreaterThan(levels[1]);
    expect(levels[3]).toBeLessThan(levels[2]);
    expect(levels[4]).toBeLessThan(levels[3] - 2);
    expect(levels[2] - levels[5]).toBeGreaterThan(2);
    expect(levels[2] - levels[5]).toBeLessThan(12);
    expect(levels[2]).toBeGreaterThan(55);
    expect(levels[2]).toBeLessThan(70);
    expect(centroidHz(heard[5])).toBeLessThan(0.5 * centroidHz(heard[2]));
  });

  it("drops in pitch while it sings, as bubbles grow", () => {
    const centroids = [65, 40, 10].map((kelvins) => centroidHz(at(kelvins)));
    expect(centroids[1]).toBeLessThan(centroids[0]);
    expect(centroids[2]).toBeLessThan(centroids[1]);
  });
});

describe("feed", () => {
  it("of a pump clacks twice a turn, exactly with the shaft", () => {
    const plant = { feed: { kind: "pump", massFlowKgPerS: 1, temperatureK: 290 } } as const;
    const turnsPerS = 1.37;
    const output = rig("feed", { plant }).run(8, (record, timeS) => {
      record.boilerPa = 1e6;
      record.feedKgPerS = 0.6;
      record.shaftRad = 2 * Math.PI * turnsPerS * timeS;
      record.shaftRadPerS = 2 * Math.PI * turnsPerS;
    });
    const found = onsets(output, 0.02);
    expect(found.length).toBe(Math.floor(8 * 2 * turnsPerS));
    // A row of 8 samples late, and to the sample.
    found.forEach((timeS, k) => {
      expect(Math.abs(timeS - (k + 1) / (2 * turnsPerS) - 8 / RATE)).toBeLessThan(2 / RATE);
    });
  });

  it("of an injector sings higher as it takes hold", () => {
    const note = (share: number): number => {
      const output = rig("feed").run(4, (record) => {
        record.boilerPa = 1.2e6;
        record.feedKgPerS = share * 1.5;
      });
      const { powers, binHz } = averagedSpectrum(output, RATE, 8192);
      let best = Math.ceil(300 / binHz);
      for (let k = best; k < 5000 / binHz; k++) if (powers[k] > powers[best]) best = k;
      return best * binHz;
    };
    expect(note(1) / note(0.5)).toBeGreaterThan(1.9);
    expect(note(1) / note(0.5)).toBeLessThan(2.1);
  });
});

describe("an air pump", () => {
  it("clicks once a stroke, strokes as the shaft has it, forwards and backwards", () => {
    const airPump = { strokesPerTurn: 2, boreM: 0.3, strokeM: 0.3 };
    for (const turnsPerS of [0.7, -0.7]) {
      const output = rig("condenser", { fittings: { airPump } }).run(6, (record, timeS) => {
        record.shaftRad = 1 + 2 * Math.PI * turnsPerS * timeS;
        record.shaftRadPerS = 2 * Math.PI * turnsPerS;
      });
      // Each click is the steepest rise of its surroundings.
      const steps = Float64Array.from(output, (p, i) => (i > 0 ? Math.abs(p - output[i - 1]) : 0));
      const firstStroke = turnsPerS > 0 ? 1 : 0;
      const strokes = Array.from({ length: 6 }, (_, k) => {
        const angle = turnsPerS > 0 ? (firstStroke + k) * Math.PI - 1 : 1 + k * Math.PI;
        return angle / (2 * Math.PI * Math.abs(turnsPerS)) + 8 / RATE;
      });
      for (const timeS of strokes) {
        const from = Math.round((timeS - 0.1) * RATE);
        let best = Math.max(0, from);
        for (let i = best; i < Math.round((timeS + 0.1) * RATE); i++) if (steps[i] > steps[best]) best = i;
        expect(Math.abs(best / RATE - timeS)).toBeLessThan(3 / RATE);
      }
    }
  });
});

describe("cooling iron", () => {
  const ticks = (kelvinsPerS: number, seconds: number): number => {
    const output = rig("cooling").run(seconds, (record, timeS) => {
      record.metalK[0] = 440 - kelvinsPerS * timeS;
      record.metalK[1] = 440;
    });
    return onsets(output, 0).length > 0 ? countRises(output) : 0;
  };

  // A tick begins with a jump that what still rings of the one before does not have.
  const countRises = (signal: Float64Array): number => {
    let count = 0;
    let quiet = 0;
    for (let i = 0; i < signal.length; i++) {
      if (Math.abs(signal[i]) > 0 && quiet > 300) count++;
      quiet = Math.abs(signal[i]) > 0 ? 0 : quiet + 1;
    }
    return count;
  };

  it("ticks as often as it cools fast: twice as fast, twice the ticks", () => {
    const slow = ticks(0.05, 240);
    const fast = ticks(0.1, 120);
    // The same 12 K in both; some are lost behind the mean's lag of 4 s, some ring into each other.
    expect(slow).toBeGreaterThan(60);
    expect(Math.abs(fast - slow)).toBeLessThan(0.15 * slow);
  });

  it("is still while it warms or holds", () => {
    expect(ticks(0, 20)).toBe(0);
    expect(ticks(-0.5, 20)).toBe(0);
  });
});
