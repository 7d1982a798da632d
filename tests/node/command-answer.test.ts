import { afterEach, describe, expect, it, vi } from "vitest";
import { printAnswer } from "../../src/node/command-answer.js";

function printed(json: Record<string, unknown>): string {
  let out = "";
  vi.spyOn(process.stdout, "write").mockImplementation((text) => {
    out += String(text);
    return true;
  });
  printAnswer({ json, text: "words", notes: [] }, true);
  return out;
}
afterEach(() => void vi.restoreAllMocks());

describe("an answer in JSON", () => {
  it("writes the level of silence and what does not apply as null", () => {
    expect(printed({ peakDbfs: -Infinity, powerW: null, turns: 2 })).toBe(
      '{"peakDbfs":null,"powerW":null,"turns":2}\n',
    );
  });

  it("is none where a figure came out as no number: a failure is never null", () => {
    expect(() => printed({ powerW: NaN })).toThrow("powerW came out as no number");
    expect(() => printed({ beats: [{ timeS: 0 }, { timeS: NaN }] })).toThrow("timeS came out as no number");
  });
});
