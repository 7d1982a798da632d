import * as z from "zod";
import { NONE_MARK } from "./none-word.js";
import { machineSchema, REQUIRED_FIELDS } from "./machine-schema.js";

type JsonObject = Record<string, unknown>;

function propertiesOf(schema: JsonObject): Record<string, JsonObject> {
  return schema.properties as Record<string, JsonObject>;
}

/** Says of every block that the word none may stand in its place. */
function allowNone(node: unknown): void {
  if (typeof node !== "object" || node === null) return;
  const schema = node as JsonObject;
  if (schema[NONE_MARK] === true && schema.type === "object") {
    schema.type = ["object", "string"];
    schema.pattern = "^none$";
  }
  for (const child of Object.values(schema)) allowNone(child);
}

/**
 * The machine file as a JSON Schema (draft 2020-12), with the legal range of every field. Values with a unit are
 * strings; `x-least` and `x-most` give their ends as they would be written, `x-base-least` and `x-base-most` in
 * `x-base-unit`. `x-none` marks what may be the word none. It is what `presets/schema.json` holds.
 */
export function machineJsonSchema(): JsonObject {
  const schema = z.toJSONSchema(machineSchema, { io: "input" }) as JsonObject;
  allowNone(schema);
  for (const name of Object.keys(REQUIRED_FIELDS)) {
    if (name === "speed") continue;
    let holder = schema;
    for (const step of name.split(".")) {
      const required = (holder.required ?? []) as string[];
      if (!required.includes(step)) holder.required = [...required, step];
      holder = propertiesOf(holder)[step]!;
    }
  }
  return {
    $schema: schema.$schema,
    title: "Machine file",
    description:
      "A reciprocating steam machine. Bore, stroke, boiler pressure and speed suffice; the rest is assumed and listed.",
    ...schema,
    // A pump without a crank is turned by nobody.
    if: {
      anyOf: [
        {
          required: ["valveGear"],
          properties: { valveGear: { required: ["kind"], properties: { kind: { const: "tripped" } } } },
        },
        { required: ["pump"] },
      ],
    },
    else: { required: ["speed"] },
  };
}
