import { expect } from "vitest";
import { beatCentroids } from "../../src/listening/beat-centroids.js";
import type { MachineFile } from "../../src/preset/machine-file.js";
import { eventsOf, rendered, request } from "../offline/renders.js";

export interface HeardBeat {
  readonly centroidDeg: number;
  readonly levelDb: number;
  readonly releaseDeg: number;
}

export interface Heard {
  /** Maxima of 3 dB of prominence in the folded 300-4000 Hz envelope. */
  readonly maximaCount: number;
  /** By cylinder and end: "2 crank". */
  readonly beats: ReadonlyMap<string, HeardBeat>;
}

/** What a listener measures of a steady render in full gear: centroids of the folded envelope, named by their ends. */
export function heard(machine: MachineFile, setting: { turns: number; speedRpm: number; seed?: number }): Heard {
  const { turns, speedRpm, seed = 1 } = setting;
  const { mix, beats } = rendered(request(machine, { turns, speedRpm, seed }));
  const events = eventsOf(machine, null, speedRpm).beats;
  expect(beats.length).toBe(events.length * turns);
  const radPerSample = (speedRpm * Math.PI) / 30 / 48_000;
  const measured = beatCentroids({
    samples: mix,
    sampleRateHz: 48_000,
    shaftAngleRad: Float64Array.from(mix, (_, i) => radPerSample * i),
    expectedBeatDeg: events.map(({ shaftDeg }) => shaftDeg),
  });
  const named = events.map(({ cylinder, end, shaftDeg }, i): [string, HeardBeat] => {
    const { centroidDeg, levelDb } = measured.beats[i];
    return [`${cylinder} ${end}`, { centroidDeg, levelDb, releaseDeg: shaftDeg }];
  });
  return { maximaCount: measured.maximaCount, beats: new Map(named) };
}
