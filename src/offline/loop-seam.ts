import type { LoopSettled } from "../machine/settle-loop.js";
import { log10 } from "../quantities/portable-maths.js";

// No more of the beginning than this is heard again after the end. [common practice: a turn, but not minutes of it]
const longestS = 10;
// Beyond this the seam may be told. [common practice: -100 dB of the peak, below 16 bit]
const worstDb = -100;
// Metal that gains more than this share of the machine's power has no rest where it is held. [common practice]
const mostGainRatio = 0.05;

/** Hears whether a loop goes on after its end as it began: the first turn of the second pass against that of the first. */
export class LoopSeam {
  /** Frames to be heard again. */
  readonly frameCount: number;
  private readonly beginning: Float64Array;
  private kept = 0;
  private heard = 0;
  private peak = 0;
  private greatest = 0;

  constructor(framesPerTurn: number, rateHz: number) {
    this.frameCount = Math.ceil(Math.min(framesPerTurn, longestS * rateHz));
    this.beginning = new Float64Array(this.frameCount);
  }

  /** Takes the next block of the loop. */
  take(mix: Float64Array, frames: number): void {
    const more = Math.min(frames, this.frameCount - this.kept);
    for (let i = 0; i < more; i++) this.beginning[this.kept + i] = mix[i]!;
    this.kept += more;
    for (let i = 0; i < frames; i++) this.peak = Math.max(this.peak, Math.abs(mix[i]!));
  }

  /** Frames still to be heard of what follows the end. */
  get framesLeft(): number {
    return this.kept - this.heard;
  }

  /** Takes the next block of what follows the end, no more than `framesLeft`. */
  hear(mix: Float64Array, frames: number): void {
    for (let i = 0; i < frames; i++) {
      this.greatest = Math.max(this.greatest, Math.abs(mix[i]! - this.beginning[this.heard + i]!));
    }
    this.heard += frames;
  }

  /** Greatest difference against the loop's peak, dB; -Infinity for none, and until the end was heard. */
  get differenceDb(): number {
    return this.greatest > 0 ? 20 * log10(this.greatest / this.peak) : -Infinity;
  }
}

/** What is to be said of a loop that does not quite close. */
export function loopWarnings(settled: LoopSettled, seam: LoopSeam): string[] {
  const warnings: string[] = [];
  if (!settled.isSettled) {
    warnings.push(
      `After ${settled.turns} turns of running in, the gas still differed from one loop to the next by ` +
        `${settled.changeRatio.toExponential(1)} of itself.`,
    );
  }
  if (seam.differenceDb > worstDb) {
    warnings.push(
      `What follows the loop's end differs from its beginning by ${seam.differenceDb.toFixed(0)} dB of its peak.`,
    );
  }
  const { metalGainW, powerW } = settled;
  if (Math.abs(metalGainW) > mostGainRatio * Math.abs(powerW)) {
    warnings.push(
      `The cylinders' metal finds no rest at this setting, between wet and dry; it is held where it ` +
        `${metalGainW > 0 ? "gains" : "loses"} ${Number(Math.abs(metalGainW / 1000).toPrecision(2))} kW.`,
    );
  }
  return warnings;
}
