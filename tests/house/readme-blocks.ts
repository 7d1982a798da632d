/** A fenced `sh` block of a Markdown file. */
export interface ShellBlock {
  readonly line: number;
  readonly commands: readonly string[];
  /** Why the tests do not run it, or `null` when they do. */
  readonly notRunBecause: string | null;
}

const notRun = /^<!-- not run: (.{10,}) -->$/;

/**
 * Every fenced `sh` block is run by the tests, unless the nearest line above it is a comment
 * `<!-- not run: reason -->`, which a reader of the rendered page does not see.
 * A line that ends in a backslash goes on in the next; lines that begin with # are remarks.
 */
export function shellBlocks(markdown: string): ShellBlock[] {
  const lines = markdown.split("\n");
  const found: ShellBlock[] = [];
  for (let i = 0; i < lines.length; i++) {
    const fence = /^(\s*)```(\w*)\s*$/.exec(lines[i] ?? "");
    if (fence === null) continue;
    const start = i;
    const body: string[] = [];
    for (i++; i < lines.length && (lines[i] ?? "").trim() !== "```"; i++) body.push((lines[i] ?? "").trim());
    if (i >= lines.length) throw new Error(`line ${start + 1}: the block is never closed`);
    if (fence[2] !== "sh") continue;
    const commands = body
      .join("\n")
      .replace(/\\\n\s*/g, "")
      .split("\n")
      .filter((line) => line !== "" && !line.startsWith("#"));
    const above =
      lines
        .slice(0, start)
        .filter((line) => line.trim() !== "")
        .at(-1) ?? "";
    const notRunBecause = notRun.exec(above.trim())?.[1] ?? null;
    found.push({ line: start + 1, commands, notRunBecause });
  }
  return found;
}
