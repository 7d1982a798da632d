import type { Voice, VoiceMaking } from "./voice.js";
import { VoiceRows } from "./voice-rows.js";

/**
 * What the voices beside the exhaust have in common: a table of what drives them, row by row, led along straight lines to
 * the audio rate, and the rest that they take while nothing drives them. A voice of this kind reads its columns in `read`
 * and makes its sound of `audio` in `make`.
 */
export abstract class RowVoice implements Voice {
  readonly pressurePa: Float64Array;
  /** Columns of the chunk at the audio rate. */
  protected readonly audio: readonly Float64Array[];
  /** Rows of the chunk, `columnCount` places each. */
  protected readonly rows: Float64Array;
  protected readonly chunkFrames: number;
  /** Position in the noise of the chunk's first sample. */
  protected sampleIndex = 0;
  /** Whether the chunk does not go on from the one made last: noise must be sought. */
  protected isSeeking = true;
  // Of one class for all voices: what is asked at every row is found quickly.
  private readonly table: VoiceRows;

  /**
   * @param columnCount columns of the table
   * @param driverCount of them, the first so many, drive the voice: while all are 0 it rests
   */
  constructor(
    readonly stemName: string,
    making: VoiceMaking,
    columnCount: number,
    driverCount: number,
  ) {
    const { rowsPerChunk, samplesPerRow } = making;
    this.table = new VoiceRows(columnCount, driverCount, rowsPerChunk, samplesPerRow);
    this.chunkFrames = this.table.chunkFrames;
    this.rows = this.table.rows;
    this.audio = this.table.audio;
    this.pressurePa = new Float64Array(this.chunkFrames);
  }

  get isIdle(): boolean {
    return this.table.isResting;
  }

  get isAsleep(): boolean {
    return this.table.isAsleep;
  }

  reset(): void {
    this.table.reset();
    this.pressurePa.fill(0);
    this.sampleIndex = 0;
    this.silence();
  }

  settle(): void {
    this.settleEvents();
    this.read(0);
    this.table.settle();
  }

  setNextSampleIndex(index: number): void {
    this.table.nextSampleIndex = index;
  }

  take(r: number): void {
    const { table } = this;
    if (r === 0) {
      this.sampleIndex = table.nextSampleIndex;
      table.begin();
    }
    const isStill = this.isStill();
    if (table.isWhole) {
      // A table of still rows is left as it is: another would say the same.
      if (isStill) {
        if (r === 0) this.lieDown();
        return;
      }
      this.wake();
      table.isAsleep = false;
    }
    this.read(r * table.columnCount);
    table.close(r, isStill);
    table.isResting = !(table.isDriven || table.wasDriven || this.isRinging());
    if (table.isResting && r === 0) this.pressurePa.fill(0);
  }

  process(): void {
    const { table } = this;
    if (table.isResting) {
      this.pressurePa.fill(0);
      return;
    }
    table.lead();
    this.isSeeking = table.madeUpTo !== this.sampleIndex;
    table.madeUpTo = this.sampleIndex + this.chunkFrames;
    this.make();
  }

  /** Writes one row into `rows` from place `at` on; what is not a number above 0 drives nothing. */
  protected abstract read(at: number): void;
  /** Fills `pressurePa` from `audio`. */
  protected abstract make(): void;
  /** State of the units to silence. */
  protected abstract silence(): void;
  /** Whether something sounds on while nothing drives it. */
  protected isRinging(): boolean {
    return false;
  }
  /**
   * Whether the record as it stands makes no sound that could be heard, and another row of it would say no more than the last:
   * a voice that is still costs this question a row and nothing else.
   */
  isStill(): boolean {
    return false;
  }
  /** Before the first row that is read after some were not: what follows the record beside its columns comes up to it. */
  protected wake(): void {
    return;
  }
  /** Of what is kept from row to row: as if the record had stood as it is for long. */
  protected settleEvents(): void {
    return;
  }

  /** Whether a column of the chunk drives anywhere in it, or did at the end of the last. */
  protected columnDrives(column: number): boolean {
    return this.table.columnDrives(column);
  }

  /**
   * Speeds of a column whose flow has only just begun stand at once at what they are, for a noise takes its colour from its
   * speed a little before its level: only flows come up from nothing.
   */
  protected standAtOnce(column: number): void {
    this.table.standAtOnce(column);
  }

  private lieDown(): void {
    const { table } = this;
    if (!table.isResting) {
      table.isResting = !(table.wasDriven || this.isRinging());
      if (table.isResting) this.pressurePa.fill(0);
    }
    table.isAsleep = table.isResting;
  }
}

/** `value` where it is above 0 and finite, otherwise 0. */
export function positive(value: number): number {
  return value > 0 && value < 1e15 ? value : 0;
}
