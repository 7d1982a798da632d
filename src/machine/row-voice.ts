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
  private readonly rowsPerChunk: number;
  // Where every column has been led to, and whether its stretch of `audio` stands there from end to end.
  private readonly levels: Float64Array;
  private readonly isFlat: Uint8Array;
  // Rows in a row, up to the last taken, that a still record wrote.
  private stillRows = 0;
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
    this.levels = new Float64Array(columnCount);
    this.isFlat = new Uint8Array(columnCount);
    this.audio = Array.from({ length: columnCount }, () => new Float64Array(this.chunkFrames));
    this.pressurePa = new Float64Array(this.chunkFrames);
  }

  get isIdle(): boolean {
    return this.isResting;
  }

  reset(): void {
    this.levels.fill(0);
    this.isFlat.fill(0);
    this.stillRows = 0;
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
    for (let k = 0; k < this.columnCount; k++) this.levels[k] = this.rows[k]!;
    this.isFlat.fill(0);
    this.stillRows = 0;
  }

  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
  }

  take(r: number): void {
    const isWhole = this.stillRows >= this.rowsPerChunk;
    if (r === 0) {
      this.sampleIndex = this.nextSampleIndex;
      this.nextSampleIndex += this.chunkFrames;
      if (this.isDriven) this.wasDriven = this.isDriving((this.rowsPerChunk - 1) * this.columnCount);
      else if (!this.isResting) this.wasDriven = false;
      this.isDriven = false;
      if (isWhole && !this.isResting) this.rest();
    }
    const isStill = this.isStill();
    // A table of still rows is left as it is: another would say the same.
    if (isWhole && isStill) return;
    if (isWhole) this.wake();
    const at = r * this.columnCount;
    this.read(at);
    if (this.isDriving(at)) this.isDriven = true;
    this.stillRows = isStill ? this.stillRows + 1 : 0;
    this.isResting = !(this.isDriven || this.wasDriven || this.isRinging());
    if (this.isResting && r === 0) this.pressurePa.fill(0);
  }

  process(): void {
    if (this.isResting) {
      this.pressurePa.fill(0);
      return;
    }
    for (let k = 0; k < this.columnCount; k++) this.lead(k);
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
  /**
   * Whether the record says what makes `read` write the very row that it wrote last, drivers all 0: a voice that is still
   * costs this question a row and nothing else.
   */
  protected isStill(): boolean {
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

  private rest(): void {
    this.isResting = !(this.wasDriven || this.isRinging());
    if (this.isResting) this.pressurePa.fill(0);
  }

  // Led over a row, a value is reached when the row ends. A column that stands is written once.
  private lead(k: number): void {
    const { rows, columnCount, rowsPerChunk, levels, isFlat, chunkFrames } = this;
    const output = this.audio[k]!;
    let level = levels[k]!;
    let stands = 0;
    while (stands < rowsPerChunk && rows[stands * columnCount + k] === level) stands++;
    if (stands === rowsPerChunk) {
      if (isFlat[k] === 0) output.fill(level);
      isFlat[k] = 1;
      return;
    }
    isFlat[k] = 0;
    const samplesPerRow = chunkFrames / rowsPerChunk;
    const share = 1 / samplesPerRow;
    let end = 0;
    for (let at = k; at < rows.length; at += columnCount) {
      const wanted = rows[at]!;
      const step = share * (wanted - level);
      const begin = end;
      end += samplesPerRow;
      for (let i = begin; i < end; i++) {
        output[i] = level;
        level += step;
      }
      level = wanted;
    }
    levels[k] = level;
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
