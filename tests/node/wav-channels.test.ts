import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import wavefile from "wavefile";
import { PartFile } from "../../src/node/part-file.js";
import type { SampleFormat } from "../../src/node/wav-chunks.js";
import { WavStream } from "../../src/node/wav-stream.js";

const folder = mkdtempSync(join(tmpdir(), "fourbeat-channels-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let fileCount = 0;

function writeWav(format: SampleFormat, channels: Float64Array[]): Buffer {
  const path = join(folder, `c${fileCount++}.wav`);
  const file = new PartFile(path);
  const channelCount = channels.length;
  const wav = new WavStream(file, { sampleRateHz: 48000, channelCount, format, ditherSeed: 1, fileIndex: 0 });
  wav.write(channels, channels[0]!.length);
  wav.close({ loop: null, cues: [], info: {} });
  file.finish();
  file.publish();
  return readFileSync(path);
}

/** An independent reader, package wavefile. */
function read(bytes: Buffer) {
  const wav = new wavefile.WaveFile();
  wav.fromBuffer(bytes);
  return wav as unknown as {
    fmt: Record<string, number>;
    getSamples(interleaved: boolean, type: typeof Float64Array): Float64Array[];
  };
}

const ramp = (length: number, channel = 0) =>
  Float64Array.from({ length }, (_, i) => 0.9 * Math.sin(0.37 * i + channel) * (i % 7 === 0 ? -1 : 1));

describe("WAV files of several channels", () => {
  it("a stereo pair stands left and right, first-order Ambisonics W, Y, Z, X in no place at all", () => {
    // Channel mask: front left 1, front right 2; 0 where channels belong to no loudspeaker.
    // [source: Microsoft, MS-RDPEAI 2.2.2.3.1; Nachbar et al., AmbiX, 2011: ACN order]
    for (const format of ["16", "24", "32f"] as const) {
      const channels = [0, 1, 2, 3].map((c) => ramp(64, c));
      const bytes = writeWav(format, channels);
      const at = bytes.indexOf("fmt ") + 8;
      expect(bytes.readUInt16LE(at)).toBe(0xfffe);
      expect(bytes.readUInt16LE(at + 2)).toBe(4);
      expect(bytes.readUInt32LE(at + 20)).toBe(0);
      if (format === "32f") continue; // the reader does not follow floats in EXTENSIBLE
      const wav = read(bytes);
      expect(wav.fmt).toMatchObject({ numChannels: 4, dwChannelMask: 0 });
      const back = wav.getSamples(false, Float64Array);
      const full = format === "16" ? 32768 : 8388608;
      back.forEach((samples, c) => {
        samples.forEach((sample, i) => {
          expect(Math.abs(sample / full - channels[c]![i]!)).toBeLessThan(2 / full);
        });
      });
    }
    const pair = read(writeWav("24", [ramp(64), ramp(64, 1)]));
    expect(pair.fmt).toMatchObject({ numChannels: 2, dwChannelMask: 3 });
    // Without EXTENSIBLE two channels are left and right by definition.
    expect(read(writeWav("16", [ramp(64), ramp(64, 1)])).fmt).toMatchObject({ audioFormat: 1, numChannels: 2 });
    expect(read(writeWav("32f", [ramp(64), ramp(64, 1)])).fmt).toMatchObject({ audioFormat: 3, numChannels: 2 });
  });
});
