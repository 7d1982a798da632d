/**
 * The table of what drives a voice, row by row, and where the voice stands between sounding and rest: the part that all of
 * them share, in a class of its own.
 */
export class VoiceRows {
  /** Rows of the chunk, `columnCount` places each; what they are led to at the audio rate, column by column. */
  readonly rows: Float64Array;
  readonly audio: readonly Float64Array[];
  readonly chunkFrames: number;
  /** Whether a row of the chunk drives, or the last row of the chunk before did. */
  isDriven = false;
  wasDriven = false;
  isResting = true;
  /** Whether the chunk began at rest, all rows of the table still. */
  isAsleep = false;
  /** Position in the noise of the next chunk's first sample, and of the sample after the last one made. */
  nextSampleIndex = 0;
  madeUpTo = 0.5;

  // Where every column has been led to, and whether its stretch of `audio` stands there from end to end.
  private readonly levels: Float64Array;
  private readonly isFlat: Uint8Array;
  private droveLast = false;
  // Still rows without a break, up to the last one read.
  private stillRows = 0;

  /** @param driverCount of the columns, the first so many, drive */
  constructor(
    readonly columnCount: number,
    private readonly driverCount: number,
    private readonly rowsPerChunk: number,
    private readonly samplesPerRow: number,
  ) {
    this.chunkFrames = rowsPerChunk * samplesPerRow;
    this.rows = new Float64Array(rowsPerChunk * columnCount);
    this.audio = Array.from({ length: columnCount }, () => new Float64Array(this.chunkFrames));
    this.levels = new Float64Array(columnCount);
    this.isFlat = new Uint8Array(columnCount);
    this.reset();
  }

  /** State only: nothing has driven, at the beginning of the noise. */
  reset(): void {
    this.rows.fill(0);
    this.levels.fill(0);
    this.isFlat.fill(0);
    this.isResting = true;
    this.isDriven = this.wasDriven = this.droveLast = this.isAsleep = false;
    this.stillRows = this.nextSampleIndex = 0;
    this.madeUpTo = NaN;
  }

  /** State only: as if row 0 had stood for long. */
  settle(): void {
    this.isResting = true;
    this.isDriven = this.isAsleep = false;
    this.wasDriven = this.isDriving(0);
    for (let k = 0; k < this.columnCount; k++) this.levels[k] = this.rows[k]!;
    this.isFlat.fill(0);
    this.stillRows = 0;
  }

  /** Whether all rows are still ones. */
  get isWhole(): boolean {
    return this.stillRows >= this.rowsPerChunk;
  }

  /** Begins a chunk. */
  begin(): void {
    this.nextSampleIndex += this.chunkFrames;
    if (this.isDriven) this.wasDriven = this.droveLast;
    else if (!this.isResting) this.wasDriven = false;
    this.isDriven = false;
  }

  /** Row `r` has been written; a still one drives nothing, and another would say the same. */
  close(r: number, isStill: boolean): void {
    this.droveLast = !isStill && this.isDriving(r * this.columnCount);
    if (this.droveLast) this.isDriven = true;
    this.stillRows = isStill ? this.stillRows + 1 : 0;
  }

  /** Leads all columns over their rows. */
  lead(): void {
    for (let k = 0; k < this.columnCount; k++) this.leadColumn(k);
  }

  /** Whether a column of the chunk drives anywhere in it, or did at the end of the last. */
  columnDrives(column: number): boolean {
    const { chunkFrames } = this;
    const values = this.audio[column]!;
    for (let i = 0; i < chunkFrames; i++) if (values[i]! > 0) return true;
    return false;
  }

  /** Where a column has only just begun, what it is led over stands at once at what it is led to. */
  standAtOnce(column: number): void {
    const { audio, rows, columnCount, rowsPerChunk, samplesPerRow, isFlat } = this;
    if (isFlat[column] === 1) return;
    const values = audio[column]!;
    for (let r = 0; r < rowsPerChunk; r++) {
      const wanted = rows[r * columnCount + column]!;
      const first = r * samplesPerRow;
      if (values[first]! < 0.5 * wanted) for (let i = first; i < first + samplesPerRow; i++) values[i] = wanted;
    }
  }

  // A value is reached when its row ends. A column that stands is written once.
  private leadColumn(k: number): void {
    const { rows, columnCount, rowsPerChunk, samplesPerRow, levels, isFlat } = this;
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
    const { rows, driverCount } = this;
    for (let k = at; k < at + driverCount; k++) if (rows[k]! > 0) return true;
    return false;
  }
}
