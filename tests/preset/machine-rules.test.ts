import { describe, expect, it } from "vitest";
import { fourValues, fullMachineWith as full } from "./example-machine.js";
import { complaintsOf } from "./loading.js";

describe("values that do not go together give one complaint, with its place, rule, what was got and a way out", () => {
  it.each([
    [
      "a rod shorter than the crank",
      full("connectingRod: 6 ft", "connectingRod: 11 in"),
      "m.yaml:12:18 cylinders.connectingRod must be longer than the crank, 12 in, got 11 in. Measure it centre to centre.",
    ],
    [
      "a rod thicker than the bore",
      full("pistonRod: 2.5 in", "pistonRod: 17 in"),
      "cylinders.pistonRod must be thinner than the bore, 17 in, got 17 in.",
    ],
    [
      "clearance written as a share",
      full("clearance: 8 %", "clearance: 0.08"),
      'cylinders.clearance must be a percentage in %, got "0.08". Write 8 % for it.',
    ],
    ["clearance too small", full("clearance: 8 %", "clearance: 0.08 %"), "got 0.08 %. Did you mean 8 %?"],
    [
      "too few cranks",
      full("[0 deg, 90 deg]", "[0 deg]"),
      "cylinders.crankAngles must list one angle for each of the 2 cylinders, got 1. For example [0 deg, 90 deg].",
    ],
    [
      "a first crank that is not 0",
      full("[0 deg, 90 deg]", "[90 deg, 0 deg]"),
      "cylinders.crankAngles must begin with 0 deg, got 90 deg.",
    ],
    [
      "a lap over half the travel",
      full("steamLap: 1 in", "steamLap: 2.5 in"),
      "m.yaml:20:13 valveGear.steamLap must be less than half the travel, 2.25 in, or the steam port never opens, got 2.5 in.",
    ],
    [
      "lap and lead over half the travel",
      full("lead: 1/4 in", "lead: 1.5 in"),
      "valveGear.lead must be less than half the travel beyond the lap, 1.25 in, got 1.5 in.",
    ],
    [
      "a negative lead",
      full("lead: 1/4 in", "lead: -1/4 in"),
      "valveGear.lead must be between 0 mm and 60 mm, got -1/4 in.",
    ],
    [
      "an exhaust that never opens",
      full("exhaustLap: 0 in", "exhaustLap: 2.5 in"),
      "or the exhaust never opens, got 2.5 in.",
    ],
    [
      "an exhaust that never shuts",
      full("exhaustLap: 0 in", "exhaustLap: -2.5 in"),
      "or the exhaust never shuts, got -2.5 in.",
    ],
    [
      "a nozzle as wide as its pipe",
      full("bore: 118 mm", "bore: 165 mm"),
      "exhaust.nozzle.bore must be less than the bore of the pipe it ends, 165 mm, got 165 mm.",
    ],
    [
      "a contraction longer than the pipe",
      full("contraction: 150 mm", "contraction: 1.2 m"),
      "exhaust.nozzle.contraction must be at most the length of the pipe it ends, 1.1 m, got 1.2 m.",
    ],
    [
      "a chimney on nothing",
      full("  smokebox:  { volume: 3 m3, temperature: 300 degC }\n", ""),
      "exhaust.chimney must stand on a smokebox",
    ],
    [
      "a smokebox without a chimney",
      full("  chimney:   { length: 1.2 m, bore: 400 mm }\n", ""),
      "exhaust.smokebox must have a chimney",
    ],
    [
      "160 bar",
      full("pressure: 160 psi", "pressure: 160 bar"),
      "boiler.pressure must be between 0.5 kPa abs and 100 bar abs, got 160 bar, that is 161.01 bar abs. Did you mean 160 psi?",
    ],
    [
      // 99 + 1.01325 and 98.987 + 1.01325: the standard atmosphere. [source: NIST SP 811 (2008), table B.8]
      "99 bar, just above the end by the atmosphere",
      full("pressure: 160 psi", "pressure: 99 bar"),
      "and 100 bar abs, got 99 bar, that is 100.01 bar abs. Did you mean 99 psi?",
    ],
    [
      "a hair above the end, in as many digits as show it",
      full("pressure: 160 psi", "pressure: 98.987 bar"),
      "and 100 bar abs, got 98.987 bar, that is 100.0002 bar abs. Did you",
    ],
    [
      "an absolute pressure above the end, once",
      full("pressure: 160 psi", "pressure: 101 bar abs"),
      "and 100 bar abs, got 101 bar abs. Did you mean 101 mbar abs?",
    ],
    [
      "a gauge pressure on a mountain, counted from the air there",
      full("pressure: 160 psi", "pressure: 160 bar").replace("1.01325 bar abs", "0.8 bar abs"),
      "and 100 bar abs, got 160 bar, that is 160.8 bar abs. Did you mean 160 psi?",
    ],
    [
      "a negative absolute pressure",
      full("pressure: 160 psi", "pressure: -3 bar abs"),
      "boiler.pressure must be a pressure not below a perfect vacuum (0 bar abs)",
    ],
    [
      "a boiler under the air's pressure",
      full("pressure: 160 psi", "pressure: 1 bar abs"),
      "boiler.pressure must be above the pressure of the air outside, 1.01325 bar abs, got 1 bar abs. Leave out abs",
    ],
    ["gauge 0", full("pressure: 160 psi", "pressure: 0 psi"), "must be above the pressure of the air outside"],
    [
      "too much superheat",
      full("pressure: 160 psi, superheat: 0 K", "pressure: 80 bar, superheat: 600 K"),
      "boiler.superheat must be at most 504 K at that pressure, as steam ends at 800 degC here, got 600 K.",
    ],
    [
      "temperature with steam",
      full("superheat: 0 K", "temperature: 400 degC"),
      "boiler.temperature must be left out with steam. Give superheat",
    ],
    [
      "superheat with air",
      fourValues({}, "workingFluid: air").replace("160 psi", "3 bar, superheat: 20 K"),
      "boiler.superheat must be left out with air. Give temperature",
    ],
    [
      "air too dense",
      fourValues({}, "workingFluid: air").replace("160 psi", "100 bar abs, temperature: 105 K"),
      "boiler.temperature must be at least 175 K at that pressure, or air is no gas any more, got 105 K.",
    ],
    [
      "air too cold",
      fourValues({}, "workingFluid: air").replace("160 psi", "3 bar, temperature: 50 K"),
      "boiler.temperature must be between 100 K and 1200 K, got 50 K. Did you mean 50 degC?",
    ],
    [
      "weather from elsewhere",
      full("temperature: 15 degC", "temperature: 15 K"),
      "ambient.temperature must be between -60 degC and 60 degC, got 15 K. Did you mean 15 degC?",
    ],
    [
      "an atmosphere left gauge",
      full("pressure: 1.01325 bar abs", "pressure: 1.01325 bar"),
      "ambient.pressure must be between 0.3 bar abs and 1.2 bar abs, got 1.01325 bar, that is 2.0265 bar abs.",
    ],
    [
      "road speed without wheels",
      full("wheels: { diameter: 5 ft }\nspeed: 90 rpm", "speed: 30 mph"),
      "speed must be in rpm, Hz or rad/s where there are no wheels.",
    ],
    [
      "a shaft that stands",
      full("speed: 90 rpm", "speed: 0 rpm"),
      "speed must be between 1 rpm and 6000 rpm, either way, got 0 rpm.",
    ],
    ["speed without a unit", full("speed: 90 rpm", "speed: 90"), "Add the unit, for example 90 rpm."],
    [
      "a piston faster than any",
      full("speed: 90 rpm", "speed: 3000 rpm"),
      "speed must keep the mean piston speed within 50 m/s, got 3000 rpm, which makes it 61 m/s.",
    ],
    ["wheels without a size", full("wheels: { diameter: 5 ft }", "wheels: {}"), "wheels.diameter is missing."],
    [
      "a fault of a cylinder that is not there",
      full("quartering, cylinder: 2", "quartering, cylinder: 3"),
      "faults[2].cylinder must be at most the number of cylinders, 2, got 3.",
    ],
    [
      "a fault without its size",
      full("eccentricSlip, cylinder: 1, by: 2 deg", "eccentricSlip, cylinder: 1"),
      "faults[1].by is missing. For example by: 2 deg.",
    ],
    ["a fault without its cylinder", full("ringLeak, cylinder: 1,", "ringLeak,"), "faults[3].cylinder is missing."],
    [
      "an unknown fault",
      full("kind: quartering", "kind: quarterning"),
      "faults[2].kind must be valveRodLength, eccentricSlip, quartering, ringLeak or portChoke, got quarterning. Nearest: quartering.",
    ],
    ["a fault of the wrong unit", full("by: 2 deg", "by: 2 mm"), '"mm" is the unit of a length'],
    [
      "a valve shifted past its port",
      full("by: 1 mm", "by: 40 mm"),
      "faults[0].by must be less than 31.75 mm, either way, or",
    ],
    [
      "a dry fault in a single-acting engine",
      full("acting: double", "acting: single"),
      "faults[4].end must be head in a single-acting cylinder",
    ],
    [
      "full scale of nothing",
      full("fullScale: 20 Pa", "fullScale: 0 Pa"),
      "fullScale must be between 0.000001 Pa and 100 kPa, got 0 Pa.",
    ],
    [
      "a key given twice",
      full("  stroke: 24 in", "  stroke: 24 in\n  stroke: 25 in"),
      "m.yaml:11:3 cylinders.stroke is given twice.",
    ],
    [
      "a key of the object's own",
      full("speed: 90 rpm", "speed: 90 rpm\n__proto__: { a: 1 }"),
      "m.yaml:37:1 __proto__ is not a known key.",
    ],
    ["a constructor", full("speed: 90 rpm", "speed: 90 rpm\nconstructor: { a: 1 }"), "constructor is not a known key."],
    ["toString", full("speed: 90 rpm", "speed: 90 rpm\ntoString: 5"), "toString is not a known key."],
    [
      "an anchor that is not there",
      full("bore: 17 in", "bore: *size"),
      "cylinders.bore refers to *size, which is not there.",
    ],
    [
      "events: too much lead",
      fourValues({}, "valveGear: { kind: events, lead: 9 mm, portWidth: 9 mm }"),
      "valveGear.lead must be less than 7.794 mm with that port width and cut-off, got 9 mm.",
    ],
    [
      "events: release before cut-off",
      fourValues({}, "valveGear: { kind: events, fullGearCutoff: 75 %, release: 110 deg }"),
      "valveGear.release must be later than cut-off, which is at 120 deg, got 110 deg.",
    ],
    [
      "events: release after the valve turns",
      fourValues(
        {},
        "valveGear: { kind: events, fullGearCutoff: 20 %, release: 200 deg, lead: 30 mm, portWidth: 40 mm }",
      ),
      "valveGear.release must be before the valve turns back, 197.6 deg, got 200 deg.",
    ],
    [
      "oscillating: a trunnion within the crank",
      fourValues({}, "valveGear: { kind: oscillating, pivotDistance: 300 mm }"),
      "valveGear.pivotDistance must be longer than the crank, 304.8 mm, got 300 mm.",
    ],
    [
      "oscillating: ports round the trunnion",
      fourValues({}, "valveGear: { kind: oscillating, portDiameter: 40 mm, portRadius: 20 mm }"),
      "valveGear.portRadius must be more than half the port's diameter, 20 mm, got 20 mm.",
    ],
    [
      "oscillating: an eccentric that slipped",
      fourValues({}, "valveGear: { kind: oscillating }\nfaults: [{ kind: eccentricSlip, cylinder: 1, by: 2 deg }]"),
      "faults[0].kind must be one that an oscillating cylinder can have, got eccentricSlip.",
    ],
    [
      "a nozzle on no pipe",
      fourValues({}, "exhaust: { nozzle: { bore: 50 mm } }"),
      "exhaust.nozzle must end a pipe, and this exhaust block names none. Add blastPipe: {} or passage: {} beside it.",
    ],
    [
      "a chimney beside a condenser",
      fourValues({}, "exhaust: { passage: {}, condenser: {}, chimney: { length: 2 m, bore: 1 m } }"),
      "exhaust.chimney must be left out beside a condenser",
    ],
    [
      "a condenser above the boiler",
      fourValues({ pressure: "0.1 bar" }, "exhaust: { passage: {}, condenser: { pressure: 1.15 bar abs } }"),
      "exhaust.condenser.pressure must be below the boiler's",
    ],
    [
      "bore missing",
      fourValues().replace("bore: 17 in, ", ""),
      "m.yaml:2:1 cylinders.bore is missing. Four values suffice, and this is one of them.",
    ],
    ["speed missing", fourValues().replace("speed: 90 rpm", ""), "m.yaml:1:1 speed is missing."],
    ["pressure missing", fourValues().replace("pressure: 160 psi", ""), "boiler.pressure is missing."],
  ])("%s", (_what, text, expected) => {
    const complaints = complaintsOf(text);
    expect(complaints.length, complaints.join("\n")).toBe(1);
    expect(complaints[0]).toContain(expected);
  });
});
