import { log10 } from "../quantities/portable-maths.js";

/** Absolute gate, LUFS: blocks at or below it count nowhere. [source: ITU-R BS.1770-4, Annex 1] */
export const ABSOLUTE_GATE_LUFS = -70;
/** Constant added to 10 lg of the weighted mean square, dB. [source: ITU-R BS.1770-4, Annex 1, equation 2] */
export const LOUDNESS_OFFSET_DB = -0.691;
/**
 * Width of a histogram class, LU. [tuned: gating rows of EBU Tech 3341 agree with exact block lists to 0.001 LU,
 * 2026-11-25]
 */
export const HISTOGRAM_STEP_LU = 0.01;
/**
 * Top of the histogram, LUFS; louder blocks share its last class, their energy kept exactly. [common practice] (a
 * full-scale square wave reads +4)
 */
export const HISTOGRAM_TOP_LUFS = 30;

/** Loudness of a weighted mean square, LUFS; -Infinity for silence. */
export function loudnessLufs(meanSquare: number): number {
  return LOUDNESS_OFFSET_DB + 10 * log10(meanSquare);
}

/**
 * Blocks of a programme counted by loudness, with the energy of each class kept exactly, so that hours need no more
 * room than seconds: 160 kB. Only a gate that falls inside a class is blurred, and by no more than that class's 0.01
 * LU.
 */
export class LoudnessHistogram {
  private readonly counts: Float64Array;
  private readonly energies: Float64Array;

  constructor() {
    const classCount = Math.round((HISTOGRAM_TOP_LUFS - ABSOLUTE_GATE_LUFS) / HISTOGRAM_STEP_LU);
    this.counts = new Float64Array(classCount);
    this.energies = new Float64Array(classCount);
  }

  /** Forgets every block. */
  reset(): void {
    this.counts.fill(0);
    this.energies.fill(0);
  }

  /** Counts one block of the given weighted mean square, unless the absolute gate shuts it out. */
  add(meanSquare: number): void {
    const loudness = loudnessLufs(meanSquare);
    if (!(loudness > ABSOLUTE_GATE_LUFS)) return;
    const place = Math.floor((loudness - ABSOLUTE_GATE_LUFS) / HISTOGRAM_STEP_LU);
    const index = Math.min(place, this.counts.length - 1);
    this.counts[index]! += 1;
    this.energies[index]! += meanSquare;
  }

  /** Mean square of the blocks above `floor` (a mean square), 0 when there are none. */
  meanAbove(floor: number): number {
    let count = 0;
    let energy = 0;
    for (let i = 0; i < this.counts.length; i++) {
      const n = this.counts[i]!;
      if (n > 0 && this.energies[i]! > floor * n) {
        count += n;
        energy += this.energies[i]!;
      }
    }
    return count > 0 ? energy / count : 0;
  }

  /** Mean square at `rank` (0 quietest, 1 loudest) among the blocks above `floor`, 0 when there are none. */
  rankAbove(floor: number, rank: number): number {
    let total = 0;
    for (let i = 0; i < this.counts.length; i++) {
      if (this.energies[i]! > floor * this.counts[i]!) total += this.counts[i]!;
    }
    let left = Math.round((total - 1) * rank);
    for (let i = 0; i < this.counts.length; i++) {
      const n = this.counts[i]!;
      if (!(this.energies[i]! > floor * n)) continue;
      if (left < n) return this.energies[i]! / n;
      left -= n;
    }
    return 0;
  }
}
