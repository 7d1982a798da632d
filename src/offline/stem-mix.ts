import type { Machine } from "../machine/machine.js";
import { HighPass } from "../sound/high-pass.js";

// A stem that has been silent for so long has left its filter at rest: 8 Hz has fallen by far more than 200 dB.
// [common practice]
const restS = 2;

/** A machine's stems as files hold them: high-passed, in units of full scale, and their sum. A silent stem costs nothing. */
export class StemMix {
  readonly stems: Float64Array[];
  readonly mix: Float64Array;

  private readonly filters: readonly HighPass[];
  /** For how many frames each stem has been silent. */
  private readonly silentFrames: Float64Array;
  private readonly everHeard: Uint8Array;
  private readonly restFrames: number;

  /** @param mostFrames longest stretch asked for at once */
  constructor(
    private readonly machine: Machine,
    private readonly fullScalePa: number,
    mostFrames: number,
  ) {
    const { stemNames, sampleRateHz } = machine;
    this.stems = stemNames.map(() => new Float64Array(mostFrames));
    this.mix = new Float64Array(mostFrames);
    this.filters = stemNames.map(() => new HighPass(sampleRateHz));
    this.restFrames = restS * sampleRateHz;
    this.silentFrames = new Float64Array(stemNames.length).fill(this.restFrames);
    this.everHeard = new Uint8Array(stemNames.length);
  }

  /** Whether a stem, by its place, has given anything but silence so far. */
  wasHeard(stem: number): boolean {
    return this.everHeard[stem] === 1;
  }

  /** Runs the machine on and fills `stems` and `mix`. */
  make(frames: number): void {
    const { stems, mix, filters, silentFrames, everHeard, machine, restFrames } = this;
    const scale = 1 / this.fullScalePa;
    machine.process(stems, frames);
    for (let s = 0; s < stems.length; s++) {
      const isHeard = machine.heard[s] === 1;
      silentFrames[s] = isHeard ? 0 : silentFrames[s]! + frames;
      if (isHeard) everHeard[s] = 1;
      // The first stem begins the mix, silent or not.
      if (s > 0 && silentFrames[s]! > restFrames) continue;
      filters[s]!.process(stems[s]!, stems[s]!, frames);
      addScaled(stems[s]!, scale, mix, frames, s === 0);
    }
  }
}

/** Brings a stem to full-scale units in place and adds it to the mix, or begins the mix with it. */
function addScaled(stem: Float64Array, scale: number, mix: Float64Array, frames: number, isFirst: boolean): void {
  for (let i = 0; i < frames; i++) {
    const value = scale * stem[i]!;
    stem[i] = value;
    mix[i] = isFirst ? value : mix[i]! + value;
  }
}
