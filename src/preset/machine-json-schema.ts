import * as z from "zod";
import { machineSchema, REQUIRED_FIELDS } from "./machine-schema.js";

type JsonObject = Record<string, unknown>;

function propertiesOf(schema: JsonObject): Record<string, JsonObject> {
  return schema.properties as Record<string, JsonObject>;
}

/**
 * The machine file as a JSON Schema (draft 2020-12), with the legal range of every field. Values with a unit are
 * strings; `x-least` and `x-most` give their ends as they would be written, `x-base-least` and `x-base-most` in
 * `x-base-unit`. It is what `presets/schema.json` holds.
 */
export function machineJsonSchema(): JsonObject {
  const schema = z.toJSONSchema(machineSchema, { io: "input" }) as JsonObject;
  for (const name of Object.keys(REQUIRED_FIELDS)) {
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
  };
}
