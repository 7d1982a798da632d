import type { VoiceMaking } from "./voice.js";
import { VoiceStem } from "./voice-stem.js";
import { makeVoices } from "./voices.js";

/** The stems of all voices beside the exhaust's, as one. */
export class VoiceStems {
  readonly stems: readonly VoiceStem[];

  /** @param lagSamples by how much the voices have yet to wait for the exhaust's stems */
  constructor(making: VoiceMaking, hasVoices: boolean, lagSamples: number) {
    this.stems = (hasVoices ? makeVoices(making) : []).map((voice) => new VoiceStem(voice, lagSamples));
  }

  /** State only: silence. */
  reset(): void {
    for (const stem of this.stems) stem.reset();
  }

  /** State only: as if the record had stood as it is for long. */
  settle(): void {
    for (const stem of this.stems) stem.settle();
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    for (const stem of this.stems) stem.setNextSampleIndex(index);
  }

  /** Takes the record for row `r`. */
  take(r: number): void {
    const { stems } = this;
    for (let v = 0; v < stems.length; v++) stems[v]!.take(r);
  }

  /** Makes the chunk. */
  process(): void {
    const { stems } = this;
    for (let v = 0; v < stems.length; v++) stems[v]!.process();
  }

  /** Whether the stem at a place is all zero in this chunk; false beyond them. */
  isSilent(place: number): boolean {
    return place >= 0 && place < this.stems.length && !this.stems[place]!.isHeard;
  }
}
