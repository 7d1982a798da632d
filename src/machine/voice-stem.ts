import type { Voice } from "./voice.js";

type Sleeper = Voice & { isStill(): boolean };

/**
 * A voice as a stem of the machine: late by as many samples as the exhaust's stems are, and skipped while it has nothing
 * to say.
 */
export class VoiceStem {
  /** The chunk last made, Pa. All zero where `isHeard` is false. */
  readonly pressurePa: Float64Array;
  isHeard = false;

  private readonly delayed: Float64Array;
  private readonly chunkFrames: number;
  private wasHeard = false;
  // The voice itself where it is asleep for this chunk.
  private sleeper: Sleeper | null = null;

  /** @param lagSamples by how much the voice's own samples have yet to wait */
  constructor(
    private readonly voice: Voice,
    lagSamples: number,
  ) {
    this.chunkFrames = voice.pressurePa.length;
    this.delayed = new Float64Array(this.chunkFrames + lagSamples);
    this.pressurePa = this.delayed.subarray(0, this.chunkFrames);
  }

  get name(): string {
    return this.voice.stemName;
  }

  /** State only: silence. */
  reset(): void {
    this.voice.reset();
    this.delayed.fill(0);
    this.isHeard = this.wasHeard = false;
    this.sleeper = null;
  }

  /** State only: as if the record had stood as it is for long. */
  settle(): void {
    this.sleeper = null;
    this.voice.settle();
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    this.voice.setNextSampleIndex(index);
  }

  /** Takes the record for row `r`. */
  take(r: number): void {
    const { sleeper, voice } = this;
    if (r > 0 && sleeper !== null) {
      if (sleeper.isStill()) return;
      this.sleeper = null;
    }
    voice.take(r);
    if (r === 0) this.sleeper = voice.isAsleep === true && voice.isStill !== undefined ? (voice as Sleeper) : null;
  }

  /** Makes the chunk. */
  process(): void {
    const { voice, delayed, chunkFrames } = this;
    const isIdle = voice.isIdle;
    if (isIdle && !this.wasHeard) {
      if (this.isHeard) delayed.fill(0);
      this.isHeard = false;
      return;
    }
    delayed.copyWithin(0, chunkFrames);
    if (isIdle) delayed.fill(0, delayed.length - chunkFrames);
    else {
      voice.process();
      delayed.set(voice.pressurePa, delayed.length - chunkFrames);
    }
    this.isHeard = true;
    this.wasHeard = !isIdle;
  }
}
