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
  else?: Node;
  additionalProperties?: boolean;
  "x-least"?: string;
  "x-most"?: string;
  "x-none"?: boolean;
  pattern?: string;
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
    expect([...(schema.required ?? [])].sort()).toEqual(["boiler", "cylinders"]);
    // All but pumps without a crank.
    expect(schema.else?.required).toEqual(["speed"]);
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

  it("lets none stand wherever it says so, and nowhere else", () => {
    const named: string[] = [];
    const visit = (node: Node, path: string[]): void => {
      for (const [key, child] of Object.entries(node.properties ?? {})) {
        const here = [...path, key];
        const { type } = child;
        const isBlock = type === "object" || (Array.isArray(type) && type.includes("object"));
        const inner = here.reduceRight(
          (text, step, i) => (i === 0 ? `${step}: ${text}` : `{ ${step}: ${text} }`),
          "none",
        );
        const text = fourValues({}, here[0] === "boiler" ? "" : inner).replace(
          "160 psi }",
          here[0] === "boiler" && here.length > 1 ? `160 psi, ${here[1]}: none }` : "160 psi }",
        );
        if (child["x-none"] === true) {
          named.push(here.join("."));
          expect(machineOf(text).warnings.filter((one) => !/no pipe|no safety valve/.test(one))).toEqual([]);
          if (isBlock) expect(child.pattern).toBe("^none$");
        } else if (isBlock && here[0] !== "boiler" && here[0] !== "cylinders") {
          expect(complaintsOf(text).join("\n"), text).toContain("must be a block of keys, got none");
        }
        if (isBlock) visit(child, here);
      }
    };
    visit(schema, []);
    expect(named).toContain("exhaust.condenser.airPump");
    expect(named).toContain("boiler.volume");
    expect(named.length).toBeGreaterThan(20);
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
