import * as z from "zod";
import { shownValue } from "./fields.js";
import { listed } from "./near-word.js";
import { pathName, type Path } from "./yaml-tree.js";

/** A name on one line of a way out, as a block of keys: `boiler: { pressure: 100 psi }`. */
function asBlocks(path: Path, raw: unknown): string {
  return path.reduceRight<string>(
    (text, key, i) => `${key}: ${i === path.length - 1 ? text : `{ ${text} }`}`,
    shownValue(raw),
  );
}

/** Paths of the blocks that have a key of this name, from the top of the file. */
function holdersOf(schema: z.core.$ZodType, key: string, path: Path = []): Path[] {
  if (schema instanceof z.ZodOptional) return holdersOf(schema.unwrap(), key, path);
  if (schema instanceof z.ZodDiscriminatedUnion) {
    const all = schema.options.flatMap((option) => holdersOf(option, key, path));
    return all.filter((one, i) => all.findIndex((other) => pathName(other) === pathName(one)) === i);
  }
  if (!(schema instanceof z.ZodObject)) return [];
  const shape = schema.shape as Record<string, z.core.$ZodType>;
  const below = Object.entries(shape).flatMap(([name, child]) => holdersOf(child, key, [...path, name]));
  return Object.hasOwn(shape, key) ? [path, ...below] : below;
}

// More places than this are no hint. [common practice]
const MOST_PLACES = 6;

/** Where a key belongs that stands in the wrong place. */
export interface ProperPlace {
  /** What to do, as a sentence. */
  readonly wayOut: string;
  /** Names that may have been meant. */
  readonly names: readonly string[];
}

/**
 * Where a key belongs that stands in the wrong block, or is written with dots. Null if no block has such a key, or so many
 * that naming them is no help.
 *
 * @param path of the block in which it stands
 * @param raw its value
 */
export function elsewhere(schema: z.core.$ZodType, path: Path, key: string, raw: unknown): ProperPlace | null {
  const dotted = key.split(".");
  if (dotted.length > 1) {
    const target = [...path, ...dotted];
    const isKnown = holdersOf(schema, dotted.at(-1)!).some(
      (holder) => pathName(holder) === pathName(target.slice(0, -1)),
    );
    if (!isKnown) return null;
    return { wayOut: `Write it as a block: ${asBlocks(dotted, raw)}.`, names: [pathName(target)] };
  }
  const all = holdersOf(schema, key).filter((holder) => pathName(holder) !== pathName(path));
  // Blocks that repeat blocks of the top are no hint unless the key stands in one of them.
  const repeats = (holder: Path) =>
    holder[0] !== path[0] && all.some((other) => pathName(other) === pathName(holder.slice(1)));
  const holders = all.filter((holder) => holder.length < 2 || !repeats(holder));
  if (holders.length === 0 || holders.length > MOST_PLACES) return null;
  const places = holders.map((holder) => (holder.length === 0 ? "the top of the file" : pathName(holder)));
  const isTop = holders.length === 1 && holders[0]!.length === 0;
  return {
    wayOut: isTop ? "Write it at the top of the file, not indented." : `Write it under ${listed(places)}.`,
    names: holders.map((holder) => pathName([...holder, key])),
  };
}
