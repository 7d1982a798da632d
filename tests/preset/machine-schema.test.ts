import { readFileSync, writeFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { machineJsonSchema } from "../../src/preset/machine-json-schema.js";
import { fourValues } from "./example-machine.js";
import { complaintsOf, machineOf } from "./loading.js";

const path = new URL("../../presets/schema.json", import.meta.url);

interface Node {
  type?: string | string[];
  properties?: Record<string, Node>;
  items?: Node;
  oneOf?: Node[];
  anyOf?: Node[];
  required?: string[];
  additionalProperties?: boolean;
  "x-least"?: string;
  "x-most"?: string;
  description?: string;
}

/** Every field with ends, by its dotted name. */
function fieldsOf(node: Node, name = ""): [string, Node][] {
  const below = Object.entries(node.properties ?? {}).flatMap(([key, child]) =>
    fieldsOf(child, name === "" ? key : `${name}.${key}`),
  );
  const options = [...(node.oneOf ?? []), ...(node.anyOf ?? [])].flatMap((option) => fieldsOf(option, name));
  const items = node.items === undefined ? [] : fieldsOf(node.items, `${name}[]`);
  return [...(node["x-least"] === undefined ? [] : [[name, node] as [string, Node]]), ...below, ...options, ...items];
}

describe("presets/schema.json", () => {
  const schema = machineJsonSchema() as Node;

  // To write it anew: FOURBEAT_WRITE_SCHEMA=1 npx vitest run tests/preset/machine-schema
  it("is what the loader's own schema says", () => {
    if (process.env.FOURBEAT_WRITE_SCHEMA === "1") writeFileSync(path, `${JSON.stringify(schema, null, 2)}\n`);
    expect(JSON.parse(readFileSync(path, "utf8"))).toEqual(schema);
  });

  it("asks for the four values and refuses unknown keys", () => {
    expect([...(schema.required ?? [])].sort()).toEqual(["boiler", "cylinders", "speed"]);
    expect(schema.properties?.cylinders.required).toEqual(["bore", "stroke"]);
    expect(schema.properties?.boiler.required).toEqual(["pressure"]);
    expect(schema.additionalProperties).toBe(false);
  });

  it("says of every field what it is", () => {
    const fields = fieldsOf(schema);
    expect(fields.length).toBeGreaterThan(35);
    for (const [name, field] of fields)
      expect(field.description, name).toContain(`from ${field["x-least"]} to ${field["x-most"]}`);
  });

  it("has the ends that the loader keeps: each end is legal, and a hundredth beyond it is not", () => {
    // Fields that can stand alone beside the four values; the others hang on their neighbours.
    const alone = new Set(
      "cylinders.clearance ambient.humidity ambient.temperature ambient.pressure leaks.valve leaks.rings chest.volume regulator.area fullScale wheels.diameter exhaust.passage.length exhaust.passage.bore exhaust.blastPipe.length exhaust.blastPipe.bore".split(
        " ",
      ),
    );
    let count = 0;
    for (const [name, field] of fieldsOf(schema)) {
      if (!alone.has(name)) continue;
      count++;
      const write = (value: string) => {
        const steps = name.split(".");
        const inner = steps.reduceRight(
          (text, step) => (text === value ? `{ "${step}": "${value}" }` : `{ "${step}": ${text} }`),
          value,
        );
        const tree = JSON.parse(inner) as Record<string, Record<string, unknown>>;
        const base = {
          boiler: { pressure: "160 psi" },
          cylinders: { bore: "17 in", stroke: "24 in" },
          speed: "90 rpm",
        };
        return JSON.stringify({ ...base, ...tree, cylinders: { ...base.cylinders, ...tree.cylinders } });
      };
      const beyond = (end: string, by: number) =>
        end.replace(/^-?[\d.]+/, (digits) =>
          String(Number(digits) + by * Math.max(0.01 * Math.abs(Number(digits)), 1e-9)),
        );
      machineOf(write(field["x-least"]!));
      machineOf(write(field["x-most"]!));
      expect(complaintsOf(write(beyond(field["x-least"]!, -1)))[0], name).toContain("must be");
      expect(complaintsOf(write(beyond(field["x-most"]!, 1)))[0], name).toContain("must be between");
    }
    expect(count).toBe(alone.size);
    expect(machineOf(fourValues()).kind).toBe("stationary");
  });
});
