import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import { buildCli } from "../node/built-cli.js";

/** One of the measuring scripts beside this file, in a Node of its own on the built files. */
function measured<Answer>(script: string, ...words: string[]): Answer {
  const path = fileURLToPath(new URL(script, import.meta.url));
  const result = spawnSync(process.execPath, ["--expose-gc", path, ...words], { encoding: "utf8" });
  expect(result.status, result.stderr).toBe(0);
  return JSON.parse(result.stdout) as Answer;
}

interface Memory {
  frames: number;
  heapBytes: number[];
  bufferBytes: number[];
  beats: number;
}

beforeAll(buildCli);

// [common practice: less than the smallest number a heap can hold, 8 bytes, every 16 samples] Under 0.5 byte allocated
// per sample.
describe("a running machine leaves the heap alone", () => {
  it.each([
    ["harrow-tank", "steady"],
    ["harrow-tank", "lively"],
    ["stell-mineral", "lively"],
    ["pocket-wobbler", "lively"],
    ["hall-exhibit", "steady"],
    ["moss-donkey", "lively"],
  ])("%s, %s: under half a byte a sample", (name, kind) => {
    const { bytesPerSample, places } = measured<{ bytesPerSample: number; places: string[] }>(
      "measure-allocation.mjs",
      name,
      kind,
    );
    console.log(name, kind, bytesPerSample.toFixed(3), places.join("; "));
    expect(bytesPerSample, places.join("; ")).toBeLessThan(0.5);
  });
});

// [common practice: a stream is rendered in constant memory] Memory flat over ten minutes of audio. What grows is the
// list of beats, some tens of bytes each.
describe("a long render does not fill the memory", () => {
  const mostBytes = (beats: number) => 300_000 + 150 * beats;
  it.each([
    ["bench-slide", ["60", "300", "600"]],
    ["harrow-tank", ["20", "60", "120"]],
  ])("%s at %j seconds", (name, moments) => {
    const { frames, heapBytes, bufferBytes, beats } = measured<Memory>("measure-memory.mjs", name, ...moments);
    console.log(name, heapBytes, bufferBytes, beats);
    expect(frames).toBe(48_000 * Number(moments[2]));
    expect(heapBytes[1] - heapBytes[0]).toBeLessThan(mostBytes(beats));
    expect(heapBytes[2] - heapBytes[0]).toBeLessThan(mostBytes(beats));
    expect(bufferBytes[2]).toBe(bufferBytes[0]);
  });
});
