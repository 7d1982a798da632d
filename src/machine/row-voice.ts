import { TickRamp } from "../sound/tick-ramp.js";
import type { Voice, VoiceMaking } from "./voice.js";

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
  private readonly ramps: readonly TickRamp[];
  private readonly rowsPerChunk: number;
  /** Whether the chunk does not go on from the one made last: noise must be sought. */
  protected isSeeking = true;
  private madeUpTo = 0.5;
  private nextSampleIndex = 0;
  private isResting = true;
  private isDriven = false;
  private wasDriven = false;

  /**
   * @param columnCount columns of the table
   * @param driverCount of them, the first so many, drive the voice: while all are 0 it rests
   */
  constructor(
    readonly stemName: string,
    making: VoiceMaking,
    private readonly columnCount: number,
    private readonly driverCount: number,
  ) {
    const { rowsPerChunk, samplesPerRow } = making;
    this.rowsPerChunk = rowsPerChunk;
    this.chunkFrames = rowsPerChunk * samplesPerRow;
    this.rows = new Float64Array(rowsPerChunk * columnCount);
    // Led over a row, a value is reached when the row ends.
    this.ramps = Array.from({ length: columnCount }, () => new TickRamp(samplesPerRow, 1));
    this.audio = Array.from({ length: columnCount }, () => new Float64Array(this.chunkFrames));
    this.pressurePa = new Float64Array(this.chunkFrames);
  }

  get isIdle(): boolean {
    return this.isResting;
  }

  reset(): void {
    for (const ramp of this.ramps) ramp.reset(0);
    this.rows.fill(0);
    this.pressurePa.fill(0);
    this.isResting = true;
    this.isDriven = this.wasDriven = false;
    this.sampleIndex = this.nextSampleIndex = 0;
    this.madeUpTo = NaN;
    this.silence();
  }

  settle(): void {
    this.settleEvents();
    this.read(0);
    this.isDriven = false;
    this.isResting = true;
    this.wasDriven = this.isDriving(0);
    for (let k = 0; k < this.columnCount; k++) this.ramps[k]!.reset(this.rows[k]);
  }

  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
  }

  take(r: number): void {
    if (r === 0) {
      this.sampleIndex = this.nextSampleIndex;
      this.nextSampleIndex += this.chunkFrames;
      if (this.isDriven) this.wasDriven = this.isDriving((this.rowsPerChunk - 1) * this.columnCount);
      else if (!this.isResting) this.wasDriven = false;
      this.isDriven = false;
    }
    const at = r * this.columnCount;
    this.read(at);
    if (this.isDriving(at)) this.isDriven = true;
    this.isResting = !(this.isDriven || this.wasDriven || this.isRinging());
    if (this.isResting && r === 0) this.pressurePa.fill(0);
  }

  process(): void {
    if (this.isResting) {
      this.pressurePa.fill(0);
      return;
    }
    const { ramps, rows, audio, columnCount, rowsPerChunk } = this;
    for (let k = 0; k < columnCount; k++) ramps[k]!.processTicks(rows, k, columnCount, rowsPerChunk, audio[k]!);
    this.isSeeking = this.madeUpTo !== this.sampleIndex;
    this.madeUpTo = this.sampleIndex + this.chunkFrames;
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
  /** Of what is kept from row to row: as if the record had stood as it is for long. */
  protected settleEvents(): void {
    return;
  }

  /** Whether a column of the chunk drives anywhere in it, or did at the end of the last. */
  protected columnDrives(column: number): boolean {
    const { audio, chunkFrames } = this;
    const values = audio[column]!;
    for (let i = 0; i < chunkFrames; i++) if (values[i]! > 0) return true;
    return false;
  }

  /**
   * Speeds of a column whose flow has only just begun stand at once at what they are, for a noise takes its colour from its
   * speed a little before its level: only flows come up from nothing.
   */
  protected standAtOnce(column: number): void {
    const { audio, rows, columnCount, rowsPerChunk, chunkFrames } = this;
    const values = audio[column]!;
    const samplesPerRow = chunkFrames / rowsPerChunk;
    for (let r = 0; r < rowsPerChunk; r++) {
      const wanted = rows[r * columnCount + column]!;
      const first = r * samplesPerRow;
      if (values[first]! < 0.5 * wanted) for (let i = first; i < first + samplesPerRow; i++) values[i] = wanted;
    }
  }

  private isDriving(at: number): boolean {
    for (let k = 0; k < this.driverCount; k++) if (this.rows[at + k]! > 0) return true;
    return false;
  }
}

/** `value` where it is above 0 and finite, otherwise 0. */
export function positive(value: number): number {
  return value > 0 && value < 1e15 ? value : 0;
}
