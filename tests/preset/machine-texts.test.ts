import { describe, expect, it } from "vitest";
import { fourValues } from "./example-machine.js";
import { complaintsOf, machineOf } from "./loading.js";

describe("texts that are no machine", () => {
  const nested = (depth: number) => `a: ${"[".repeat(depth)}${"]".repeat(depth)}`;
  const bomb = `a: &a [1,1,1,1,1,1,1,1,1]\n${[..."bcdefghij"].map((name, i) => `${name}: &${name} [${Array(9).fill(`*${"abcdefghij"[i]}`).join(",")}]`).join("\n")}`;
  it.each([
    ["empty", "", "m.yaml:1:1 The file is empty. Four values suffice"],
    ["blank", " \n\n", "The file is empty."],
    ["a byte order mark only", "\ufeff", "The file is empty."],
    ["remarks only", "# nothing\n# here\n", "must be a block of keys"],
    ["a list", "- 1\n- 2", "got a list"],
    ["one word", "locomotive", "got one value"],
    ["binary", "RIFF\u0000\u0001WAVE", "m.yaml:1:5 The file must be plain text (UTF-8), got binary data."],
    ["not UTF-8", "name: caf\ufffd", "plain text (UTF-8)"],
    ["over 1 MB", `# ${"x".repeat(1_000_001)}`, "The file must be at most 1 MB, got 1.0 MB."],
    ["over 1 MB in bytes, not letters", `# ${"é".repeat(600_000)}`, "at most 1 MB, got 1.2 MB"],
    ["tabs", "cylinders:\n\tbore: 17 in", "m.yaml:2:1 Tabs cannot indent here. Use spaces."],
    ["two documents", `${fourValues()}---\n${fourValues()}`, "There must be one document in the file, got several."],
    ["an unclosed quote", 'name: "Mill', "m.yaml:1:12"],
    ["two keys on one line", "speed: 90 rpm: 3", "Two keys stand on one line."],
    ["an alias bomb", bomb, "may refer back (*name) at most 100 times"],
    ["a circle of aliases", "a: &a [*a]", "nested too deeply"],
    ["deep nesting", nested(5000), "Brackets are nested too deeply"],
    ["unclosed brackets", "[".repeat(900_000), "Brackets are nested too deeply"],
    ["nesting past any machine", `${fourValues()}chest: ${"{a: ".repeat(30)}1${"}".repeat(30)}`, "nested too deeply"],
    ["deep indentation", Array.from({ length: 4000 }, (_, i) => `${" ".repeat(i % 400)}a:`).join("\n"), "m.yaml:"],
    ["a list as a key", "? [1, 2]\n: 3", "A key must be a word."],
    [
      "very many keys",
      Array.from({ length: 30_000 }, (_, i) => `k${i}: 1`).join("\n"),
      "The file holds too many values.",
    ],
    ["a tag", "cylinders: { bore: !!binary AAAA }", "cylinders.bore must be a length"],
  ])("%s", (_what, text, expected) => {
    const started = performance.now();
    const complaints = complaintsOf(text);
    expect(complaints.join("\n")).toContain(expected);
    expect(performance.now() - started).toBeLessThan(15_000);
  });

  it("a hundred references back are allowed", () => {
    const aliases = Array.from({ length: 20 }, (_, i) => `  - { kind: quartering, cylinder: *c, by: *d } # ${i}`).join(
      "\n",
    );
    const text = fourValues({}, `faults:\n  - { kind: quartering, cylinder: &c 1, by: &d 1 deg }\n${aliases}`);
    expect(machineOf(text).description.gear.faults.length).toBe(21);
  });
});
