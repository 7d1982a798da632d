/** What can be copied as a block. */
type NumberArray =
  | Float64Array
  | Float32Array
  | Int32Array
  | Uint32Array
  | Int16Array
  | Uint16Array
  | Int8Array
  | Uint8Array
  | Uint8ClampedArray;

type Holder = Record<string, unknown>;

/** Contents of one object: its fields in order, and for those that hold objects their place among the saved ones. */
interface SavedFields {
  readonly keys: readonly string[];
  readonly values: readonly unknown[];
  readonly places: readonly number[];
}

const noPlace = -1;

/**
 * Everything a graph of objects held at one moment: numbers, words, switches, every array of numbers, and which object held
 * which. Made by `saveState`, given back by `restoreState`.
 */
export interface SavedState {
  /** Root first, in the order in which they were met. */
  readonly holders: readonly object[];
  /** As many: the copy of an array of numbers, or the fields. */
  readonly contents: readonly (NumberArray | SavedFields)[];
}

/**
 * Copies the own fields of an object and of every object it leads to, so that no buffer can be forgotten. Cycles and shared
 * arrays are met once. Methods are not state and are left out. Allocates; not for running code.
 *
 * @param into a state of the same graph that is no longer needed: its arrays are written over and must not be used again
 * @throws TypeError for what cannot be copied field by field, such as a Map
 *
 * @example
 * const before = saveState(machine);
 * machine.process(stems, 48_000);
 * restoreState(before, machine); // the next second is the same, bit for bit
 */
export function saveState(root: object, into: SavedState | null = null): SavedState {
  const places = new Map<object, number>([[root, 0]]);
  const holders: object[] = [root];
  const contents: (NumberArray | SavedFields)[] = [];
  for (let at = 0; at < holders.length; at++) {
    const holder = holders[at]!;
    if (isNumberArray(holder)) {
      const old = into?.contents[at];
      const fits = old !== undefined && isNumberArray(old) && old.constructor === holder.constructor;
      if (fits && old.length === holder.length) {
        old.set(holder);
        contents.push(old);
      } else contents.push(holder.slice());
      continue;
    }
    requirePlain(holder);
    const keys = Object.keys(holder).filter((key) => typeof (holder as Holder)[key] !== "function");
    const values = keys.map((key) => (holder as Holder)[key]);
    const fieldPlaces = values.map((value) => {
      if (typeof value !== "object" || value === null) return noPlace;
      let place = places.get(value);
      if (place === undefined) {
        place = holders.push(value) - 1;
        places.set(value, place);
      }
      return place;
    });
    contents.push({ keys, values, places: fieldPlaces });
  }
  return { holders, contents };
}

/**
 * Puts a saved state back: into the object it was saved from, whatever has become of it, or into another of the same make.
 * Only what differs is written, so that constants stay constants for the compiler.
 *
 * @throws RangeError for an object of another make
 */
export function restoreState(saved: SavedState, root: object): void {
  const { contents } = saved;
  const targets = root === saved.holders[0] ? saved.holders : counterparts(saved, root);
  for (let at = 0; at < contents.length; at++) {
    const content = contents[at]!;
    const target = targets[at]!;
    if (isNumberArray(content)) {
      (target as NumberArray).set(content);
      continue;
    }
    const { keys, values, places } = content;
    if (Array.isArray(target) && target.length !== keys.length) target.length = keys.length;
    for (let k = 0; k < keys.length; k++) {
      const value = places[k] === noPlace ? values[k] : targets[places[k]!];
      const key = keys[k]!;
      if (!Object.is((target as Holder)[key], value)) (target as Holder)[key] = value;
    }
  }
}

// The objects of another graph of the same make that stand where the saved ones stood.
function counterparts(saved: SavedState, root: object): object[] {
  const { holders, contents } = saved;
  const found: object[] = [root];
  for (let at = 0; at < holders.length; at++) {
    const own = holders[at]!;
    const other = found[at];
    if (other === undefined || other.constructor !== own.constructor || lengthOf(other) !== lengthOf(own)) {
      throw new RangeError(
        `restoreState: the machine must be of the same make, got another at ${own.constructor.name}. ` +
          `Build it from the same description and settings.`,
      );
    }
    const content = contents[at]!;
    if (isNumberArray(content)) continue;
    content.keys.forEach((key, k) => {
      const place = content.places[k]!;
      if (place === noPlace || found[place] !== undefined) return;
      const value = (other as Holder)[key];
      if (typeof value === "object" && value !== null) found[place] = value;
    });
  }
  return found;
}

function lengthOf(holder: object): number {
  return isNumberArray(holder) || Array.isArray(holder) ? holder.length : 0;
}

function isNumberArray(value: object): value is NumberArray {
  return ArrayBuffer.isView(value) && !(value instanceof DataView);
}

// Objects whose contents are not fields.
function requirePlain(holder: object): void {
  const words = Object.prototype.toString.call(holder).slice("[object ".length, -1);
  if (words === "Object" || words === "Array") return;
  throw new TypeError(`saveState: a ${words} cannot be copied field by field. Keep state in numbers and arrays.`);
}
