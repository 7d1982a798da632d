import type { PartFile } from "./part-file.js";

// Rows are gathered to about this many characters before they go to the disk. [common practice]
const gatheredCharacters = 65536;

/** A table written row by row as one JSON object: `columns`, the names, and `rows`, a list of numbers each. */
export class JsonTable {
  private gathered = "";
  private isFirst = true;

  constructor(
    private readonly file: PartFile,
    names: readonly string[],
  ) {
    this.gathered = `{"columns":${JSON.stringify(names)},"rows":[`;
  }

  /** @throws Error for a number that is not finite: no file ever holds one. */
  writeRow(cells: ArrayLike<number>): void {
    const row = Array.from(cells);
    const wrong = row.findIndex((cell) => !Number.isFinite(cell));
    if (wrong >= 0) throw new Error(`JsonTable: cell ${wrong} is not a finite number.`);
    this.gathered += `${this.isFirst ? "" : ","}\n[${row.join(",")}]`;
    this.isFirst = false;
    if (this.gathered.length > gatheredCharacters) this.flush();
  }

  /** Call once after the last row. */
  close(): void {
    this.gathered += "\n]}\n";
    this.flush();
  }

  private flush(): void {
    this.file.write(Buffer.from(this.gathered, "utf8"));
    this.gathered = "";
  }
}
