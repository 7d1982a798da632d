import type { NoisePeriod } from "../quantities/random.js";

/** Where a chunk of ticks becomes audio, and who listens. */
export interface VoiceSettings {
  readonly sampleRateHz: number;
  readonly samplesPerTick: number;
  readonly ticksPerChunk: number;
  /** Ticks averaged into one row where there are several to a sample. */
  readonly ticksPerSample: number;
  readonly seed: number;
  /** Every noise stream is made with it, so that a loop's noise repeats. */
  readonly noisePeriod: NoisePeriod;
  readonly distanceM: number;
}
