import type { NoisePeriod } from "../quantities/random.js";
import type { EngineDescription } from "../engine/engine-description.js";
import type { VoiceRecord } from "../engine/voice-record.js";

/** What every voice beside the exhaust is made with. */
export interface VoiceMaking {
  readonly description: EngineDescription;
  /** The engine's, read row by row. */
  readonly record: VoiceRecord;
  readonly sampleRateHz: number;
  /** Audio samples between rows, and rows to a chunk. */
  readonly samplesPerRow: number;
  readonly rowsPerChunk: number;
  readonly seed: number;
  /** Every noise stream is made with it, so that a loop's noise repeats. */
  readonly noisePeriod: NoisePeriod;
  /** Free field, straight from the source. */
  readonly distanceM: number;
  readonly airDensityKgPerM3: number;
  readonly airSoundSpeedMPerS: number;
}

/**
 * One stem beside those of the exhaust: follows the engine's record row by row and makes sound pressure at the listener.
 * A voice that has nothing to say costs nothing: it says so by `isIdle` and leaves `pressurePa` alone, all zero.
 */
export interface Voice {
  readonly stemName: string;
  /** The chunk last made, Pa. */
  readonly pressurePa: Float64Array;
  /** True while nothing sounds: `pressurePa` is all zero and `process` need not be called. Set by `take` and `process`. */
  readonly isIdle: boolean;
  /** True where the chunk begun at its row 0 may go without `take` as long as `isStill` says so; left out: never. */
  readonly isAsleep?: boolean;
  /** Whether the record as it stands has nothing for this voice. */
  isStill?(): boolean;
  /** State only: silence, at the beginning of its noise. */
  reset(): void;
  /** State only: as if the record had stood as it is for long. */
  settle(): void;
  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void;
  /** Takes the record for row `r` of the chunk, at the row's first tick. Levels are led to it over the row. */
  take(r: number): void;
  /** Makes the chunk. */
  process(): void;
}
