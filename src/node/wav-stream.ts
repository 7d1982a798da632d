import WavEncoder from "wav-encoder";
import { NoiseStream } from "../quantities/random.js";
import type { PartFile } from "./part-file.js";
import { bytesPerSample, wavHeader, wavTail, type SampleFormat, type WavTail } from "./wav-chunks.js";

export interface WavSettings {
  readonly sampleRateHz: number;
  readonly channelCount: number;
  readonly format: SampleFormat;
  /** Of the dither at 16 bit: the same seed gives the same bytes. */
  readonly ditherSeed: number;
  /** Counts the files of one render from 0, so that no two share their dither. */
  readonly fileIndex: number;
  /** Beyond this many bytes the file becomes RF64. Only tests set it lower than the 32 bit that RIFF can count. */
  readonly riffLimitBytes?: number;
}

// Dither's noise streams stand clear of those of the machine's own sources, which count from 0.
const firstDitherStream = 0x10000;

// wav-encoder puts a header of this length before the samples of each block; ours stands at the front of the file instead.
const encoderHeaderBytes = 44;

/**
 * A WAV file written block by block in constant memory.
 *
 * Samples are encoded by wav-encoder, the same scale for both signs; the frame round them is ours. At 16 bit each sample
 * gets triangular dither of two steps' width, addressed by its place, so that the bytes do not depend on how the sound is
 * cut into blocks. Samples beyond full scale are clipped and counted (never in `32f`). A sample that is not a finite number
 * is our own fault and stops the writing: no file ever holds one.
 *
 * Write to it, then `close(tail)`; the `PartFile` then waits to be finished and published.
 */
export class WavStream {
  frameCount = 0;
  clippedSamples = 0;
  /** Greatest sample so far, before clipping, either sign; 1.0 is full scale. */
  greatest = 0;
  private readonly dither: NoiseStream | null;
  private readonly riffLimitBytes: number;
  private floats: Float32Array[] = [];

  constructor(
    private readonly file: PartFile,
    private readonly settings: WavSettings,
  ) {
    this.dither =
      settings.format === "16" ? new NoiseStream(settings.ditherSeed, firstDitherStream + settings.fileIndex) : null;
    this.riffLimitBytes = settings.riffLimitBytes ?? 0xffffffff;
    file.write(this.header(0));
  }

  /** Appends the first `frameCount` frames of every channel; 1.0 is full scale. */
  write(channels: readonly Float64Array[], frameCount: number): void {
    const { channelCount, format, sampleRateHz } = this.settings;
    if (channels.length !== channelCount) {
      throw new TypeError(`WavStream: channels must be ${channelCount}, got ${channels.length}.`);
    }
    if (this.floats[0]?.length !== frameCount) {
      this.floats = Array.from({ length: channelCount }, () => new Float32Array(frameCount));
    }
    channels.forEach((channel, c) => this.fill(channel, this.floats[c]!, c));
    const encoded = WavEncoder.encode.sync(
      { sampleRate: sampleRateHz, channelData: this.floats },
      { bitDepth: bytesPerSample(format) * 8, float: format === "32f", symmetric: true },
    );
    this.file.write(new Uint8Array(encoded, encoderHeaderBytes));
    this.frameCount += frameCount;
  }

  /** Writes what follows the samples and puts the true sizes into the header. */
  close(tail: WavTail): void {
    const { channelCount, format, sampleRateHz } = this.settings;
    const dataBytes = this.frameCount * channelCount * bytesPerSample(format);
    if (dataBytes % 2 === 1) this.file.write(new Uint8Array(1));
    const tailBytes = wavTail(tail, sampleRateHz);
    this.file.write(tailBytes);
    this.file.writeAt(this.header(tailBytes.length), 0);
  }

  private header(tailBytes: number): Buffer {
    const { sampleRateHz, channelCount, format } = this.settings;
    return wavHeader(sampleRateHz, channelCount, format, this.frameCount, tailBytes, this.riffLimitBytes);
  }

  private fill(channel: Float64Array, floats: Float32Array, channelIndex: number): void {
    const { channelCount, format } = this.settings;
    const steps = format === "16" ? 32768 : 8388608; // from zero to full scale
    const isWhole = format !== "32f";
    const dither = this.dither;
    for (let i = 0; i < floats.length; i++) {
      let sample = channel[i]!;
      if (sample - sample !== 0) throw new Error(`WavStream: sample ${this.frameCount + i} is not a finite number.`);
      if (dither !== null) {
        // Two even draws of one step each, added: a triangle, the least dither that frees the noise from the signal.
        // [source: Lipshitz, Wannamaker, Vanderkooy, Quantization and dither: a theoretical survey, J. AES 40, 1992]
        const place = 2 * ((this.frameCount + i) * channelCount + channelIndex);
        sample += (0.5 * (dither.uniformAt(place) + dither.uniformAt(place + 1))) / steps;
      }
      floats[i] = sample;
      if (sample > this.greatest) this.greatest = sample;
      else if (-sample > this.greatest) this.greatest = -sample;
      if (isWhole) {
        const whole = Math.round(floats[i]! * steps);
        if (whole > steps - 1 || whole < -steps) this.clippedSamples++;
      }
    }
  }
}
