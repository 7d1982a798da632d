import type { PulseRecord } from "../engine/pulse-record.js";
import { TickInterpolator } from "../sound/tick-interpolator.js";

// Room for the blocks of a reader that lags the machine by some thousand samples.
const ringChunks = 128;

/**
 * The pulse record carried to the audio rate for tables and tests: nozzle mass flow, volume flow and pressure (flows
 * summed over several mouths, pressure of the first), then pressure and exhaust flow of every end, and last the shaft's angle.
 */
export class PulseTap {
  readonly columnCount: number;
  /** Place of the shaft's angle among the columns, which is the last. */
  readonly shaftColumn: number;
  /** One ring a column: sample n stands at `placeOf(n)` until `ringFrames` samples later. */
  readonly columns: readonly Float64Array[];
  readonly ringFrames: number;

  private hasOrigin = false;
  private originSample = 0;
  private readonly rows: Float64Array;
  private readonly interpolators: readonly TickInterpolator[];

  constructor(
    private readonly record: PulseRecord,
    samplesPerTick: number,
    private readonly ticksPerChunk: number,
  ) {
    this.ringFrames = ringChunks * samplesPerTick * ticksPerChunk;
    this.shaftColumn = 3 + 2 * record.endPressurePa.length;
    this.columnCount = this.shaftColumn + 1;
    this.rows = new Float64Array(this.columnCount * ticksPerChunk);
    this.columns = Array.from({ length: this.columnCount }, () => new Float64Array(this.ringFrames));
    this.interpolators = Array.from({ length: this.columnCount }, () => new TickInterpolator(samplesPerTick));
  }

  /** State only; the next chunk made is the first. */
  reset(): void {
    this.hasOrigin = false;
    for (const interpolator of this.interpolators) interpolator.reset(0);
  }

  /** Place in every column of sample `n`, which must not be older than the first made. */
  placeOf(n: number): number {
    return (n - this.originSample) % this.ringFrames;
  }

  /** Takes the record of tick `t` of the chunk. */
  pushTick(t: number): void {
    const { record, rows } = this;
    let at = t * this.columnCount;
    let mass = 0;
    let volume = 0;
    for (let m = 0; m < record.mouthMassKgPerS.length; m++) {
      mass += record.mouthMassKgPerS[m]!;
      volume += record.mouthVolumeM3PerS[m]!;
    }
    rows[at++] = mass;
    rows[at++] = volume;
    rows[at++] = record.mouthPressurePa[0]!;
    for (let i = 0; i < record.endPressurePa.length; i++) {
      rows[at++] = record.endPressurePa[i]!;
      rows[at++] = record.endExhaustKgPerS[i]!;
    }
    rows[at] = record.shaftRad;
  }

  /** Carries the chunk's ticks to the audio rate; its first sample has index `firstSample`. */
  fill(firstSample: number): void {
    if (!this.hasOrigin) {
      this.hasOrigin = true;
      this.originSample = firstSample;
    }
    const at = this.placeOf(firstSample);
    for (let c = 0; c < this.columnCount; c++) {
      this.interpolators[c]!.processTicks(this.rows, c, this.columnCount, this.ticksPerChunk, this.columns[c]!, at);
    }
  }
}
