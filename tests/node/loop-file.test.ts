import { readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { buildCli, expectRefusal, fourValues, Workplace } from "./built-cli.js";

const place = new Workplace();
beforeAll(() => {
  buildCli();
  place.write("mill.yaml", fourValues);
});
afterAll(() => place.remove());

/**
 * Chunks of a RIFF file by their letters, walked by lengths and pad bytes alone.
 * [source: Multimedia Programming Interface and Data Specifications 1.0, IBM and Microsoft, 1991, RIFF]
 */
function chunksOf(path: string): Map<string, DataView> {
  const bytes = readFileSync(path);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const letters = (at: number) => bytes.toString("latin1", at, at + 4);
  expect([letters(0), letters(8)]).toEqual(["RIFF", "WAVE"]);
  expect(view.getUint32(4, true)).toBe(bytes.length - 8);
  const chunks = new Map<string, DataView>();
  let at = 12;
  while (at < bytes.length) {
    const length = view.getUint32(at + 4, true);
    chunks.set(letters(at), new DataView(bytes.buffer, bytes.byteOffset + at + 8, length));
    at += 8 + length + (length % 2);
  }
  expect(at).toBe(bytes.length);
  return chunks;
}

/** Of one sample loop: type, first and last frame, how often. [source: RIFF MCI, Microsoft 1994, smpl chunk] */
function loopOf(path: string) {
  const chunks = chunksOf(path);
  const sampler = chunks.get("smpl")!;
  const word = (index: number) => sampler.getUint32(4 * index, true);
  expect(sampler.byteLength).toBe(36 + 24);
  expect(word(7)).toBe(1); // one loop
  const frameBytes = chunks.get("fmt ")!.getUint16(12, true);
  return {
    periodNs: word(2),
    type: word(10),
    first: word(11),
    last: word(12),
    times: word(14),
    frameCount: chunks.get("data")!.byteLength / frameBytes,
  };
}

interface Report {
  readonly seconds: number;
  readonly turns: number;
  readonly speedRpm: number;
  readonly beatsPerTurn: number;
  readonly beats: readonly object[];
  readonly warnings: readonly string[];
  readonly stems: readonly { readonly file: string }[];
}

describe("render --loop", () => {
  it("marks whole turns in mix and stems, from the first sample to the last", () => {
    const words = ["render", "mill.yaml", "--loop", "--turns", "2", "--speed", "66 rpm", "--stems", "--beats", "b.csv"];
    const result = place.run([...words, "-o", "loop.wav", "--full-scale", "50 Pa", "--json"]);
    expect(result.code, result.err).toBe(0);
    const report = JSON.parse(result.out) as Report;
    // Two turns at 66 rpm are 87272.7 samples; the nearest tick of 4 samples is 87272.
    const frameCount = 87_272;
    expect(report.seconds).toBe(frameCount / 48_000);
    expect(report.turns).toBe(2);
    expect(report.speedRpm).toBeCloseTo((120 * 48_000) / frameCount, 9);
    expect(report.warnings.join()).toMatch(/66\.00055 rpm instead of 66 rpm/);
    expect(result.err).toMatch(/66\.00055 rpm instead of 66 rpm/);
    const files = ["loop.wav", ...report.stems.map(({ file }) => file)];
    expect(files.length).toBeGreaterThan(2);
    for (const file of files) {
      const loop = { periodNs: 20_833, type: 0, first: 0, last: frameCount - 1, times: 0, frameCount };
      expect(loopOf(join(place.folder, file)), file).toEqual(loop);
    }
    const rows = readFileSync(join(place.folder, "b.csv"), "utf8").trim().split("\n");
    expect(rows.length - 1).toBe(2 * report.beatsPerTurn);
    expect(report.beats).toHaveLength(2 * report.beatsPerTurn);
  });

  it("without it there is no mark", () => {
    expect(place.run(["render", "mill.yaml", "--seconds", "0.1", "-o", "plain.wav"]).code).toBe(0);
    expect(chunksOf(join(place.folder, "plain.wav")).has("smpl")).toBe(false);
  });

  it("refuses what has no turn to repeat, and leaves no sound", () => {
    place.write("day.yaml", "machine: mill.yaml\nseconds: 2\ncontrols: [{ at: 0 s, speed: 30 rpm }]\n");
    const sounds = () => place.files().filter((name) => name.endsWith(".wav"));
    const before = sounds();
    expectRefusal(place.run(["render", "day.yaml", "--loop"]), /a run cannot be looped/);
    const still = ["render", "mill.yaml", "--loop", "--speed", "0 rpm"];
    expectRefusal(place.run(still), /standing shaft cannot be looped/);
    const odd = ["render", "mill.yaml", "--loop", "--turns", "1", "--speed", "280 rpm", "--rate", "44100"];
    expectRefusal(place.run(odd), /1 turn at this speed and rate does not fill .* The nearest that do: 4\./);
    expect(sounds()).toEqual(before);
  });
});
