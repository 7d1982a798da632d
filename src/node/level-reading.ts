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

/** Reads the levels of one channel as it streams past, in constant memory. */
export class LevelReading {
  private readonly loudness: LoudnessMeter;
  private readonly truePeak = new TruePeakMeter(1);
  private floats = new Float32Array(0);
  private peak = 0;
  private energy = 0;
  private count = 0;

  constructor(sampleRateHz: number) {
    this.loudness = new LoudnessMeter(sampleRateHz, 1);
  }

  add(samples: Float64Array, frameCount: number): void {
    if (this.floats.length < frameCount) this.floats = new Float32Array(frameCount);
    const floats = this.floats;
    let peak = this.peak;
    let energy = 0;
    for (let i = 0; i < frameCount; i++) {
      const sample = samples[i]!;
      floats[i] = sample;
      energy += sample * sample;
      const size = Math.abs(sample);
      if (size > peak) peak = size;
    }
    this.peak = peak;
    this.energy += energy;
    this.count += frameCount;
    this.loudness.process([floats], frameCount);
    this.truePeak.process([floats], frameCount);
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
