/** One thing wrong with a file, and where. */
export interface Complaint {
  readonly file: string;
  /** From 1. */
  readonly line: number;
  /** From 1. */
  readonly column: number;
  /** Dotted name of the value, as in `cylinders.bore`; empty for the file as a whole. */
  readonly name: string;
  /** The rule with its unit, what was got, and one way out. */
  readonly message: string;
}

/** A value chosen for the owner, and why that one. */
export interface Assumption {
  readonly name: string;
  /** As it would be written, with its unit. */
  readonly value: string;
  readonly rule: string;
}

/** What came of reading a file: the thing read, or what is wrong with it (the first ten, by place, and how many more). */
export type Loaded<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly errors: Complaint[]; readonly moreErrors: number };

// As many as can be read in one go, and a line that fits a wide terminal twice over. [common practice]
const MOST_ERRORS = 10;
const LONGEST_MESSAGE = 320;
const LONGEST_NAME = 80;
const LONGEST_FILE = 160;

/** One line of text without control or direction characters, cut to a length. */
export function oneLine(text: string, longest: number): string {
  const line = text.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]+/gu, " ").trim();
  return line.length > longest ? `${line.slice(0, longest)}…` : line;
}

/** `file:line:column name message`, on one line. */
export function complaintText(complaint: Complaint): string {
  const place = `${oneLine(complaint.file, LONGEST_FILE)}:${complaint.line}:${complaint.column}`;
  return [place, complaint.name, complaint.message].filter((part) => part !== "").join(" ");
}

/** The complaints of a file in order of place, no two the same, cut to what a reader can take in. */
export function refusal(complaints: readonly Complaint[]): Loaded<never> {
  const sorted = [...complaints].sort((a, b) => a.line - b.line || a.column - b.column);
  const seen = new Set<string>();
  const distinct: Complaint[] = [];
  for (const complaint of sorted) {
    const key = `${complaint.line}:${complaint.column} ${complaint.name} ${complaint.message}`;
    if (seen.has(key)) continue;
    seen.add(key);
    distinct.push(complaint);
  }
  const errors = distinct.slice(0, MOST_ERRORS).map((complaint) => ({
    ...complaint,
    name: oneLine(complaint.name, LONGEST_NAME),
    message: oneLine(complaint.message, LONGEST_MESSAGE),
  }));
  return { ok: false, errors, moreErrors: distinct.length - errors.length };
}
