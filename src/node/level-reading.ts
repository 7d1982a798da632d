import { amplitudeDb, powerDb } from "../listening/decibels.js";
import { LoudnessMeter } from "../listening/loudness-meter.js";
import { TruePeakMeter } from "../listening/true-peak-meter.js";

/** The levels of a finished signal, re full scale; -Infinity for silence. */
export interface Levels {
  readonly peakDbfs: number;
  /** 0 dB is a square wave at full scale. */
  readonly rmsDbfs: number;
  readonly loudnessLufs: number;
  readonly truePeakDbtp: number;
}

/** Reads the levels of one channel, a stereo pair, or of W of Ambisonics, as they stream past, in constant memory. */
export class LevelReading {
  private readonly loudness: LoudnessMeter;
  private readonly truePeak: TruePeakMeter;
  private readonly channelCount: number;
  private floats: Float32Array[];
  private peak = 0;
  private energy = 0;
  private count = 0;

  constructor(sampleRateHz: number, channelCount: number) {
    this.channelCount = channelCount === 2 ? 2 : 1;
    this.loudness = new LoudnessMeter(sampleRateHz, this.channelCount);
    this.truePeak = new TruePeakMeter(this.channelCount);
    this.floats = Array.from({ length: this.channelCount }, () => new Float32Array(0));
  }

  add(channels: readonly Float64Array[], frameCount: number): void {
    if (this.floats[0]!.length < frameCount) this.floats = this.floats.map(() => new Float32Array(frameCount));
    let peak = this.peak;
    let energy = 0;
    for (let c = 0; c < this.channelCount; c++) {
      const samples = channels[c]!;
      const floats = this.floats[c]!;
      for (let i = 0; i < frameCount; i++) {
        const sample = samples[i]!;
        floats[i] = sample;
        energy += sample * sample;
        const size = Math.abs(sample);
        if (size > peak) peak = size;
      }
    }
    this.peak = peak;
    this.energy += energy;
    this.count += frameCount * this.channelCount;
    this.loudness.process(this.floats, frameCount);
    this.truePeak.process(this.floats, frameCount);
  }

  reading(): Levels {
    return {
      peakDbfs: amplitudeDb(this.peak),
      rmsDbfs: powerDb(this.count === 0 ? 0 : this.energy / this.count),
      loudnessLufs: this.loudness.integratedLufs(),
      truePeakDbtp: this.truePeak.truePeakDbtp(),
    };
  }
}
