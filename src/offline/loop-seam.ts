import type { LoopSettled } from "../machine/settle-loop.js";
import { log10 } from "../quantities/portable-maths.js";

// As much of the beginning as is heard again after the end. [common practice: about a tenth of a second]
const mostFrames = 4096;
// Beyond this the seam may be told. [common practice: -100 dB of the peak, below 16 bit]
const worstDb = -100;

/** Hears whether a loop goes on after its end as it began: the second pass against the first. */
export class LoopSeam {
  /** Frames kept of the beginning. */
  frameCount = 0;
  isClosed = false;
  private readonly beginning = new Float64Array(mostFrames);
  private peak = 0;
  private greatest = 0;

  /** Takes a block of the first pass, whose first frame has index `firstFrame`. */
  take(mix: Float64Array, firstFrame: number, frames: number): void {
    if (firstFrame === 0) {
      this.frameCount = Math.min(mostFrames, frames);
      this.beginning.set(mix.subarray(0, this.frameCount));
    }
    for (let i = 0; i < frames; i++) this.peak = Math.max(this.peak, Math.abs(mix[i]!));
  }

  /** Takes the first `frameCount` frames of what follows the end. */
  close(mix: Float64Array): void {
    this.isClosed = true;
    for (let i = 0; i < this.frameCount; i++) {
      this.greatest = Math.max(this.greatest, Math.abs(mix[i]! - this.beginning[i]!));
    }
  }

  /** Greatest difference against the loop's peak, dB; -Infinity for none, and until closed. */
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
  return warnings;
}
