import { describe, expect, it } from "vitest";
import { fourValues } from "./example-machine.js";
import { machineOf } from "./loading.js";

describe("legal but odd is a warning", () => {
  it.each([
    ["a fast piston", fourValues({ speed: "600 rpm" }), "The mean piston speed is 12.2 m/s"],
    [
      "a large clearance",
      fourValues().replace("24 in }", "24 in, clearance: 30 % }"),
      "The clearance is 30 % of the swept volume",
    ],
    [
      "a short rod",
      fourValues().replace("24 in }", "24 in, connectingRod: 30 in }"),
      "The connecting rod is 2.5 cranks long",
    ],
    [
      "a thick rod",
      fourValues().replace("24 in }", "24 in, pistonRod: 10 in }"),
      "The piston rod is 58.8 % of the bore",
    ],
    ["bore in the wrong unit", fourValues({ bore: "17 mm", pressure: "20 psi" }), "Is one of them in the wrong unit?"],
    [
      "bar for psi in a small engine",
      fourValues({ bore: "20 mm", stroke: "25 mm", pressure: "60 bar" }),
      "boiler.pressure of 60 bar is high for so small an engine. Did you mean 60 psi?",
    ],
    ["wide ports", fourValues({}, "valveGear: { portWidth: 300 mm }"), "of the piston's area"],
    [
      "a valve that hardly opens",
      fourValues({}, "valveGear: { travel: 3 in, steamLap: 1.45 in, lead: 0, portWidth: 50 mm }"),
      "opens the steam port to only",
    ],
    [
      "full gear that cuts off early",
      fourValues({}, "valveGear: { travel: 4.5 in, steamLap: 2 in, lead: 0.1 in }"),
      "Full gear cuts off at",
    ],
    [
      "oscillating ports that never shut",
      fourValues({}, "valveGear: { kind: oscillating, portDiameter: 250 mm, portRadius: 300 mm }"),
      "At dead centre both ports stand open",
    ],
    [
      "a rod that nothing uses",
      fourValues({}, "valveGear: { kind: oscillating }").replace("24 in }", "24 in, connectingRod: 2 m }"),
      "cylinders.connectingRod is not used",
    ],
    [
      "a tiny nozzle",
      fourValues({}, "exhaust: { blastPipe: {}, nozzle: { bore: 20 mm } }"),
      "expect a high back pressure",
    ],
    [
      // 17 in over 90 mm, squared: 23.02. The narrowest in the trade's books is a 22nd.
      "a nozzle narrower than any in use",
      fourValues({}, "exhaust: { blastPipe: {}, nozzle: { bore: 90 mm } }"),
      "The nozzle has 1/23 of a piston's area. Usual are 1/10 to 1/22",
    ],
    [
      "valves that leak more than a port",
      fourValues({}, "valveGear: { portLength: 300 mm, portWidth: 30 mm }\nleaks: { valve: 95 cm2 }"),
      "leaks.valve of 95 cm2 is more than a whole steam port, 9000 mm2. Is it in the wrong unit?",
    ],
    [
      "rings that leak more than a port",
      fourValues({}, "valveGear: { portLength: 300 mm, portWidth: 30 mm }\nleaks: { rings: 100 cm2 }"),
      "leaks.rings of 100 cm2 is more than a whole steam port",
    ],
    [
      "a narrow chimney",
      fourValues({}, "exhaust: { blastPipe: {}, nozzle: { bore: 90 mm }, smokebox: {}, chimney: { bore: 60 mm } }"),
      "narrower than the nozzle",
    ],
    ["a huge pipe", fourValues({}, "exhaust: { passage: { bore: 2 m } }"), "exhaust.passage.bore is wider"],
    [
      "a condenser left gauge",
      fourValues({}, "exhaust: { passage: {}, condenser: { pressure: 0.15 bar } }"),
      "The condenser's pressure, 0.15 bar, is not below that of the air outside. Was abs left out?",
    ],
    [
      "a superheat in degrees of a scale, which may have been meant as the steam's temperature",
      // Saturated steam at 10 bar abs: 179.9 degC (IAPWS R7-97, table 36).
      fourValues({ pressure: "10 bar abs, superheat: 350 degC" }),
      "boiler.superheat of 350 degC is counted from saturation, which makes the steam 529.9 degC. If 350 degC is the steam's temperature, write superheat: 170 K.",
    ],
    [
      "an eccentric round by a sixth of a turn",
      fourValues({}, "faults: [{ kind: eccentricSlip, cylinder: 1, by: 60 deg }]"),
      "faults[0].by of 60 deg is far out for eccentricSlip. Usual are up to 15 deg.",
    ],
    [
      "cranks far off their quarters",
      fourValues({}, "faults: [{ kind: quartering, cylinder: 1, by: -6 deg }]"),
      "faults[0].by of -6 deg is far out for quartering. Usual are up to 5 deg.",
    ],
    [
      "a valve far off its middle",
      fourValues(
        {},
        "valveGear: { travel: 5 in, steamLap: 1 in }\nfaults: [{ kind: valveRodLength, cylinder: 1, by: 1 in }]",
      ),
      "faults[0].by of 1 in takes 67 % of the port's opening from one end. Usual are up to 50 %.",
    ],
    [
      "weather left gauge",
      fourValues({}, "ambient: { pressure: 98.2 Pa }"),
      "ambient.pressure of 98.2 Pa is gauge, that is 1.014 bar abs. A barometer's reading is written with abs.",
    ],
  ])("%s", (_what, text, expected) => {
    expect(machineOf(text).warnings.join("\n")).toContain(expected);
  });

  it("and a superheat in kelvin, or none, is not odd", () => {
    for (const written of ["170 K", "0 degC", "0"]) {
      const { warnings } = machineOf(fourValues({ pressure: `10 bar, superheat: ${written}` }));
      expect(warnings, written).toEqual([]);
    }
  });

  it("and weather below the standard atmosphere, or absolute, is not odd", () => {
    for (const written of ["-20 mbar", "1.03 bar abs", "14.9 psia", "30.2 inHg abs", "0 bar"]) {
      expect(machineOf(fourValues({}, `ambient: { pressure: ${written} }`)).warnings, written).toEqual([]);
    }
    expect(machineOf(fourValues({}, "ambient: { pressure: -20 mbar }")).description.ambient.pressurePa).toBe(99325);
  });

  it("and a nozzle of a 22nd, or leaks of one port, are not", () => {
    // 17 in = 431.8 mm; over the root of 22: 92.06 mm.
    expect(machineOf(fourValues({}, "exhaust: { blastPipe: {}, nozzle: { bore: 92.1 mm } }")).warnings).toEqual([]);
    const leaks = "valveGear: { portLength: 300 mm, portWidth: 30 mm }\nleaks: { valve: 90 cm2, rings: 90 cm2 }";
    expect(machineOf(fourValues({}, leaks)).warnings.filter((warning) => warning.startsWith("leaks"))).toEqual([]);
  });
});
