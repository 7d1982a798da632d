import {
  closeSync,
  existsSync,
  mkdtempSync,
  openSync,
  readFileSync,
  readSync,
  rmSync,
  statSync,
  truncateSync,
} from "node:fs";
import { spawnSync } from "node:child_process";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import wavefile from "wavefile";
import { PartFile } from "../../src/node/part-file.js";
import { WavStream } from "../../src/node/wav-stream.js";
import type { SampleFormat, WavTail } from "../../src/node/wav-chunks.js";

const folder = mkdtempSync(join(tmpdir(), "fourbeat-wav-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const noTail: WavTail = { loop: null, cues: [], info: {} };
let fileCount = 0;

interface Options {
  rate?: number;
  seed?: number;
  fileIndex?: number;
  cut?: number;
  tail?: WavTail;
  riffLimitBytes?: number;
}

function writeWav(format: SampleFormat, channels: Float64Array[], options: Options = {}) {
  const path = join(folder, `t${fileCount++}.wav`);
  const file = new PartFile(path);
  const wav = new WavStream(file, {
    sampleRateHz: options.rate ?? 48000,
    channelCount: channels.length,
    format,
    ditherSeed: options.seed ?? 1,
    fileIndex: options.fileIndex ?? 0,
    ...(options.riffLimitBytes === undefined ? {} : { riffLimitBytes: options.riffLimitBytes }),
  });
  const length = channels[0]!.length;
  const cut = options.cut ?? length;
  for (let at = 0; at < length; at += cut) {
    const count = Math.min(cut, length - at);
    wav.write(
      channels.map((channel) => channel.subarray(at, at + count)),
      count,
    );
  }
  wav.close(options.tail ?? noTail);
  file.finish();
  file.publish();
  return { path, bytes: readFileSync(path), clipped: wav.clippedSamples };
}

/** An independent reader (package wavefile), so that our own idea of the format is not the judge of itself. */
function read(bytes: Buffer) {
  const wav = new wavefile.WaveFile();
  wav.fromBuffer(bytes);
  return wav as unknown as {
    container: string;
    fmt: Record<string, number>;
    fact: Record<string, number>;
    smpl: {
      loops: Record<string, number>[];
      dwMIDIUnityNote: number;
      dwNumSampleLoops: number;
      dwSamplePeriod: number;
    };
    LIST: { format: string; subChunks: { chunkId: string; value: string }[] }[];
    data: { samples: Uint8Array; chunkSize: number };
    ds64: Record<string, number>;
    getSamples(interleaved: boolean, type: typeof Float64Array): Float64Array | Float64Array[];
    listCuePoints(): { position: number; label: string }[];
  };
}

const ramp = (length: number, channel = 0) =>
  Float64Array.from({ length }, (_, i) => 0.9 * Math.sin(0.37 * i + channel) * (i % 7 === 0 ? -1 : 1));

describe("WAV files as an independent reader sees them", () => {
  for (const [format, stepsToFull] of [
    ["16", 32768],
    ["24", 8388608],
    ["32f", 0],
  ] as const) {
    for (const length of [1, 2, 3, 997]) {
      for (const channelCount of format === "32f" ? [1, 2] : [1, 2, 3]) {
        it(`${format} bit, ${length} frames, ${channelCount} channels come back within a step`, () => {
          const channels = Array.from({ length: channelCount }, (_, c) => ramp(length, c));
          const { bytes, clipped } = writeWav(format, channels);
          const wav = read(bytes);
          expect(clipped).toBe(0);
          expect(wav.container).toBe("RIFF");
          expect(bytes.length % 2).toBe(0);
          expect(bytes.readUInt32LE(4)).toBe(bytes.length - 8);
          expect(wav.fmt.sampleRate).toBe(48000);
          expect(wav.fmt.numChannels).toBe(channelCount);
          expect(wav.data.chunkSize).toBe(length * channelCount * (format === "16" ? 2 : format === "24" ? 3 : 4));
          const samples = wav.getSamples(true, Float64Array) as Float64Array;
          expect(samples.length).toBe(length * channelCount);
          // At 16 bit: half a step of rounding and up to one step of dither.
          const allowed = format === "16" ? 1.5 : format === "24" ? 0.5 + 1e-6 : 0;
          for (let i = 0; i < samples.length; i++) {
            const wanted = channels[i % channelCount]![Math.floor(i / channelCount)]!;
            if (format === "32f") expect(samples[i]).toBe(Math.fround(wanted));
            else expect(Math.abs(samples[i]! - Math.fround(wanted) * stepsToFull)).toBeLessThanOrEqual(allowed + 1e-9);
          }
        });
      }
    }
  }

  it("says PCM plainly at 16 bit, EXTENSIBLE at 24 bit, float with a fact chunk at 32f", () => {
    // [source: Microsoft, Multiple channel audio data and WAVE files, 2007: format tags 1, 3, 0xFFFE, cbSize 22, PCM GUID]
    const plain = read(writeWav("16", [ramp(5)]).bytes);
    expect(plain.fmt).toMatchObject({ audioFormat: 1, chunkSize: 16, bitsPerSample: 16 });
    const wide = read(writeWav("24", [ramp(5)]).bytes);
    expect(wide.fmt).toMatchObject({
      audioFormat: 0xfffe,
      chunkSize: 40,
      cbSize: 22,
      validBitsPerSample: 24,
      dwChannelMask: 4,
    });
    expect(wide.fmt.subformat).toEqual([1, 0x00100000, 0xaa000080, 0x719b3800]);
    const float = read(writeWav("32f", [ramp(5)]).bytes);
    expect(float.fmt).toMatchObject({ audioFormat: 3, chunkSize: 18, cbSize: 0 });
    expect(float.fact.dwSampleLength).toBe(5);
    // Three channels of float are EXTENSIBLE too; the reader does not follow that, so: sub-format 3 by its bytes.
    const wideFloat = writeWav("32f", [ramp(5), ramp(5), ramp(5)]).bytes;
    const at = wideFloat.indexOf("fmt ");
    expect(wideFloat.readUInt16LE(at + 8)).toBe(0xfffe);
    expect(wideFloat.readUInt16LE(at + 8 + 24)).toBe(3);
  });

  it("gives loop, cue points, labels and words back to the sample", () => {
    const tail: WavTail = {
      loop: { firstFrame: 0, lastFrame: 32 },
      cues: [
        { frame: 3, label: "cylinder 1 head" },
        { frame: 20, label: "rückwärts" },
      ],
      info: { INAM: "Harrow shunter", ISFT: "fourbeat" },
    };
    for (const format of ["16", "24", "32f"] as const) {
      const wav = read(writeWav(format, [ramp(33)], { tail, rate: 44100 }).bytes);
      expect(wav.smpl).toMatchObject({ dwNumSampleLoops: 1, dwMIDIUnityNote: 60, dwSamplePeriod: 22676 });
      expect(wav.smpl.loops[0]).toMatchObject({ dwType: 0, dwStart: 0, dwEnd: 32, dwPlayCount: 0 });
      // The reader tells positions in milliseconds.
      const cues = wav.listCuePoints();
      expect(cues.map((cue) => Math.round((cue.position / 1000) * 44100))).toEqual([3, 20]);
      expect(cues[0]!.label).toBe("cylinder 1 head");
      const info = wav.LIST.find((list) => list.format === "INFO")!;
      expect(info.subChunks.map((item) => [item.chunkId, item.value])).toEqual([
        ["INAM", "Harrow shunter"],
        ["ISFT", "fourbeat"],
      ]);
    }
  });

  it("becomes RF64 with the true sizes beyond the limit", () => {
    // [source: EBU Tech 3306, 2009: RF64, sizes -1 in the 32 bit fields, ds64 first]
    const { bytes } = writeWav("24", [ramp(1001)], { riffLimitBytes: 1000 });
    const wav = read(bytes);
    expect(wav.container).toBe("RF64");
    // Each size low word first (the reader used here names the two words the other way round, so: by their bytes).
    expect(bytes.toString("latin1", 12, 16)).toBe("ds64");
    expect(bytes.readUInt32LE(16)).toBe(28);
    expect(Number(bytes.readBigUInt64LE(20))).toBe(bytes.length - 8);
    expect(Number(bytes.readBigUInt64LE(28))).toBe(3003);
    expect(Number(bytes.readBigUInt64LE(36))).toBe(1001);
    expect(bytes.readUInt32LE(4)).toBe(0xffffffff);
    expect((wav.getSamples(true, Float64Array) as Float64Array).length).toBe(1001);
  });

  it("opens in sox or ffprobe, where they are installed, and in the other reader in any case", () => {
    const { path, bytes } = writeWav("24", [ramp(4800)], {
      tail: { ...noTail, loop: { firstFrame: 0, lastFrame: 4799 } },
    });
    expect((read(bytes).getSamples(true, Float64Array) as Float64Array).length).toBe(4800);
    const sox = spawnSync("soxi", ["-D", path], { encoding: "utf8" });
    const probe = spawnSync("ffprobe", ["-v", "error", "-show_entries", "format=duration", "-of", "csv=p=0", path], {
      encoding: "utf8",
    });
    const answers = [sox, probe].filter((result) => result.error === undefined);
    if (answers.length === 0)
      console.log("Neither sox nor ffprobe is installed: only the other reader of this file was asked.");
    for (const answer of answers) expect(Number(answer.stdout)).toBeCloseTo(0.1, 6);
  });
});

describe("samples", () => {
  it("are the same bytes however the sound is cut into blocks", () => {
    const channels = [ramp(1000)];
    for (const format of ["16", "24", "32f"] as const) {
      const whole = writeWav(format, channels).bytes;
      for (const cut of [1, 7, 64, 128, 312])
        expect(writeWav(format, channels, { cut }).bytes.equals(whole)).toBe(true);
    }
  });

  it("use one scale for both signs, so that a square wave has no offset", () => {
    const square = Float64Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? 0.75 : -0.75));
    const samples = read(writeWav("24", [square]).bytes).getSamples(true, Float64Array) as Float64Array;
    expect(samples[0]).toBe(0.75 * 8388608);
    expect(samples[1]).toBe(-0.75 * 8388608);
  });

  it("beyond full scale are clipped and counted, but never in floating point", () => {
    const loud = Float64Array.of(0.5, 1.2, -1.2, -1, 0.99, 3);
    for (const [format, top] of [
      ["16", 32767],
      ["24", 8388607],
    ] as const) {
      const { bytes, clipped } = writeWav(format, [loud]);
      const samples = read(bytes).getSamples(true, Float64Array) as Float64Array;
      expect(clipped).toBeGreaterThanOrEqual(3);
      expect(clipped).toBeLessThanOrEqual(format === "16" ? 4 : 3); // at -1 the dither may add one
      expect([samples[1], samples[2], samples[5]]).toEqual([top, -top - 1, top]);
    }
    const float = writeWav("32f", [loud]);
    expect(float.clipped).toBe(0);
    expect((read(float.bytes).getSamples(true, Float64Array) as Float64Array)[5]).toBe(3);
  });

  it("that are not numbers stop the writing", () => {
    for (const bad of [NaN, Infinity, -Infinity]) {
      expect(() => writeWav("32f", [Float64Array.of(0, bad)])).toThrow("not a finite number");
    }
  });
});

