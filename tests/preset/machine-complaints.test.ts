import { describe, expect, it } from "vitest";
import { fullMachineWith as full } from "./example-machine.js";
import { complaintsOf } from "./loading.js";

describe("one wrong value gives one complaint, with its place, rule, what was got and a way out", () => {
  it.each([
    [
      "a wrong unit",
      full("bore: 17 in", "bore: 305 m"),
      "m.yaml:9:9 cylinders.bore must be between 2 mm and 3 m, got 305 m. Did you mean 305 mm?",
    ],
    [
      "no unit",
      full("bore: 17 in", "bore: 17"),
      'm.yaml:9:9 cylinders.bore must be a length in mm, cm, m, km, in or ft, got "17". Add the unit, for example 430 mm or 17 in.',
    ],
    ["another dimension", full("bore: 17 in", "bore: 17 bar"), '"bar" is the unit of a pressure'],
    [
      "a misspelt key",
      full("  bore: 17 in", "  boar: 17 in"),
      "m.yaml:9:3 cylinders.boar is not a known key. Nearest: bore.",
    ],
    [
      "a short key",
      full("  steamLap: 1 in", "  lap: 1 in"),
      "valveGear.lap is not a known key of kind eccentric. Nearest: steamLap.",
    ],
    [
      "a key of another gear",
      full("  steamLap: 1 in", "  pivotDistance: 1 m"),
      "valveGear.pivotDistance is not a known key of kind eccentric. Known here:",
    ],
    [
      "an unknown word",
      full("kind: locomotive", "kind: lokomotive"),
      "m.yaml:3:7 kind must be stationary, locomotive, road, marine, model or pump, got lokomotive. Nearest: locomotive.",
    ],
    [
      "an unknown gear",
      full("kind: eccentric", "kind: ecentric"),
      "m.yaml:17:9 valveGear.kind must be eccentric, events or oscillating, got ecentric. Nearest: eccentric.",
    ],
    [
      "a list for a value",
      full("bore: 17 in", "bore: [17 in]"),
      "cylinders.bore must be a length with its unit, got a list.",
    ],
    [
      "a block for a value",
      full("bore: 17 in", "bore: { inch: 17 }"),
      "cylinders.bore must be a length with its unit, got a block.",
    ],
    [
      "a value for a block",
      full("chest: { volume: 12 L }", "chest: 12 L"),
      "m.yaml:32:8 chest must be a block of keys, got 12 L.",
    ],
    [
      "a value for a list",
      full("crankAngles: [0 deg, 90 deg]", "crankAngles: 90 deg"),
      "cylinders.crankAngles must be a list, such as [0 deg, 90 deg], got 90 deg.",
    ],
    ["true for a value", full("bore: 17 in", "bore: true"), "cylinders.bore must be a length with its unit, got true."],
    ["a word for true", full("idealised: false", "idealised: maybe"), "idealised must be true or false, got maybe."],
    [
      "nothing",
      full("bore: 17 in", "bore:"),
      "m.yaml:9:3 cylinders.bore has no value. Give it one, or leave the key out.",
    ],
    ["NaN", full("bore: 17 in", "bore: .nan"), "cylinders.bore must be a length"],
    ["infinity", full("bore: 17 in", "bore: .inf"), "cylinders.bore must be a length"],
    ["infinity with a unit", full("bore: 17 in", "bore: 1e999 m"), "The number is not finite."],
    ["zero bore", full("bore: 17 in", "bore: 0 in"), "cylinders.bore must be between 2 mm and 3 m, got 0 in."],
    [
      "a thousand million",
      full("stroke: 24 in", "stroke: 1e9 m"),
      "cylinders.stroke must be between 2 mm and 4 m, got 1e9 m.",
    ],
    [
      "a million cylinders",
      full("count: 2", "count: 1e6"),
      "cylinders.count must be a whole number from 1 to 4, got 1000000.",
    ],
    ["half a cylinder", full("count: 2", "count: 1.5"), "cylinders.count must be a whole number from 1 to 4, got 1.5."],
    [
      "a count with a unit",
      full("count: 2", "count: 2 pieces"),
      "cylinders.count must be a whole number from 1 to 4, got 2 pieces. Write a bare number.",
    ],
    [
      "another version",
      full("formatVersion: 1", "formatVersion: 2"),
      "formatVersion must be 1, got 2. No other is known here.",
    ],
    ["an empty name", full("name: Harbour shunter ", 'name: " " '), "name must not be empty."],
    [
      "a very long name",
      full("name: Harbour shunter ", `name: ${"x".repeat(500)} `),
      "name must be at most 120 letters long",
    ],
  ])("%s", (_what, text, expected) => {
    const complaints = complaintsOf(text);
    expect(complaints.length, complaints.join("\n")).toBe(1);
    expect(complaints[0]).toContain(expected);
  });
});
