import { describe, expect, it } from "vitest";
import { assumedFor, complaintsOf, machineOf } from "./loading.js";
import { fourValues } from "./example-machine.js";

const low = "lowPressure: { cylinders: { bore: 30 in } }";
const compound = (more: string) => fourValues({}, more);

describe("cylinders of lower pressure in a machine file", () => {
  it("needs no more than a bore: the rest follows from the first cylinders and is listed", () => {
    const machine = machineOf(compound(`kind: stationary\n${low}`));
    const { gear, receiverVolumesM3 } = machine.description;
    const [stage] = gear.laterStages!;
    expect(stage.cylinder.boreM).toBeCloseTo(30 * 0.0254, 12);
    for (const key of ["strokeM", "connectingRodM", "acting", "pistonRodM", "clearanceRatio"] as const)
      expect(stage.cylinder[key]).toBe(gear.cylinder[key]);
    // Two cranks stand at a quarter turn. [common practice]
    expect(gear.crankAnglesRad).toEqual([0, Math.PI / 2]);
    // Receiver 1 to 1.5 times the cylinder before it. [common practice, as in Lineham's and Creighton's examples]
    const swept = (Math.PI / 4) * gear.cylinder.boreM ** 2 * gear.cylinder.strokeM;
    expect(receiverVolumesM3![0] / swept).toBeCloseTo(1.25, 9);
    expect(assumedFor(machine, "lowPressure.receiver.volume")).toBe("111.6 L");
    expect(assumedFor(machine, "lowPressure.valveGear.portWidth")).toBeDefined();
    expect(assumedFor(machine, "lowPressure.cylinders.crankAngles")).toBe("[90 deg]");
    expect(machine.warnings).toEqual([]);
  });

  it("triple expansion stands at thirds, its pipes and air pump go by the last cylinders", () => {
    const machine = machineOf(
      compound(
        "kind: marine\nintermediatePressure: { cylinders: { bore: 27 in } }\nlowPressure: { cylinders: { bore: 44 in } }\nexhaust: { passage: {}, condenser: {} }",
      ),
    );
    const { gear, receiverVolumesM3, exhaust, fittings } = machine.description;
    expect(gear.crankAnglesRad.map((angle) => Math.round((180 * angle) / Math.PI))).toEqual([0, 120, 240]);
    expect(gear.laterStages!.length).toBe(2);
    expect(receiverVolumesM3!.length).toBe(2);
    expect(exhaust.passage!.lengthM).toBeCloseTo(2 * 44 * 0.0254, 9);
    // An eighth of the cylinder. [source: Bourne, air pump of land engines, from memory]
    expect(fittings!.airPump!.boreM).toBeCloseTo(22 * 0.0254, 9);
    expect(fittings!.laterReliefsPa!.length).toBe(2);
    expect(fittings!.laterReliefsPa![1]).toBeLessThan(fittings!.laterReliefsPa![0]);
    expect(fittings!.laterReliefsPa![0]).toBeLessThanOrEqual(fittings!.reliefPa);
  });

  it("a compound locomotive has one cylinder of high pressure unless more are named", () => {
    const text = compound(`kind: locomotive\nwheels: { diameter: 5 ft }\n${low}`).replace("90 rpm", "60 rpm");
    expect(machineOf(text).description.gear.crankAnglesRad.length).toBe(2);
  });

  it("none is as good as left out, and leaves a simple machine as it is", () => {
    const simple = machineOf(compound(""));
    const said = machineOf(compound("lowPressure: none\nintermediatePressure: none"));
    expect(said.description).toEqual(simple.description);
    expect(said.assumed).toEqual(simple.assumed);
    expect("laterStages" in simple.description.gear).toBe(false);
  });

  it("counts faults on over all cylinders", () => {
    const machine = machineOf(
      compound(`kind: stationary\n${low}\nfaults: [{ kind: valveRodLength, cylinder: 2, by: 1 mm }]`),
    );
    expect(machine.description.gear.faults[0].cylinder).toBe(2);
  });
});

describe("what cannot be joined to a compound is said once", () => {
  it.each([
    [
      "intermediatePressure: { cylinders: { bore: 27 in } }",
      "intermediatePressure must stand beside a lowPressure, got none. Add lowPressure: { cylinders: { bore: 40 in } }, or rename it.",
    ],
    ["lowPressure: {}", "lowPressure.cylinders.bore is missing. Write lowPressure: { cylinders: { bore: 34 in } }."],
    [
      `${low}\nvalveGear: { kind: oscillating }`,
      "valveGear.kind must be eccentric or events beside cylinders of lower pressure, got oscillating. Leave out lowPressure.",
    ],
    [
      `kind: stationary\n${low}\nfaults: [{ kind: quartering, cylinder: 3, by: 1 deg }]`,
      "faults[0].cylinder must be at most the number of cylinders, 2, got 3. Count them from 1.",
    ],
    [
      "lowPressure: { cylinders: { bore: 30 in, count: 2, crankAngles: [90 deg] } }",
      "lowPressure.cylinders.crankAngles must list one angle for each of the 2 cylinders, got 1. For example [120 deg, 240 deg].",
    ],
    [
      "lowPressure: { cylinders: { bore: 30 in, pistonRod: 31 in } }",
      "lowPressure.cylinders.pistonRod must be thinner than the bore, 30 in, got 31 in. Give its diameter.",
    ],
    [
      "lowPressure: { cylinders: { bore: 30 in }, valveGear: { travel: 4 in, steamLap: 3 in } }",
      "lowPressure.valveGear.steamLap must be less than half the travel, 2 in, or the steam port never opens, got 3 in. Lessen it or lengthen the travel.",
    ],
    [
      "lowPressure: { cylinders: { bore: 30 in }, valveGear: { kind: oscillating } }",
      "lowPressure.valveGear.kind must be eccentric or events, got oscillating. Write a link motion or a radial gear as kind: events; full gear is the working gear here.",
    ],
    [
      "cylinders: { bore: 10 in, stroke: 20 in, count: 4 }\nintermediatePressure: { cylinders: { bore: 20 in, count: 4 } }\nlowPressure: { cylinders: { bore: 30 in, count: 4 } }",
      "lowPressure must leave the machine with at most 8 cylinders, got 12. Lessen a count.",
    ],
    ["lowPressure: { cylinders: { bore: 30 in, stroke: 20 in } }", "lowPressure.cylinders.stroke is not a known key."],
  ])("%s", (text, complaint) => {
    const whole = text.startsWith("cylinders")
      ? `boiler: { pressure: 160 psi }\nspeed: 90 rpm\nkind: stationary\n${text}`
      : compound(text);
    const complaints = complaintsOf(whole);
    expect(complaints.length).toBe(1);
    expect(complaints[0]).toContain(complaint);
  });

  it("warns of cylinders that press steam together instead of expanding it", () => {
    const { warnings } = machineOf(compound("kind: stationary\nlowPressure: { cylinders: { bore: 12 in } }"));
    expect(warnings).toEqual([
      "lowPressure sweeps less than cylinders before it: the steam is pressed together there, not expanded.",
    ]);
  });
});
