import type { Machine } from "../machine/machine.js";
import type { Hearing } from "./hearing.js";
import { HighPass } from "../sound/high-pass.js";

// A stem that has been silent for so long has left its filter at rest: 8 Hz has fallen by far more than 200 dB.
// [common practice]
const restS = 2;

/**
 * A machine's stems as files hold them: high-passed, in units of full scale; and their sum, or what is heard of them at a
 * place, in one channel or more. A silent stem costs nothing.
 */
export class StemMix {
  readonly stems: Float64Array[];
  readonly channels: readonly Float64Array[];

  private readonly channelFilters: readonly HighPass[];
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
    private readonly hearing: Hearing | null,
  ) {
    const { stemNames, sampleRateHz } = machine;
    this.stems = stemNames.map(() => new Float64Array(mostFrames));
    this.channels = hearing === null ? [new Float64Array(mostFrames)] : hearing.outputs;
    this.channelFilters = this.channels.map(() => new HighPass(sampleRateHz));
    this.filters = stemNames.map(() => new HighPass(sampleRateHz));
    this.restFrames = restS * sampleRateHz;
    this.silentFrames = new Float64Array(stemNames.length).fill(this.restFrames);
    this.everHeard = new Uint8Array(stemNames.length);
  }

  /** Whether a stem, by its place, has given anything but silence so far. */
  wasHeard(stem: number): boolean {
    return this.everHeard[stem] === 1;
  }

  /** Runs the machine on and fills `stems` and `channels`. */
  make(frames: number): void {
    const { stems, channels, filters, silentFrames, everHeard, machine, hearing, restFrames } = this;
    const scale = 1 / this.fullScalePa;
    const mix = channels[0]!;
    if (hearing === null) machine.process(stems, frames);
    else {
      hearing.heard.fill(0);
      hearing.process(stems, frames);
      for (let c = 0; c < channels.length; c++) {
        const channel = channels[c]!;
        this.channelFilters[c]!.process(channel, channel, frames);
        for (let i = 0; i < frames; i++) channel[i] = scale * channel[i]!;
      }
    }
    const heard = hearing === null ? machine.heard : hearing.heard;
    for (let s = 0; s < stems.length; s++) {
      const isHeard = heard[s] === 1;
      silentFrames[s] = isHeard ? 0 : silentFrames[s]! + frames;
      if (isHeard) everHeard[s] = 1;
      // The first stem begins the mix, silent or not.
      if (s > 0 && silentFrames[s]! > restFrames) continue;
      const stem = stems[s]!;
      filters[s]!.process(stem, stem, frames);
      if (hearing !== null) scaleInPlace(stem, scale, frames);
      else if (s === 0) scaleAndBegin(stem, mix, scale, frames);
      else scaleAndAdd(stem, mix, scale, frames);
    }
  }
}

function scaleInPlace(samples: Float64Array, scale: number, frames: number): void {
  for (let i = 0; i < frames; i++) samples[i] = scale * samples[i]!;
}

/** Scales the first stem, and begins the mix with it. */
function scaleAndBegin(stem: Float64Array, mix: Float64Array, scale: number, frames: number): void {
  for (let i = 0; i < frames; i++) mix[i] = stem[i] = scale * stem[i]!;
}

/** Scales a stem and adds it to the mix, in one go. */
function scaleAndAdd(stem: Float64Array, mix: Float64Array, scale: number, frames: number): void {
  for (let i = 0; i < frames; i++) {
    const scaled = scale * stem[i]!;
    stem[i] = scaled;
    mix[i] = mix[i]! + scaled;
  }
}
