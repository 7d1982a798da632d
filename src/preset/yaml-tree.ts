import { isAlias, isMap, isScalar, isSeq, LineCounter, parseDocument, type Document, type Node } from "yaml";
import { oneLine, refusal, type Complaint, type Loaded } from "./complaint.js";

export type Path = readonly (string | number)[];

/** The values of a file as plain objects, lists, strings, numbers and booleans, and where each stands. */
export interface YamlTree {
  readonly root: Record<string, unknown>;
  /** Place of a value, or of the nearest block around it. */
  placeOf(path: Path): { readonly line: number; readonly column: number };
  /** Place of a key. */
  keyPlaceOf(path: Path): { readonly line: number; readonly column: number };
  /** Complaints about the writing itself that did not stop the reading. */
  readonly complaints: Complaint[];
}

// Limits of the machine file contract, and far more than any machine needs. [common practice]
const MOST_BYTES = 1_000_000;
const MOST_ALIASES = 100;
const DEEPEST = 12;
const MOST_VALUES = 20_000;
const MOST_OPEN_BRACKETS = 64;

/** Dotted name of a path: `faults[0].by`. */
export function pathName(path: Path): string {
  let name = "";
  for (const step of path) {
    if (typeof step === "number") name += `[${step}]`;
    else name += name === "" ? step : `.${step}`;
  }
  return oneLine(name, 80);
}

function pathKey(path: Path): string {
  return path.join("\u0000");
}

function utf8Bytes(text: string): number {
  let count = 0;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    count += code < 0x80 ? 1 : code < 0x800 ? 2 : code >= 0xd800 && code <= 0xdfff ? 2 : 3;
  }
  return count;
}

/** What makes a text not worth parsing: a message, and the offset it is about. */
function unreadable(text: string): { readonly message: string; readonly offset: number } | null {
  if (text.length > MOST_BYTES || utf8Bytes(text) > MOST_BYTES) {
    return { message: `The file must be at most 1 MB, got ${(utf8Bytes(text) / 1e6).toFixed(1)} MB.`, offset: 0 };
  }
  const control = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffd]/.exec(text);
  if (control) return { message: "The file must be plain text (UTF-8), got binary data.", offset: control.index };
  if (text.replace(/^\ufeff/, "").trim() === "") {
    return { message: "The file is empty. Four values suffice: bore, stroke, boiler pressure and speed.", offset: 0 };
  }
  let open = 0;
  for (let i = 0; i < text.length; i++) {
    const letter = text[i];
    if (letter === "[" || letter === "{") open++;
    else if (letter === "]" || letter === "}") open--;
    else if (letter === "#" && (i === 0 || /\s/.test(text[i - 1]!))) {
      const end = text.indexOf("\n", i);
      if (end < 0) break;
      i = end;
    }
    if (open > MOST_OPEN_BRACKETS) return { message: "Brackets are nested too deeply to be a machine.", offset: i };
  }
  return null;
}

const PLAIN_WORDS: Readonly<Record<string, string>> = {
  TAB_AS_INDENT: "Tabs cannot indent here. Use spaces.",
  MULTIPLE_DOCS: "There must be one document in the file, got several. Remove what follows the line of ---.",
  BLOCK_AS_IMPLICIT_KEY: "Two keys stand on one line. Give each its own line, or put braces round them.",
  BAD_INDENT: "The indentation does not fit the lines above. Indent keys of one block alike.",
  MULTILINE_IMPLICIT_KEY: "A key must stand on one line. A colon may be missing above.",
  MISSING_CHAR: "A bracket, quote or colon is missing.",
};

