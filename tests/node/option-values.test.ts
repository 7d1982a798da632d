import { describe, expect, it } from "vitest";
import { InputFault } from "../../src/node/input-fault.js";
import * as options from "../../src/node/option-values.js";

/** Each text is refused in one line that names the option and what was got. */
function refuses(option: string, parse: (text: string) => unknown, texts: string[]) {
  for (const text of texts) {
    let message = "";
    try {
      parse(text);
    } catch (error) {
      expect(error).toBeInstanceOf(InputFault);
      message = (error as Error).message;
    }
    expect(message, `${option} ${JSON.stringify(text)}`).toMatch(new RegExp(`^${option} must be .+, got .+\\. .+$`));
  }
}

const nonsense = [
  "",
  " ",
  "NaN",
  "Infinity",
  "-Infinity",
  "1e999",
  "abc",
  "1_000",
  "--json",
  "\u001b[31m",
  "0x10",
  "1,5",
];

describe("numeric options", () => {
  it("--seconds takes 0.1 s to a day, bare or with a unit of time", () => {
    expect(options.secondsOption("30")).toBe(30);
    expect(options.secondsOption("0.1")).toBe(0.1);
    expect(options.secondsOption("2 min")).toBe(120);
    expect(options.secondsOption("24h")).toBe(86400);
    refuses("--seconds", options.secondsOption, [...nonsense, "0", "0.09", "86401", "-5", "1e9", "10 rpm"]);
  });

  it("--turns, --rate, --seed and --pulse-step take whole numbers in their range", () => {
    expect(options.turnsOption("100000")).toBe(100000);
    refuses("--turns", options.turnsOption, [...nonsense, "0", "1.5", "100001", "-1", "1e3", "10 turns"]);
    expect(options.rateOption("44100")).toBe(44100);
    refuses("--rate", options.rateOption, [...nonsense, "7999", "192001", "1e9", "48000.5", "1000000000"]);
    expect(options.seedOption("4294967295")).toBe(4294967295);
    expect(options.seedOption("0")).toBe(0);
    refuses("--seed", options.seedOption, [...nonsense, "-1", "4294967296", "1.5"]);
    expect(options.pulseStepOption("1")).toBe(1);
    refuses("--pulse-step", options.pulseStepOption, [...nonsense, "0", "-16", "1.5"]);
  });

  it("--bits and --fidelity take what is on their list", () => {
    expect(["16", "24", "32f", "32F"].map(options.bitsOption)).toEqual(["16", "24", "32f", "32f"]);
    refuses("--bits", options.bitsOption, [...nonsense, "8", "32", "24 bit"]);
    expect(["1", "2", "4"].map(options.fidelityOption)).toEqual([1, 2, 4]);
    refuses("--fidelity", options.fidelityOption, [...nonsense, "3", "0", "8"]);
  });

  it("--cutoff, --regulator and --full-scale need their unit", () => {
    expect(options.cutoffOption("30 %")).toBe(0.3);
    expect(options.cutoffOption("-75%")).toBe(-0.75);
    refuses("--cutoff", options.cutoffOption, [...nonsense, "0.3", "30", "101 %", "-101 %", "30 rpm"]);
    expect(options.regulatorOption("100 %")).toBe(1);
    expect(options.regulatorOption("0")).toBe(0);
    refuses("--regulator", options.regulatorOption, [...nonsense, "-1 %", "101 %", "1"]);
    expect(options.fullScaleOption("25 Pa")).toBe(25);
    refuses("--full-scale", options.fullScaleOption, [...nonsense, "0 Pa", "-2 Pa", "25", "1e9 Pa", "25 dB"]);
  });

  it("--speed takes rpm or Hz, and a road speed where there are wheels", () => {
    const alone = (text: string) => options.speedOption(text, null, 0.2);
    expect(alone("90 rpm")).toBe(90);
    expect(alone("-90rpm")).toBe(-90);
    expect(alone("1.5 Hz")).toBe(90);
    // 30 mph on wheels of 5 ft: 13.4112 m/s over 4.7878 m a turn = 168.07 rpm. (exact: 1 mi = 5280 ft; 30 * 88 / (5 pi))
    expect(options.speedOption("30 mph", 5 * 0.3048, 0.6)).toBeCloseTo((30 * 88) / (5 * Math.PI), 9);
    expect(options.speedOption("-36 km/h", 1, 0.6)).toBeCloseTo(-600 / Math.PI, 9);
    refuses("--speed", alone, [...nonsense, "90", "30 mph", "1e9 rpm", "-1e9 rpm", "90 Pa"]);
    refuses("--speed", (text) => options.speedOption(text, 1.5, 0.6), ["90", "1e9 mph", "abc"]);
  });

  it("--speed keeps the pistons within the 50 m/s that a machine file may ask of them", () => {
    // Two strokes a turn: 0.6 m at 2500 rpm is 2 x 0.6 x 2500 / 60 = 50 m/s.
    const of600 = (text: string) => options.speedOption(text, null, 0.6);
    expect(of600("2500 rpm")).toBe(2500);
    expect(of600("-2500 rpm")).toBe(-2500);
    refuses("--speed", of600, ["2501 rpm", "-2501 rpm", "6000 rpm"]);
    expect(() => of600("6000 rpm")).toThrow("at most 2500 rpm either way, a mean piston speed of 50 m/s, got");
    expect(options.speedOption("6000 rpm", null, 0.02)).toBe(6000);
  });
});
