import { formatQuantity, parseQuantity } from "../quantities/units.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import type { Dimension } from "../quantities/unit-table.js";
import type { Assumption, Complaint } from "./complaint.js";
import type { Path, YamlTree } from "./yaml-tree.js";

/** What is assumed for a value that was not given. */
export interface Assumed<T> {
  readonly value: T;
  /** As it would be written. */
  readonly text: string;
  readonly rule: string;
  /** Names of the values it was worked out from. */
  readonly from: readonly string[];
}

/** An assumed value of a dimension, its text made to suit its size. */
export function assumedQuantity(
  value: number,
  dimension: Dimension,
  rule: string,
  from: readonly string[] = [],
): Assumed<number> {
  return { value, text: readableQuantity(value, dimension), rule, from };
}

/** An assumed word. */
export function assumedWord<T extends string | number | boolean>(
  value: T,
  rule: string,
  from: readonly string[] = [],
): Assumed<T> {
  return { value, text: String(value), rule, from };
}

function pathOf(name: string): Path {
  return name
    .split(/[.[\]]+/)
    .filter((step) => step !== "")
    .map((step) => (/^\d+$/.test(step) ? Number(step) : step));
}

/**
 * Fills in a machine value by value: keeps what was given, notes what was assumed and from what, and gathers
 * complaints. A value that is itself wrong, or was worked out from one that is, is not sound, and a rule that needs it
 * is left out.
 */
export class Sheet {
  readonly assumed: Assumption[] = [];
  readonly warnings: string[] = [];
  readonly complaints: Complaint[];
  private readonly basis = new Map<string, readonly string[]>();
  private readonly wrong: Set<string>;

  constructor(
    private readonly tree: YamlTree,
    private readonly fileName: string,
    wrong: ReadonlySet<string>,
    complaints: readonly Complaint[],
    private readonly nones: ReadonlySet<string> = new Set(),
  ) {
    this.wrong = new Set(wrong);
    this.complaints = [...complaints];
  }

  /** Marks a value as wrong: rules that need it are left out from here on. */
  spoil(name: string): void {
    this.wrong.add(name);
  }

  /** The value given, or the one assumed for it, which is then listed. */
  take<T>(name: string, given: T | undefined, assume: () => Assumed<T>): T {
    if (given !== undefined) return given;
    const { value, text, rule, from } = assume();
    this.basis.set(name, from);
    if (!this.isWrong(name)) this.assumed.push({ name, value: text, rule });
    return value;
  }

  /** Whether the owner says that there is none. */
  isNone(name: string): boolean {
    return this.nones.has(name);
  }

  /**
   * A block that may be left out: the one given, an empty one where the machine usually has it, or null where there is
   * none. That there is none is listed unless the owner says so.
   */
  block<T extends object>(
    name: string,
    given: T | undefined,
    isUsual: boolean,
    rule: string,
    from: readonly string[] = [],
  ): Partial<T> | null {
    if (given !== undefined) return given;
    if (this.isNone(name)) return null;
    if (isUsual) return {};
    this.take(name, undefined, () => assumedWord("none", rule, from));
    return null;
  }

  /** A value without which there is no machine; `standIn` lets the rest be looked at when it is missing. */
  require<T>(name: string, given: T | undefined, standIn: T, example: string): T {
    if (given !== undefined) return given;
    if (!this.isWrong(name)) {
      this.complain(name, `is missing. Four values suffice, and this is one of them. Write ${example}.`);
    }
    return standIn;
  }

  private isWrong(name: string): boolean {
    for (const wrong of this.wrong) {
      if (name === wrong || name.startsWith(`${wrong}.`) || name.startsWith(`${wrong}[`)) return true;
      if (wrong.startsWith(`${name}[`) || wrong.startsWith(`${name}.`)) return true;
    }
    return false;
  }

  /** Whether every value named was given rightly or worked out from such. */
  isSound(...names: readonly string[]): boolean {
    return names.every((name) => !this.isWrong(name) && this.isSound(...(this.basis.get(name) ?? [])));
  }

  /** The value named is not sound from here on. */
  complain(name: string, message: string): void {
    this.spoil(name);
    this.complaints.push({ file: this.fileName, ...this.tree.placeOf(pathOf(name)), name, message });
  }

  warn(text: string): void {
    this.warnings.push(text);
  }

  /** Complains about `name` unless the rule holds; left out when any value it needs is not sound. */
  rule(name: string, needs: readonly string[], holds: boolean, message: () => string): void {
    if (!holds && this.isSound(name, ...needs)) this.complain(name, message());
  }

  /** Warns when something legal is odd; left out when any value it needs is not sound. */
  query(needs: readonly string[], isOdd: boolean, text: () => string): void {
    if (isOdd && this.isSound(...needs)) this.warn(text());
  }

  /** The value as its owner wrote it, or in words if it was assumed. */
  got(name: string, value: number, dimension: Dimension): string {
    const written = this.written(name);
    return written ?? `${readableQuantity(value, dimension)} (assumed)`;
  }

  private written(name: string): string | null {
    let raw: unknown = this.tree.root;
    for (const step of pathOf(name)) raw = (raw as Record<string | number, unknown> | null | undefined)?.[step];
    return typeof raw === "string" ? raw.trim() : typeof raw === "number" ? String(raw) : null;
  }

  /** A limit in the unit in which its owner wrote the value, to four digits. */
  limit(name: string, value: number, dimension: Dimension): string {
    const parsed = parseQuantity(this.written(name) ?? "", dimension);
    if (!parsed.ok || parsed.unit === "") return readableQuantity(value, dimension);
    return formatQuantity(value, dimension, parsed.unit, { digits: 4 });
  }
}
