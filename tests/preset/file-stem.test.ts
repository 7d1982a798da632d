import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { safeFileStem } from "../../src/preset/file-stem.js";

describe("a name made safe for a file", () => {
  it.each([
    ["Harbour shunter", "harbour-shunter"],
    ["../../x", "x"],
    ["..\\..\\windows", "windows"],
    ["/etc/passwd", "etc-passwd"],
    ["<script>alert(1)</script>", "script-alert-1-script"],
    ["", "unnamed"],
    ["...", "unnamed"],
    ["☃", "unnamed"],
    ["CON", "con-engine"],
    ["com1", "com1-engine"],
    ["nul.wav", "nul-wav"],
    ["Émile's Crème", "emiles-creme"],
    ["-rf", "rf"],
    ["a\u0000b\nc", "a-b-c"],
    ["x".repeat(5000), "x".repeat(60)],
    ["$(reboot)`;|&", "reboot"],
  ])("%j", (name, expected) => {
    expect(safeFileStem(name)).toBe(expected);
  });
  it("is always short, plain and not reserved, and safe already once made", () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.string({ unit: "binary" })), (name) => {
        const stem = safeFileStem(name);
        expect(stem).toMatch(/^[a-z0-9]([a-z0-9-]{0,65}[a-z0-9])?$/);
        expect(safeFileStem(stem)).toBe(stem);
      }),
      { seed: 5, numRuns: 1000 },
    );
  });
});
