// What a terminal would obey instead of show: control characters, and the marks that turn the direction of writing.

const obeyed = /[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff]/g;

/** Free text made safe for a terminal: whatever the terminal would obey is written out as its code. */
export function shown(text: string): string {
  return text.replace(obeyed, (character) => `\\u{${character.charCodeAt(0).toString(16)}}`);
}

/** Several lines made safe, each by itself. */
export function shownLines(text: string): string {
  return text.split("\n").map(shown).join("\n");
}

/** `text` cut to `limit` characters, with a sign that it was. */
export function cutShort(text: string, limit: number): string {
  return text.length <= limit ? text : `${text.slice(0, limit - 3)}...`;
}

/**
 * A table for a terminal: two blanks between columns, numbers to the right, words to the left.
 *
 * A column counts as numbers when every cell of it is a number or a dash.
 */
export function columns(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((title, i) => Math.max(title.length, ...rows.map((row) => (row[i] ?? "").length)));
  const isNumbers = head.map((_, i) => rows.every((row) => /^([+-]?[\d.]+|-)$/.test((row[i] ?? "").trim())));
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, i) => (isNumbers[i] ? cell.padStart(widths[i] ?? 0) : cell.padEnd(widths[i] ?? 0)))
      .join("  ")
      .trimEnd();
  return [line(head), line(widths.map((width) => "-".repeat(width))), ...rows.map(line)].join("\n");
}
