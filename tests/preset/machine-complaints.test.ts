import { describe, expect, it } from "vitest";
import { BOILER_LINE, fourValues, fullMachineWith as full } from "./example-machine.js";
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
      "m.yaml:17:9 valveGear.kind must be eccentric, events, oscillating or tripped, got ecentric. Nearest: eccentric.",
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
      "m.yaml:33:8 chest must be a block of keys, got 12 L.",
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
      "a machine that stands still",
      full("speed: 90 rpm", "speed: 0 rpm"),
      "speed must be between 1 rpm and 6000 rpm, either way, got 0 rpm. Give its working speed; it can stand still in a run file, or be rendered with --speed '0 rpm'.",
    ],
    [
      "a decimal comma in braces",
      full("pressure: 160 psi", "pressure: 12,5 bar"),
      "m.yaml:6:11 boiler.pressure must have no comma, got 12,5 bar. A comma parts entries inside braces: write the decimal sign as a point, 12.5 bar",
    ],
    [
      "a word for true",
      full("idealised: false", "idealised: yes"),
      "idealised must be true or false, got yes. Write true.",
    ],
    [
      "true in quotes",
      full("idealised: false", 'idealised: "true"'),
      "got true. Write true, without quotes and in small letters.",
    ],
    ["the beginning of a word", full("kind: locomotive", "kind: lok"), "got lok. Nearest: locomotive."],
    [
      "a key at the top that belongs in a block",
      full("  bore: 17 in\n", "").replace("speed: 90 rpm", "speed: 90 rpm\nbore: 17 in"),
      "m.yaml:36:1 bore is not a known key. Write it under cylinders, exhaust.passage, exhaust.blastPipe",
    ],
    [
      "a key in a block that belongs at the top",
      full("wheels: { diameter: 5 ft }", "wheels: { diameter: 5 ft, idealised: false }"),
      "wheels.idealised is not a known key. Write it at the top of the file, not indented.",
    ],
    [
      "a key written with dots",
      full(BOILER_LINE, "boiler.pressure: 160 psi"),
      "m.yaml:6:1 boiler.pressure is not a known key. Write it as a block: boiler: { pressure: 160 psi }.",
    ],
    [
      "a cylinder that is not there",
      full("cylinder: 2, by: 1 deg", "cylinder: 5, by: 1 deg"),
      "cylinder must be at most the number of cylinders, 2, got 5. Count them from 1.",
    ],
    [
      "half a cylinder out of true",
      full("cylinder: 2, by: 1 deg", "cylinder: 1.5, by: 1 deg"),
      "faults[2].cylinder must be a whole number, from 1, got 1.5. Count the cylinders from 1.",
    ],
    [
      "a gear that is not built",
      full("kind: eccentric", "kind: walschaerts"),
      "valveGear.kind must be eccentric, events, oscillating or tripped, got walschaerts. Link motions and radial gears are not built yet: write one as kind: events, by its cut-off and release.",
    ],
    [
      "a barometer's reading without abs",
      full("pressure: 1.01325 bar abs", "pressure: 98.2 kPa"),
      "ambient.pressure must be between 0.3 bar abs and 1.2 bar abs, got 98.2 kPa, that is 1.9952 bar abs. Write it with abs: 98.2 kPa abs.",
    ],
    ["the same in bar", full("pressure: 1.01325 bar abs", "pressure: 1.01 bar"), "Write it with abs: 1.01 bar abs."],
    ["in hPa", full("pressure: 1.01325 bar abs", "pressure: 1013 hPa"), "Write it with abs: 1013 hPa abs."],
    ["in inches", full("pressure: 1.01325 bar abs", "pressure: 29.9 inHg"), "Write it with abs: 29.9 inHg abs."],
    ["in the wrong unit", full("pressure: 1.01325 bar abs", "pressure: 1013 kPa"), "Did you mean 1013 hPa abs?"],
    [
      "a vacuum gauge's reading without its sign",
      fourValues({}, "exhaust: { passage: {}, condenser: { pressure: 26 inHg } }"),
      "exhaust.condenser.pressure must be between 1 kPa abs and 1.2 bar abs, got 26 inHg, that is 1.8937 bar abs. Write it with abs: 26 inHg abs. Or, for a vacuum, -26 inHg.",
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

  it("a gear that is not built, and beside it what no gear has", () => {
    const text = fourValues({}, "valveGear: { kind: walschaerts, reverser: 3, lead: 2 mm, radius: 1 m }");
    expect(complaintsOf(text).map((line) => line.replace(/\. .*/, ""))).toEqual([
      "m.yaml:4:20 valveGear.kind must be eccentric, events, oscillating or tripped, got walschaerts",
      "m.yaml:4:33 valveGear.reverser is not a key of any kind of it that there is",
      "m.yaml:4:58 valveGear.radius is not a key of any kind of it that there is",
    ]);
  });

  it("a value in the wrong place is not called missing as well, and what is missing is", () => {
    const complaints = complaintsOf("boiler.pressure: 100 psi\nstroke: 24 in\ncylinders: { bore: 17 in }\n");
    expect(complaints).toEqual([
      "m.yaml:1:1 boiler.pressure is not a known key. Write it as a block: boiler: { pressure: 100 psi }.",
      "m.yaml:1:1 speed is missing. Four values suffice, and this is one of them. Write speed: 90 rpm.",
      "m.yaml:2:1 stroke is not a known key. Write it under cylinders or exhaust.condenser.airPump.",
    ]);
  });
});
