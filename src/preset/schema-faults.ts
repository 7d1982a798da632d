import * as z from "zod";
import { refusal, type Complaint, type Loaded } from "./complaint.js";
import { shownValue } from "./fields.js";
import { elsewhere } from "./misplaced-key.js";
import { allowsNone, takeNones } from "./none-word.js";
import { listed, nearestWord } from "./near-word.js";
import { pathName, type Path, type YamlTree } from "./yaml-tree.js";

/** What is right of a file, and what is wrong with the rest. */
export interface CheckedTree<T> {
  readonly given: T;
  /** Names of the values that were given and are wrong. */
  readonly wrong: ReadonlySet<string>;
  /** Names of what the owner says there is none of. */
  readonly nones: ReadonlySet<string>;
  readonly complaints: readonly Complaint[];
}

function copyOf(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(copyOf);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, child]) => [key, copyOf(child)]));
}

function valueAt(root: unknown, path: Path): unknown {
  let value = root;
  for (const step of path) value = (value as Record<string | number, unknown> | undefined)?.[step];
  return value;
}

function removeAt(root: unknown, path: Path): void {
  const parent = valueAt(root, path.slice(0, -1));
  const last = path[path.length - 1]!;
  // An item of a list keeps its place, so that the items after it keep their names.
  if (Array.isArray(parent)) parent[last as number] = undefined;
  else if (typeof parent === "object" && parent !== null) delete (parent as Record<string, unknown>)[String(last)];
}

function schemaAt(schema: z.core.$ZodType, root: unknown, path: Path): z.core.$ZodType | null {
  let here: z.core.$ZodType = schema;
  const open = (depth: number): void => {
    for (;;) {
      if (here instanceof z.ZodOptional) here = here.unwrap();
      else if (here instanceof z.ZodDiscriminatedUnion) {
        const kind = (valueAt(root, path.slice(0, depth)) as { kind?: unknown } | undefined)?.kind;
        const options = here.options;
        const found = options.find((option) => optionKinds(option).includes(kind as string | undefined));
        if (found === undefined) return;
        here = found;
      } else return;
    }
  };
  open(0);
  for (let i = 0; i < path.length; i++) {
    if (here instanceof z.ZodObject) {
      const next = (here.shape as Record<string, z.core.$ZodType>)[String(path[i])];
      if (next === undefined) return null;
      here = next;
    } else if (here instanceof z.ZodArray) here = here.element;
    else return null;
    open(i + 1);
  }
  return here;
}

function optionKinds(option: z.core.$ZodType): (string | undefined)[] {
  if (!(option instanceof z.ZodObject)) return [];
  const kind = (option.shape as Record<string, z.core.$ZodType>).kind;
  return kind === undefined ? [] : [...(kind._zod.values ?? [])].map((value) => value as string | undefined);
}

/** Keys of a block that none of the kinds it could be has. */
function keysOfNone(options: readonly z.core.$ZodType[], block: unknown): string[] {
  if (typeof block !== "object" || block === null || Array.isArray(block)) return [];
  const known = new Set(options.flatMap((option) => (option instanceof z.ZodObject ? Object.keys(option.shape) : [])));
  return Object.keys(block).filter((key) => !known.has(key));
}

/**
 * Holds a tree against a schema. Values that are wrong are named and left out, so that the rest can still be looked
 * at and all faults be told at once.
 */
export function checkTree<S extends z.ZodType>(
  schema: S,
  tree: YamlTree,
  fileName: string,
): Loaded<CheckedTree<z.output<S>>> {
  const root = copyOf(tree.root) as Record<string, unknown>;
  const complaints: Complaint[] = [...tree.complaints];
  const wrong = new Set<string>(tree.complaints.map((complaint) => complaint.name));
  const complain = (path: Path, message: string, atKey: boolean): void => {
    const place = atKey ? tree.keyPlaceOf(path) : tree.placeOf(path);
    complaints.push({ file: fileName, ...place, name: pathName(path), message });
    wrong.add(pathName(path));
  };

  const nones = takeNones(schema, root);
  // Leaving out what is wrong can lay open what a union hid; no shape of file needs more rounds than it is deep.
  for (let round = 0; round < 8; round++) {
    const result = schema.safeParse(root);
    if (result.success) return { ok: true, value: { given: result.data, wrong, nones, complaints } };
    for (const issue of result.error.issues) {
      const path = issue.path as (string | number)[];
      const got = shownValue(valueAt(root, path));
      if (issue.code === "unrecognized_keys") {
        const here = schemaAt(schema, root, path);
        const known = here instanceof z.ZodObject ? Object.keys(here.shape) : [];
        const kind = (valueAt(root, path) as { kind?: unknown }).kind;
        const of = path.length > 0 && typeof kind === "string" ? ` of kind ${kind}` : "";
        for (const key of issue.keys) {
          const near = nearestWord(key, known);
          const isOneSlip = near !== null && !key.includes(".") && near.toLowerCase().includes(key.toLowerCase());
          const moved = isOneSlip ? null : elsewhere(schema, path, key, valueAt(root, [...path, key]));
          const wayOut =
            moved?.wayOut ?? (near === null ? `Known here: ${listed(known, "and")}.` : `Nearest: ${near}.`);
          complain([...path, key], `is not a known key${of}. ${wayOut}`, true);
          // The value that was meant is there, under the wrong name or in the wrong place: it is not missing.
          if (moved !== null) for (const name of moved.names) wrong.add(name);
          else if (near !== null) wrong.add(pathName([...path, near]));
          removeAt(root, [...path, key]);
        }
        continue;
      }
      if (issue.code === "invalid_union") {
        const holder = path[path.length - 1] === "kind" ? path.slice(0, -1) : path;
        const here = schemaAt(schema, root, holder);
        const options = here instanceof z.ZodDiscriminatedUnion ? here.options : [];
        const kinds = options.flatMap(optionKinds).filter((kind) => kind !== undefined);
        const near = typeof got === "string" ? nearestWord(got, kinds) : null;
        const otherwise =
          z.globalRegistry.get(here as z.ZodType)?.description ?? `For example kind: ${kinds[0] ?? ""}.`;
        const wayOut = near === null ? otherwise : `Nearest: ${near}.`;
        const written = (valueAt(root, holder) as { kind?: unknown } | undefined)?.kind;
        complain([...holder, "kind"], `must be ${listed(kinds)}, got ${shownValue(written)}. ${wayOut}`, false);
        for (const key of keysOfNone(options, valueAt(root, holder))) {
          complain([...holder, key], "is not a key of any kind of it that there is. Leave it out.", true);
        }
        wrong.add(pathName(holder));
        removeAt(root, holder);
        continue;
      }
      if (issue.code === "invalid_type") {
        const here = schemaAt(schema, root, path);
        const block = here !== null && allowsNone(here) ? "a block of keys, or none" : "a block of keys";
        const rule = issue.expected === "array" ? "a list, such as [0 deg, 90 deg]" : block;
        complain(path, `must be ${rule}, got ${got}. Check the indentation and the colon.`, false);
      } else if (issue.code === "too_big") {
        complain(path, `must have at most ${String(issue.maximum)} items. Remove some.`, false);
      } else complain(path, `${issue.message}`, false);
      removeAt(root, path);
    }
  }
  return refusal(complaints);
}
