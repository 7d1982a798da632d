import { stemNames } from "../../src/machine/machine.js";
import { describe, expect, it } from "vitest";
import { foldedEnvelope, smoothedRound, smoothingWeights } from "../../src/listening/folded-envelope.js";
import { prominentMaxima } from "../../src/listening/prominent-maxima.js";
import {
  decibels,
  eventsOf,
  greatestOf,
  preset,
  rendered,
  request,
  type PresetName,
  exhaustOnly,
} from "../offline/renders.js";
import { heard } from "./heard-beats.js";

const seconds = 12;

/**
 * Maxima with 3 dB of prominence in the folded 300-4000 Hz power, smoothed (Hann) over 0.4 of the beats' spacing: long
 * enough to take a beat and what follows it inside its own machine (echoes of a long pipe, the port's closing) as one,
 * as an ear does, and far too short to join two beats.
 */
function maximaLevelsDb(name: PresetName, beatsPerTurn: number, speedRpm: number): number[] {
  const turns = Math.ceil((seconds * speedRpm) / 60);
  const { mix } = rendered(request(exhaustOnly(preset(name)), { turns, speedRpm }));
  const { meanSquare, binCount } = foldedEnvelope({
    samples: mix,
    sampleRateHz: 48_000,
    turnStartsS: Array.from({ length: turns + 1 }, (_, turn) => (turn * 60) / speedRpm),
  });
  const smooth = smoothedRound(meanSquare, smoothingWeights((0.4 * binCount) / beatsPerTurn));
  const levelsDb = smooth.map((power) => 10 * Math.log10(power));
  return prominentMaxima(levelsDb, 3, "circle").map(({ levelDb }) => levelDb);
}

// Beats a turn follow from the valve events alone. Below 8 a second the envelope shows exactly as many maxima of 3 dB
// of
// prominence. [common practice: 3 dB is a plain difference]
describe("below 8 beats a second every beat is heard by itself", () => {
  it.each<[PresetName, number, number]>([
    ["harrow-tank", 4, 60],
    ["stell-mineral", 6, 60],
    ["oxmoor-mill", 2, 80],
    ["hall-exhibit", 2, 45],
    ["bench-slide", 2, 210],
  ])("%s: %i beats a turn at %i rpm", (name, beatsPerTurn, speedRpm) => {
    expect(eventsOf(preset(name)).beatsPerTurn).toBe(beatsPerTurn);
    expect((beatsPerTurn * speedRpm) / 60).toBeLessThan(8);
    expect(maximaLevelsDb(name, beatsPerTurn, speedRpm).length).toBe(beatsPerTurn);
  });

  // A single-acting toy is silent for half the turn, so the click of its port going over from exhaust to steam stands out
  // of that silence by more than 3 dB. It is no beat: it lies far below the one there is.
  it("pocket-wobbler: one beat a turn at 420 rpm, and nothing else within 12 dB of it", () => {
    expect(eventsOf(preset("pocket-wobbler")).beatsPerTurn).toBe(1);
    const levelsDb = maximaLevelsDb("pocket-wobbler", 1, 420);
    const loudest = Math.max(...levelsDb);
    expect(levelsDb.filter((levelDb) => levelDb > loudest - 12).length).toBe(1);
  });

  // With the finer smoothing of the beat measures, 20 degrees at most: nothing of the kind shows between these beats.
  it.each<[PresetName, number, number]>([
    ["harrow-tank", 4, 115],
    ["stell-mineral", 6, 75],
    ["bench-slide", 2, 210],
  ])("%s: %i beats a turn at %i rpm, finely smoothed", (name, beatsPerTurn, speedRpm) => {
    expect((beatsPerTurn * speedRpm) / 60).toBeLessThan(8);
    const found = heard(exhaustOnly(preset(name)), { turns: Math.ceil((seconds * speedRpm) / 60), speedRpm });
    expect(found.maximaCount).toBe(beatsPerTurn);
  });
});

describe("the condensing engine", () => {
  it("makes no beat and no exhaust sound, though it works", () => {
    const machine = preset("lingmere-condensing");
    // Against a whisper rather than an exhaust, so that what is left cannot hide. [common practice: 20 mPa, 60 dB SPL]
    const { stems, beats, summary } = rendered(request(machine, { seconds: 4, fullScalePa: 0.02 }));
    // The rush of its steam is heard through the iron, and nothing else. [common practice]
    stemNames.forEach((name, s) => {
      if (name === "inlet") expect(greatestOf(stems[s])).toBeGreaterThan(0);
      else expect(decibels(greatestOf(stems[s])), name).toBeLessThan(-120);
    });
    expect(beats).toEqual([]);
    expect(summary.beatsPerTurn).toBe(0);
    expect(eventsOf(machine).beats).toEqual([]);
    expect(summary.powerW).toBeGreaterThan(10_000);
    expect(summary.meanFlowKgPerS).toBeGreaterThan(0.1);
  });
});
