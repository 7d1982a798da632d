/** Rows that come from several makers, each in its own time and by a reused array, handed on together. */
export class RowJoin {
  private readonly waiting: Float64Array[][];

  /** @param onRows called once a row of every maker is there, in the makers' order */
  constructor(
    makerCount: number,
    private readonly onRows: (rows: readonly Float64Array[]) => void,
  ) {
    this.waiting = Array.from({ length: makerCount }, () => []);
  }

  /** Takes a copy. */
  push(maker: number, row: Float64Array): void {
    const { waiting } = this;
    waiting[maker]!.push(row.slice());
    while (waiting.every((rows) => rows.length > 0)) this.onRows(waiting.map((rows) => rows.shift()!));
  }
}