/** Reads one YAML 1.2 document (core schema). Never throws: what is wrong comes back as complaints with their places. */
export function readYamlTree(text: string, fileName: string): Loaded<YamlTree> {
  const lineCounter = new LineCounter();
  const complaints: Complaint[] = [];
  const placeAt = (offset: number): { line: number; column: number } => {
    const { line, col } = lineCounter.linePos(offset);
    return { line: Math.max(1, line), column: Math.max(1, col) };
  };
  const complain = (offset: number, name: string, message: string): void => {
    complaints.push({ file: fileName, ...placeAt(offset), name, message });
  };

  const stop = unreadable(text);
  if (stop) {
    lineCounter.addNewLine(0);
    for (let i = 0; i < stop.offset; i++) if (text[i] === "\n") lineCounter.addNewLine(i + 1);
    complain(stop.offset, "", stop.message);
    return refusal(complaints);
  }

  let document: Document;
  try {
    document = parseDocument(text, {
      lineCounter,
      version: "1.2",
      schema: "core",
      prettyErrors: false,
      uniqueKeys: false, // found below; the parser's own search is quadratic
      logLevel: "error",
    });
  } catch (error) {
    // The parser calls itself for every level of nesting; a hostile text can exhaust the stack.
    if (!(error instanceof RangeError)) throw error;
    complaints.push({
      file: fileName,
      line: 1,
      column: 1,
      name: "",
      message: "The file is nested too deeply to read.",
    });
    return refusal(complaints);
  }
  for (const error of document.errors.slice(0, 1000)) {
    const words = PLAIN_WORDS[error.code] ?? `${error.message.split("\n")[0]!.replace(/\.$/, "")}.`;
    complain(error.pos[0], "", words);
  }
  if (complaints.length > 0) {
    const answer = refusal(complaints);
    const unseen = document.errors.length - complaints.length;
    return answer.ok || unseen <= 0 ? answer : { ...answer, moreErrors: answer.moreErrors + unseen };
  }

  const places = new Map<string, number>();
  const keyPlaces = new Map<string, number>();
  let aliasCount = 0;
  let valueCount = 0;
  let tooMuch = false;
  const give = (node: unknown, path: Path, offset: number): unknown => {
    if (tooMuch) return undefined;
    const own = (node as Node | null)?.range?.[0] ?? offset;
    valueCount++;
    if (valueCount > MOST_VALUES || path.length > DEEPEST) {
      tooMuch = true;
      complain(
        own,
        pathName(path),
        path.length > DEEPEST ? "is nested too deeply." : "The file holds too many values.",
      );
      return undefined;
    }
    if (!places.has(pathKey(path))) places.set(pathKey(path), own);
    if (isAlias(node)) {
      aliasCount++;
      if (aliasCount > MOST_ALIASES) {
        tooMuch = true;
        complain(
          own,
          pathName(path),
          `A file may refer back (*name) at most ${MOST_ALIASES} times. Write the values out.`,
        );
        return undefined;
      }
      const target = node.resolve(document);
      if (!target) {
        complain(
          own,
          pathName(path),
          `refers to *${oneLine(node.source, 40)}, which is not there. Mark it with & above.`,
        );
        return undefined;
      }
      return give(target, path, own);
    }
    if (isMap(node)) {
      const block: Record<string, unknown> = {};
      let lastKey: string | null = null;
      let lastOffset = own;
      for (const pair of node.items) {
        const keyNode = pair.key as Node | null;
        const keyOffset = keyNode?.range?.[0] ?? own;
        if (!isScalar(keyNode) || (typeof keyNode.value !== "string" && typeof keyNode.value !== "number")) {
          complain(keyOffset, pathName(path), "A key must be a word.");
          continue;
        }
        const key = String(keyNode.value);
        const keyPath = [...path, key];
        if (key === "__proto__") {
          complain(keyOffset, pathName(keyPath), "is not a known key. Remove it.");
          continue;
        }
        if (Object.hasOwn(block, key)) {
          complain(keyOffset, pathName(keyPath), "is given twice. Keep one of them.");
          continue;
        }
        keyPlaces.set(pathKey(keyPath), keyOffset);
        const value = give(pair.value, keyPath, (pair.value as Node | null)?.range?.[0] ?? keyOffset);
        const before = lastKey === null ? undefined : block[lastKey];
        if (value === null && node.flow === true && typeof before === "number" && /^\d+\b/.test(key)) {
          // `{ pressure: 12,5 bar }` reads as the pair pressure: 12 and the key `5 bar`.
          const written = `${before},${key}`;
          const wayOut = `A comma parts entries inside braces: write the decimal sign as a point, ${before}.${key}, and leave out thousands separators.`;
          complain(
            lastOffset,
            pathName([...path, lastKey!]),
            `must have no comma, got ${oneLine(written, 40)}. ${wayOut}`,
          );
          delete block[lastKey!];
          continue;
        }
        [lastKey, lastOffset] = [key, keyOffset];
        if (value === null) complain(keyOffset, pathName(keyPath), "has no value. Give it one, or leave the key out.");
        else if (value !== undefined) block[key] = value;
        if (tooMuch) break;
      }
      return block;
    }
    if (isSeq(node)) {
      const list: unknown[] = [];
      for (const item of node.items) {
        const itemPath = [...path, list.length];
        const value = give(item, itemPath, own);
        if (value === null) complain(own, pathName(itemPath), "has no value. Give it one, or remove it.");
        list.push(value ?? undefined);
        if (tooMuch) break;
      }
      return list;
    }
    return isScalar(node) ? node.value : null;
  };

  const root = give(document.contents, [], 0);
  if (complaints.length === 0 && (typeof root !== "object" || root === null || Array.isArray(root))) {
    const got =
      root === null || root === undefined ? "nothing but remarks" : Array.isArray(root) ? "a list" : "one value";
    complain(0, "", `The file must be a block of keys, such as "name: Mill engine", got ${got}.`);
  }
  if (tooMuch || typeof root !== "object" || root === null || Array.isArray(root)) return refusal(complaints);

  const nearest = (found: Map<string, number>, path: Path): { line: number; column: number } => {
    for (let length = path.length; length > 0; length--) {
      const part = pathKey(path.slice(0, length));
      const offset = (length === path.length ? found.get(part) : undefined) ?? keyPlaces.get(part) ?? places.get(part);
      if (offset !== undefined) return placeAt(offset);
    }
    return placeAt(places.get("") ?? 0);
  };
  return {
    ok: true,
    value: {
      root: root as Record<string, unknown>,
      placeOf: (path) => nearest(places, path),
      keyPlaceOf: (path) => nearest(keyPlaces, path),
      complaints,
    },
  };
}
