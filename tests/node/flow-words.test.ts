import { describe, expect, it } from "vitest";
import { flowWords } from "../../src/node/flow-words.js";

describe("a flow in words", () => {
  it("has four digits that count and no power of ten, from a model's to a power station's", () => {
    for (const [kgPerHour, words] of [
      [12_694, "12690 kg/h"],
      [12_345_678, "12350000 kg/h"],
      [1_000, "1000 kg/h"],
      [999.96, "1000 kg/h"],
      [45.678, "45.68 kg/h"],
      [1.5, "1.500 kg/h"],
      [0.0123456, "0.01235 kg/h"],
      [0.00001234, "0.00001234 kg/h"],
      [-45.678, "-45.68 kg/h"],
      [1e-9, "0 kg/h"],
      [-1e-9, "0 kg/h"],
      [0, "0 kg/h"],
      [NaN, "no number"],
    ] as const)
      expect(flowWords(kgPerHour / 3600)).toBe(words);
  });
});
