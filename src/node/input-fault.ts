import { cutShort, shown } from "./terminal-text.js";

/** One thing wrong with what the user gave. `null` where it does not apply. */
export interface FaultRow {
  readonly file: string | null;
  readonly line: number | null;
  readonly column: number | null;
  /** The key or option that is wrong. */
  readonly name: string | null;
  /** The rule, what was got, and a way out; without the place. */
  readonly message: string;
}

// Long enough for a rule, a value and a way out on a wide terminal. [common practice]
const longestMessage = 400;
// A path keeps its end, which tells files apart. [common practice]
const longestPlace = 160;
// As many as fit a terminal of 24 lines with room to read. [common practice]
const mostShown = 10;

/** The user's input is wrong: exit code 1, no stack trace. */
export class InputFault extends Error {
  constructor(
    readonly rows: readonly FaultRow[],
    /** Faults found beyond those in `rows`. */
    readonly furtherCount = 0,
  ) {
    super(rows.map(faultLine).join("\n"));
    this.name = "InputFault";
  }
}

/** A fault of one option or of the call as a whole. */
export function optionFault(name: string, message: string): InputFault {
  return new InputFault([{ file: null, line: null, column: null, name, message }]);
}

/** A fault of a file as a whole. */
export function fileFault(file: string, message: string): InputFault {
  return new InputFault([{ file, line: null, column: null, name: null, message }]);
}

/** Runs `action`; a RangeError, which is how our rooms refuse a value, becomes the fault that `faultOf` makes of its words. */
export function withRefusals<Result>(faultOf: (message: string) => InputFault, action: () => Result): Result {
  try {
    return action();
  } catch (error) {
    if (error instanceof RangeError) throw faultOf(error.message);
    throw error;
  }
}

/** One fault as one line: place, then name, then what is wrong. */
export function faultLine(row: FaultRow): string {
  let place = row.file ?? "";
  if (place.length > longestPlace) place = `...${place.slice(3 - longestPlace)}`;
  if (row.line !== null) place += `:${row.line}:${row.column ?? 1}`;
  else if (place !== "") place += ":";
  // The message of an option names it; that of a place in a file does not.
  const name = row.file === null ? "" : (row.name ?? "");
  return shown(cutShort([place, name, row.message].filter((part) => part !== "").join(" "), longestMessage));
}

/** All faults for a reader: the first ten, then how many more. */
export function faultText(fault: InputFault): string {
  const lines = fault.rows.slice(0, mostShown).map(faultLine);
  const more = fault.rows.length - lines.length + fault.furtherCount;
  if (more > 0) lines.push(`... and ${more} more.`);
  return lines.join("\n");
}
