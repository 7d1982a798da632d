import type { PartFile } from "./part-file.js";

// Rows are gathered to about this many characters before they go to the disk. [common practice]
const gatheredCharacters = 65536;

/**
 * A table written row by row in constant memory: one head line of names, a comma between cells, a line feed after each row.
 *
 * Numbers are written with as many digits as bring the same number back.
 */
export class CsvFile {
  private gathered = "";

  constructor(
    private readonly file: PartFile,
    names: readonly string[],
  ) {
    this.gathered = `${names.join(",")}\n`;
  }

  /** @throws Error for a number that is not finite: no file ever holds one. */
  writeRow(cells: ArrayLike<number | string>): void {
    for (let i = 0; i < cells.length; i++) {
      const cell = cells[i]!;
      if (typeof cell === "number" && cell - cell !== 0) throw new Error(`CsvFile: cell ${i} is not a finite number.`);
      this.gathered += i === 0 ? cell : `,${cell}`;
    }
    this.gathered += "\n";
    if (this.gathered.length > gatheredCharacters) this.flush();
  }

  /** Call once after the last row. */
  close(): void {
    this.flush();
  }

  private flush(): void {
    this.file.write(Buffer.from(this.gathered, "utf8"));
    this.gathered = "";
  }
}
