import * as z from "zod";

/** What a file writes where there is nothing of a kind. */
const NONE = "none";

/** Metadata by which a schema says that `none` may stand in its place. */
export const NONE_MARK = "x-none";

/** A block or value in whose place the word `none` may stand. */
export function orNone<S extends z.ZodType>(schema: S): S {
  return schema.meta({ ...schema.meta(), [NONE_MARK]: true });
}

function opened(schema: z.core.$ZodType): z.core.$ZodType {
  return schema instanceof z.ZodOptional ? opened(schema.unwrap()) : schema;
}

/** Whether `none` may stand in place of what this schema describes. */
export function allowsNone(schema: z.core.$ZodType): boolean {
  return z.globalRegistry.get(opened(schema))?.[NONE_MARK] === true;
}

/** Takes every legal `none` out of a tree and returns the names at which they stood: left out there, but said to be. */
export function takeNones(schema: z.core.$ZodType, root: Record<string, unknown>): Set<string> {
  const names = new Set<string>();
  const visit = (here: z.core.$ZodType, block: Record<string, unknown>, name: string): void => {
    if (!(here instanceof z.ZodObject)) return;
    const shape: Readonly<Record<string, z.core.$ZodType>> = here.shape;
    for (const [key, child] of Object.entries(shape)) {
      if (!Object.hasOwn(block, key)) continue;
      const value = block[key];
      const path = name === "" ? key : `${name}.${key}`;
      if (value === NONE && allowsNone(child)) {
        names.add(path);
        delete block[key];
      } else if (typeof value === "object" && value !== null && !Array.isArray(value)) {
        visit(opened(child), value as Record<string, unknown>, path);
      }
    }
  };
  visit(schema, root, "");
  return names;
}
