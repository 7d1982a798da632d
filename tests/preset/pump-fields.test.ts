import { describe, expect, it } from "vitest";
import { assumedFor, complaintsOf, machineOf, runComplaintsOf, runOf } from "./loading.js";

const base = "boiler: { pressure: 100 psi }\n";
const cylinders = "cylinders: { bore: 6 in, stroke: 6 in }\n";
const donkey = `${base}${cylinders}pump: { waterBore: 4 in }\n`;
const duplex = `${base}cylinders: { count: 2, bore: 6 in, stroke: 6 in }\nvalveGear: { kind: tripped }\n`;

describe("a pump without a crank in a machine file", () => {
  it("needs no speed: three values suffice, and what is assumed is listed", () => {
    const machine = machineOf(donkey);
    expect(machine.kind).toBe("pump");
    expect(machine.description.gear.valveGear.kind).toBe("tripped");
    expect(machine.description.running).toBeNull();
    expect(machine.description.gear.crankAnglesRad).toEqual([0]);
    // 60 ft/min, common practice of boiler feed pumps, in double strokes of a foot.
    expect(machine.description.speedRpm).toBeCloseTo((60 * 0.3) / (2 * 0.1524), 3);
    for (const name of ["speed", "valveGear.kind", "pump.lift", "pump.movingMass", "valveGear.cushion"]) {
      expect(assumedFor(machine, name), name).toBeDefined();
    }
    // It feeds its own boiler.
    expect(machine.description.pump!.liftPa).toBeCloseTo(100 * 6894.757, 0);
  });

  it("takes every field in its own unit", () => {
    const { gear, pump, regulatorAreaM2 } = machineOf(
      `${duplex.replace("tripped }", "tripped, portLength: 80 mm, portWidth: 10 mm, lostMotion: 60 %, steamLap: 4 %, cushion: 10 %, cushionLeak: 5 %, throwOver: 90 ms }")}` +
        "pump: { waterBore: 100 mm, lift: 8 bar, airVessel: 50 L, movingMass: 30 kg, valveLoss: 50 kPa, friction: 5 psi }\nregulator: { area: 0.5 cm2 }\n",
    ).description;
    expect(gear.crankAnglesRad).toEqual([0, 0]);
    expect(gear.valveGear).toEqual({
      ...{ kind: "tripped", portLengthM: 0.08, portWidthM: 0.01, lostMotionRatio: 0.6, steamLapRatio: 0.04 },
      ...{ cushionRatio: 0.1, cushionLeakRatio: 0.05, throwOverS: 0.09 },
    });
    expect(pump).toMatchObject({ waterBoreM: 0.1, liftPa: 8e5, vesselM3: 0.05, movingKg: 30, valveLossPa: 5e4 });
    expect(pump!.frictionPa).toBeCloseTo(5 * 6894.757, 0);
    expect(regulatorAreaM2).toBeCloseTo(5e-5, 9);
  });

  it("leaves a pump with a crank as it was", () => {
    const cranked = machineOf(`${base}${cylinders}kind: pump\nspeed: 60 rpm\n`).description;
    expect(cranked.gear.valveGear.kind).toBe("eccentric");
    expect(cranked.pump).toBeNull();
    expect(cranked.running?.load?.law).toBe("pump");
    expect(complaintsOf(`${base}${cylinders}kind: pump\n`).join()).toContain("speed is missing");
  });

  it.each([
    ["a flywheel", `${donkey}flywheel: { diameter: 1 m }`, "flywheel must be left out for a pump without a crank"],
    ["wheels", `${donkey}wheels: { diameter: 1 m }`, "wheels must be left out for a pump without a crank"],
    ["a train's kind", `${donkey}kind: locomotive`, "kind must be pump where the pistons trip the valves"],
    ["a crank gear", `${donkey}valveGear: { kind: eccentric }\nspeed: 60 rpm`, "pump must be left out where a crank"],
    ["four cylinders", donkey.replace("{ bore", "{ count: 4, bore"), "cylinders.count must be 1 or 2"],
    ["steam on one end", donkey.replace("6 in }", "6 in, acting: single }"), "cylinders.acting must be double"],
    ["crank angles", duplex.replace("6 in }", "6 in, crankAngles: [0 deg, 90 deg] }"), "crankAngles must be left out"],
    ["a rod", donkey.replace("6 in }", "6 in, connectingRod: 1 m }"), "connectingRod must be left out"],
    ["running backwards", `${donkey}speed: -30 rpm`, "speed must be in rpm and not negative"],
    ["a road speed", `${donkey}speed: 10 mph`, "speed must be in rpm"],
    [
      "a slipped eccentric",
      `${donkey}faults: [{ kind: eccentricSlip, cylinder: 1, by: 2 deg }]`,
      "must be ringLeak or",
    ],
    ["a plunger as wide as a house", donkey.replace("4 in", "4 m"), "pump.waterBore must be between 1 mm and 2 m"],
    ["a lift in metres", donkey.replace("4 in }", "4 in, lift: 80 m }"), "pump.lift must be a difference of pressure"],
    [
      "lost motion of all the stroke",
      duplex.replace("tripped", "tripped, lostMotion: 100 %"),
      "must be between 5 % and",
    ],
    ["a cushion of nothing", duplex.replace("tripped", "tripped, cushion: 0 %"), "must be between 1 % and 40 %"],
    ["a lead", duplex.replace("tripped", "tripped, lead: 2 mm"), "valveGear.lead is not a known key"],
    ["a boiler's word", donkey.replace("waterBore", "waterbore"), "Nearest: waterBore"],
    ["none for a pump", `${base}${cylinders}pump: none\n`, "pump must be a block of keys, got none"],
  ])("complains of %s", (_what, text, expected) => {
    expect(complaintsOf(text).join("\n")).toContain(expected);
  });

  it("warns of water that the steam cannot move", () => {
    // Statics: 100 psi on 36 holds 225 psi on 16, packings left out.
    const standing = machineOf(donkey.replace("4 in }", "4 in, lift: 230 psi }"));
    expect(standing.warnings.join()).toContain("the pump stands");
    const working = machineOf(donkey.replace("4 in }", "4 in, lift: 150 psi }"));
    expect(working.warnings).toEqual([]);
  });
});

describe("a run of a pump without a crank", () => {
  const machine = machineOf(donkey);
  const of = (control: string) => `machine: m.yaml\ncontrols: [{ at: 0 s, ${control} }]`;

  it("lets steam and water decide, and takes a load", () => {
    const run = runOf(of("regulator: 50 %, load: 80 %"), machine);
    expect(run.kinematic).toBe(false);
    expect(run.warnings).toEqual([]);
    expect(runOf(of("regulator: 50 %, barring: 5 rpm, brake: 10 %"), machine).warnings.join()).toContain(
      "Without effect: brake, barring",
    );
  });

  it("has a load to no avail where it fills a shut vessel", () => {
    const filling = machineOf(donkey.replace("4 in }", "4 in, airVessel: 40 L }"));
    expect(runOf(of("load: 50 %"), filling).warnings.join()).toContain("Without effect: load");
  });

  it.each([
    ["speed: 30 rpm", /speed must be left out for a pump without a crank: steam and water decide/],
    ["cutoff: 50 %", /cutoff must be left out for a pump without a crank/],
  ])("refuses %s in one line", (control, words) => {
    const complaints = runComplaintsOf(of(control), machine);
    expect(complaints).toHaveLength(1);
    expect(complaints[0]).toMatch(words);
  });
});
