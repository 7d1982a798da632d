import { createHash } from "node:crypto";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { decibels, greatestOf, preset, presetNames, rendered, request, rmsOf } from "../offline/renders.js";

/** What is kept of a render: enough to see that a sound has changed, and by how much. */
interface Kept {
  readonly peakDb: number;
  readonly stemRmsDb: readonly number[];
  readonly beatsMs: readonly number[];
  readonly flowKgPerS: number;
  /** Of the mix's bits. The core's arithmetic is the same in every engine, so this is too. */
  readonly sha256: string;
}

const place = (name: string) => fileURLToPath(new URL(name, import.meta.url));
const storeFile = place("renders.json");
// FOURBEAT_RECORD_GOLDEN=1 writes the store anew: do so only with a line under "Sound" in the changelog.
const isRecording = process.env.FOURBEAT_RECORD_GOLDEN === "1";
const seconds = 1.5;

function keep(name: (typeof presetNames)[number]): Kept {
  const { mix, stems, beats, summary } = rendered(request(preset(name), { seconds, seed: 1 }));
  return {
    peakDb: decibels(greatestOf(mix)),
    stemRmsDb: stems.map((stem) => decibels(rmsOf(stem))),
    beatsMs: beats.slice(0, 4).map((beat) => 1000 * beat.timeS),
    flowKgPerS: summary.meanFlowKgPerS,
    sha256: createHash("sha256").update(new Uint8Array(mix.buffer)).digest("hex"),
  };
}

const near = (got: number, kept: number | null, tolerance: number) =>
  kept === null || !Number.isFinite(got) ? kept === null && !Number.isFinite(got) : Math.abs(got - kept) <= tolerance;

describe("stored renders of the shipped machines", () => {
  const store: Record<string, Kept> = existsSync(storeFile)
    ? (JSON.parse(readFileSync(storeFile, "utf8")) as Record<string, Kept>)
    : {};
  const found: Record<string, Kept> = {};

  it.each(presetNames)("%s sounds as it did: 0.1 dB, 0.05 ms, and the same bits", (name) => {
    const got = keep(name);
    found[name] = got;
    if (isRecording) {
      writeFileSync(storeFile, `${JSON.stringify({ ...store, ...found }, null, 2)}\n`);
      return;
    }
    const kept = store[name];
    expect(kept, `no stored render of ${name}`).toBeDefined();
    const isSame =
      near(got.peakDb, kept.peakDb, 0.1) &&
      got.stemRmsDb.every((level, i) => near(level, kept.stemRmsDb[i], 0.1)) &&
      got.beatsMs.length === kept.beatsMs.length &&
      got.beatsMs.every((ms, i) => near(ms, kept.beatsMs[i], 0.05)) &&
      near(got.flowKgPerS, kept.flowKgPerS, 1e-3 * Math.abs(kept.flowKgPerS));
    if (!isSame || got.sha256 !== kept.sha256) {
      writeFileSync(place(`${name}-changed.json`), `${JSON.stringify(got, null, 2)}\n`);
    }
    expect(isSame, `was ${JSON.stringify(kept)}, is ${JSON.stringify(got)}`).toBe(true);
    expect(got.sha256, "same levels, other bits: say so under Sound in the changelog").toBe(kept.sha256);
  });
});
