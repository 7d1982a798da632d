import { describe, expect, it } from "vitest";
import { PumpVoice } from "../../src/machine/pump-voice.js";
import { makeVoices, voiceStemNames } from "../../src/machine/voices.js";
import { stemParts } from "../../src/machine/source-places.js";
import { allocatedBytesPerCall } from "../contracts/allocated-bytes.js";
import { preset } from "../offline/renders.js";
import { energy, making, peak, rowsPerChunk, sounded } from "./voice-rig.js";

const { description } = preset("tarn-duplex");

/** The voice while one thing is struck once, a tenth of a second in. */
function struck(what: "cover" | "trip" | "seat", speedMPerS: number, cylinder = 0): Float64Array {
  const made = making(description);
  const { record } = made;
  const voice = new PumpVoice(made);
  voice.settle();
  const [count, speed] = {
    cover: [record.coverBlows, record.coverMPerS],
    trip: [record.trips, record.tripMPerS],
    seat: [record.seatings, record.seatMPerS],
  }[what];
  return sounded(voice, 180, (timeS) => {
    if (timeS < 0.1 || count[cylinder] > 0) return;
    count[cylinder] = 1;
    speed[cylinder] = speedMPerS;
  });
}

const centroidHz = (signal: Float64Array): number => {
  // Mean square slope over mean square: of a tone its own frequency. [source: exact]
  let slope = 0;
  for (let i = 1; i < signal.length; i++) slope += (signal[i] - signal[i - 1]) ** 2;
  return (48_000 / (2 * Math.PI)) * Math.sqrt(slope / energy(signal));
};

describe("a pump's voice", () => {
  it("has a stem of its own with a place on the machine, in pumps without a crank alone", () => {
    expect(voiceStemNames).toContain("pump");
    expect(stemParts.pump).toBe("cylinders");
    const stemsOf = (name: Parameters<typeof preset>[0]) =>
      makeVoices(making(preset(name).description)).map(({ stemName }) => stemName);
    expect(stemsOf("tarn-duplex")).toContain("pump");
    expect(stemsOf("moss-donkey")).toContain("pump");
    expect(stemsOf("tarn-duplex")).not.toContain("knocks");
    expect(stemsOf("tarn-duplex")).not.toContain("wheels");
    expect(stemsOf("oxmoor-mill")).not.toContain("pump");
  });

  it.each(["cover", "trip", "seat"] as const)(
    "is silent until something is struck (%s), then rings and dies away",
    (what) => {
      const sound = struck(what, 0.3);
      expect(peak(sound.subarray(0, 4700))).toBe(0);
      expect(peak(sound.subarray(4700, 6000))).toBeGreaterThan(0);
      expect(peak(sound.subarray(20_000))).toBeLessThan(1e-3 * peak(sound));
    },
  );

  // A harder blow touches for a shorter time: v^(-1/5). [source: Johnson, Contact Mechanics, 1985, 11.1]
  it("is louder and brighter the harder a piston meets its cover", () => {
    const [soft, hard] = [struck("cover", 0.05), struck("cover", 1)];
    const louder = 20 * Math.log10(peak(hard) / peak(soft));
    // Twenty times the momentum is 26 dB, and what the shorter touch adds.
    expect(louder).toBeGreaterThan(25);
    expect(louder).toBeLessThan(50);
    expect(centroidHz(hard)).toBeGreaterThan(1.1 * centroidHz(soft));
  });

  it("sounds alike from either cylinder", () => {
    expect(energy(struck("trip", 0.5, 1))).toBeCloseTo(energy(struck("trip", 0.5, 0)), 12);
  });

  it("rests, and allocates next to nothing, while nothing moves", () => {
    const made = making(description);
    const voice = new PumpVoice(made);
    voice.settle();
    const { record } = made;
    let turn = 0;
    const perChunk = allocatedBytesPerCall(() => {
      turn++;
      record.trips[0] = turn;
      record.tripMPerS[0] = 0.5;
      for (let r = 0; r < rowsPerChunk; r++) voice.take(r);
      voice.process();
    }, 400);
    expect(perChunk / voice.pressurePa.length).toBeLessThan(0.5);
    const still = new PumpVoice(making(description));
    still.settle();
    expect(peak(sounded(still, 20, () => undefined))).toBe(0);
    expect(still.isIdle).toBe(true);
  });
});