describe("dither at 16 bit", () => {
  const at = (level: number, seed = 1, fileIndex = 0) =>
    read(writeWav("16", [new Float64Array(200_000).fill(level)], { seed, fileIndex }).bytes).getSamples(
      true,
      Float64Array,
    ) as Float64Array;
  const mean = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;

  it("keeps a level that lies between two steps", () => {
    // Standard error of the mean: sqrt(0.25 / 200000) = 0.0011 step.
    for (const part of [0.1, 0.25, 0.5, 0.8]) expect(mean(at(part / 32768))).toBeCloseTo(part, 2);
  });

  it("makes the error's power a quarter of a step squared, whatever the signal", () => {
    // TPDF: total error variance is 1/4 step squared. [source: Lipshitz, Wannamaker, Vanderkooy, J. AES 40, 1992, eq. for TPDF]
    for (const part of [0, 0.3, 0.5]) {
      const error = at(part / 32768).map((value) => value - part);
      expect(mean(error.map((value) => value * value))).toBeCloseTo(0.25, 2);
    }
  });

  it("repeats with the seed and differs between seeds and files", () => {
    const bytes = (seed: number, fileIndex: number) =>
      writeWav("16", [new Float64Array(1000)], { seed, fileIndex }).bytes;
    expect(bytes(5, 0).equals(bytes(5, 0))).toBe(true);
    expect(bytes(5, 0).equals(bytes(6, 0))).toBe(false);
    expect(bytes(5, 0).equals(bytes(5, 1))).toBe(false);
  });
});

describe("a file longer than 4 GiB", () => {
  it("counts its sizes in 64 bit", () => {
    // A sparse file stands for the samples: only the header is written by us.
    const path = join(folder, "long.wav");
    const file = new PartFile(path);
    const wav = new WavStream(file, {
      sampleRateHz: 192000,
      channelCount: 1,
      format: "32f",
      ditherSeed: 1,
      fileIndex: 0,
    });
    const frames = 1_200_000_000;
    wav.frameCount = frames;
    wav.close(noTail);
    file.finish();
    file.publish();
    const head = Buffer.alloc(100);
    const descriptor = openSync(path, "r");
    readSync(descriptor, head, 0, 100, 0);
    closeSync(descriptor);
    expect(head.toString("latin1", 0, 4)).toBe("RF64");
    expect(head.toString("latin1", 12, 16)).toBe("ds64");
    expect(Number(head.readBigUInt64LE(28))).toBe(frames * 4);
    expect(Number(head.readBigUInt64LE(36))).toBe(frames);
    expect(statSync(path).size).toBeLessThan(1000);
    truncateSync(path, 0);
    expect(existsSync(path)).toBe(true);
  });
});
