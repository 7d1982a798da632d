import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { isSettable } from "../../src/gear/gear-description.js";
import { parse } from "yaml";
import { valveDimensions } from "../../src/gear/valve-dimensions.js";
import { OscillatingPorts } from "../../src/gear/oscillating.js";
import { requireCylinder } from "../../src/gear/require-cylinder.js";
import { faultsOfCylinder } from "../../src/gear/faults-of-gear.js";
import { parseQuantity } from "../../src/quantities/units.js";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { assumedFor, machineOf } from "./loading.js";

const kinds = ["stationary", "locomotive", "road", "marine", "model", "pump"] as const;

/** Nominal cut-off of a harmonic valve: the closed form, 180 deg - asin(lap/e) - asin((lap + lead)/e). */
function cutoffRatio(gear: { travelM: number; steamLapM: number; leadM: number }): number {
  const e = gear.travelM / 2;
  return (1 - Math.cos(Math.PI - Math.asin(gear.steamLapM / e) - Math.asin((gear.steamLapM + gear.leadM) / e))) / 2;
}

describe("four values suffice", () => {
  it("and every other value is listed, with a rule and in words that read back", () => {
    const machine = machineOf(fourValues());
    const names = machine.assumed.map((one) => one.name);
    expect(new Set(names).size).toBe(names.length);
    for (const name of [
      ..."name kind workingFluid idealised fullScale".split(" "),
      ..."ambient.pressure ambient.temperature ambient.humidity boiler.superheat".split(" "),
      ..."cylinders.count cylinders.acting cylinders.connectingRod cylinders.pistonRod cylinders.clearance".split(" "),
      ..."cylinders.crankAngles valveGear.kind valveGear.admission valveGear.travel valveGear.steamLap".split(" "),
      ..."valveGear.exhaustLap valveGear.lead valveGear.portLength valveGear.portWidth".split(" "),
      ..."exhaust.passage.length exhaust.passage.bore exhaust.blastPipe.length exhaust.blastPipe.bore".split(" "),
      ..."leaks.valve leaks.regulator leaks.rings chest.volume regulator.area".split(" "),
    ]) {
      expect(names).toContain(name);
    }
    for (const { value, rule } of machine.assumed) {
      expect(value).not.toMatch(/NaN|undefined|Infinity/);
      expect(rule.length).toBeGreaterThan(4);
    }
    const rod = parseQuantity(assumedFor(machine, "cylinders.connectingRod")!, "length");
    expect(rod.ok && rod.value).toBeCloseTo(machine.description.gear.cylinder.connectingRodM, 3);
  });

  const bare = [...kinds.map((kind) => `kind: ${kind}`), "kind: locomotive\nwheels: { diameter: 5 ft }"];
  const odd = ["kind: road\nwheels: { diameter: 6 ft }", "kind: marine\nexhaust: { passage: {}, condenser: {} }"];
  it.each([...bare, ...odd])("%s with every assumed value written out is the same machine to four digits", (lines) => {
    const machine = machineOf(fourValues({}, lines));
    const tree: Record<string, unknown> = {
      boiler: { pressure: "160 psi" },
      cylinders: { bore: "17 in", stroke: "24 in" },
      speed: "90 rpm",
      ...(parse(lines) as Record<string, unknown>),
    };
    for (const { name, value } of machine.assumed) {
      if (name === "fullScale" || name === "formatVersion") continue;
      const steps = name.split(".");
      let holder = tree;
      for (const step of steps.slice(0, -1)) holder = (holder[step] ??= {}) as Record<string, unknown>;
      holder[steps[steps.length - 1]] = parse(value) as unknown;
    }
    const again = machineOf(JSON.stringify(tree));
    expect(again.assumed.map((one) => one.name)).toEqual(["formatVersion", "fullScale"]);
    const flat = (value: unknown): number[] =>
      typeof value === "number"
        ? [value]
        : typeof value === "object" && value !== null
          ? Object.values(value).flatMap(flat)
          : [];
    const ours = flat(machine.description);
    const theirs = flat(again.description);
    expect(theirs.length).toBe(ours.length);
    ours.forEach((value, i) => expect(Math.abs(theirs[i] - value)).toBeLessThanOrEqual(1e-3 * Math.abs(value)));
  });

  it("wheels make a locomotive, otherwise the machine is stationary", () => {
    expect(machineOf(fourValues()).kind).toBe("stationary");
    expect(machineOf(fourValues({}, "wheels: { diameter: 5 ft }")).kind).toBe("locomotive");
  });

  it("an absent exhaust is what the kind usually has", () => {
    for (const kind of kinds) {
      const { exhaust } = machineOf(fourValues({}, `kind: ${kind}`)).description;
      const present = Object.entries(exhaust).flatMap(([part, value]) => (value === null ? [] : [part]));
      expect(present).toEqual(
        kind === "locomotive" ? ["passage", "blastPipe", "nozzle", "smokebox", "chimney"] : ["passage", "blastPipe"],
      );
    }
  });

  it("inside a given exhaust block only the parts named exist, their sizes assumed", () => {
    const { exhaust } = machineOf(
      fourValues({}, "kind: locomotive\nexhaust: { passage: { length: 1 m } }"),
    ).description;
    expect(exhaust.passage?.lengthM).toBe(1);
    expect(exhaust.passage?.boreM).toBeGreaterThan(0);
    expect([exhaust.blastPipe, exhaust.nozzle, exhaust.smokebox, exhaust.chimney, exhaust.condenser]).toEqual([
      null,
      null,
      null,
      null,
      null,
    ]);
    const worded =
      "passage: { length: 1 m }, nozzle: none, smokebox: none, chimney: none, condenser: none, blastPipe: none";
    expect(machineOf(fourValues({}, `kind: locomotive\nexhaust: { ${worded} }`)).description.exhaust).toEqual(exhaust);
    const bare = machineOf(fourValues({}, "exhaust: {}"));
    expect(Object.values(bare.description.exhaust)).toEqual([null, null, null, null, null, null]);
    expect(bare.warnings.join(" ")).toContain("names no pipe");
  });

  it.each([
    [1, [0]],
    [2, [0, 90]],
    [3, [0, 120, 240]],
    [4, [0, 90, 180, 270]],
  ] as const)("%d cylinders stand at %j degrees", (count, degrees) => {
    const { gear } = machineOf(fourValues().replace("24 in }", `24 in, count: ${count} }`)).description;
    expect(gear.crankAnglesRad.map((angle) => Math.round((angle * 180) / Math.PI))).toEqual(degrees);
  });

  it("two cylinders are usual in a locomotive, one elsewhere; listed cranks count", () => {
    expect(machineOf(fourValues({}, "kind: locomotive")).description.gear.crankAnglesRad.length).toBe(2);
    expect(machineOf(fourValues({}, "kind: marine")).description.gear.crankAnglesRad.length).toBe(1);
    const listed = fourValues().replace("24 in }", "24 in, crankAngles: [0 deg, 135 deg, 270 deg] }");
    expect(machineOf(listed).description.gear.crankAnglesRad.length).toBe(3);
  });
});

describe("assumed valves follow the closed form", () => {
  it("cut off at 75 % in full gear whatever else is given", () => {
    for (const gear of [
      "",
      "{ travel: 5 in }",
      "{ lead: 1/8 in }",
      "{ portWidth: 1.5 in }",
      "{ travel: 4 in, lead: 0 }",
    ]) {
      const { valveGear } = machineOf(fourValues({}, gear === "" ? "" : `valveGear: ${gear}`)).description.gear;
      if (valveGear.kind !== "eccentric") throw new Error(valveGear.kind);
      expect(cutoffRatio(valveGear), gear).toBeCloseTo(0.75, 9);
    }
  });

  it("without lead the lap is a quarter of the travel (Bourne, A Catechism of the Steam Engine, Q190: 18 in travel, 4.5 in lap)", () => {
    const { valveGear } = machineOf(
      fourValues({ bore: "2 m", stroke: "3 m", speed: "20 rpm" }, "valveGear: { travel: 18 in, lead: 0 }"),
    ).description.gear;
    expect(valveGear.kind === "eccentric" && valveGear.steamLapM / 0.0254).toBeCloseTo(4.5, 9);
  });

  it("events: release where a valve without exhaust lap releases (180 deg - delta, sin delta = (lap + lead)/e)", () => {
    const { valveGear } = machineOf(fourValues({}, "valveGear: { kind: events, lead: 2 mm, portWidth: 30 mm }"))
      .description.gear;
    if (valveGear.kind !== "events") throw new Error(valveGear.kind);
    const valve = valveDimensions(valveGear);
    expect(valve.exhaustLapM).toBeCloseTo(0, 12);
    expect(valveGear.releaseRad).toBeCloseTo(
      Math.PI - Math.asin((valve.steamLapM + valve.leadM) / valve.halfTravelM),
      12,
    );
  });

  it("ports pass steam at 4000 ft/min, between 1/25 and 1/6 of the piston (Bourne, Q318-320)", () => {
    const ratio = (speed: string) => {
      const { cylinder, valveGear } = machineOf(fourValues({ speed })).description.gear;
      if (valveGear.kind !== "eccentric") throw new Error(valveGear.kind);
      return (valveGear.portLengthM * valveGear.portWidthM) / ((Math.PI / 4) * cylinder.boreM ** 2);
    };
    expect(ratio("10 rpm")).toBeCloseTo(1 / 25, 9);
    expect(ratio("400 rpm")).toBeCloseTo(1 / 6, 9);
    // 24 in stroke at 90 rpm: 360 ft/min of piston, area x 360 / 4000
    expect(ratio("90 rpm")).toBeCloseTo(360 / 4000, 9);
  });

  it("oscillating ports shut at dead centre, whichever sizes are given", () => {
    for (const given of [
      "",
      ", portDiameter: 3 mm",
      ", portRadius: 6 mm",
      ", pivotDistance: 40 mm",
      ", portDiameter: 2.5 mm, pivotDistance: 60 mm",
    ]) {
      const machine = machineOf(
        fourValues(
          { bore: "10 mm", stroke: "14 mm", pressure: "1.5 bar", speed: "900 rpm" },
          `kind: model\nvalveGear: { kind: oscillating${given} }`,
        ),
      );
      const { valveGear, cylinder } = machine.description.gear;
      if (valveGear.kind !== "oscillating") throw new Error(valveGear.kind);
      const { portDiameterM, portRadiusM, pivotDistanceM } = valveGear;
      const room = 2 * portRadiusM * Math.sin(Math.asin(cylinder.strokeM / 2 / pivotDistanceM) / 2);
      expect(room, given).toBeGreaterThan(portDiameterM);
      expect(machine.warnings).toEqual([]);
      expect(cylinder.acting).toBe("single");
      expect(assumedFor(machine, "cylinders.connectingRod")).toBeUndefined();
    }
  });
});

describe("assumed machines hang together over the whole range of sizes", () => {
  const bores = ["2 mm", "10 mm", "50 mm", "12 in", "1 m", "3 m"];
  const gears = ["", "valveGear: { kind: events }", "valveGear: { kind: oscillating }"];
  for (const kind of kinds) {
    it(kind, () => {
      for (const bore of bores) {
        for (const gear of gears) {
          for (const speed of ["5 rpm", "60 rpm"]) {
            const stroke = bore === "3 m" ? "4 m" : bore;
            const machine = machineOf(fourValues({ bore, stroke, speed }, `kind: ${kind}\n${gear}`));
            const { gear: iron, exhaust } = machine.description;
            requireCylinder(iron);
            if (iron.valveGear.kind === "oscillating") {
              const faults = iron.crankAnglesRad.map((_, index) => faultsOfCylinder(iron, index + 1));
              new OscillatingPorts(
                iron.valveGear,
                iron.cylinder.strokeM,
                faults,
                iron.cylinder.acting === "single" ? 1 : 2,
              );
            } else if (isSettable(iron.valveGear)) expect(valveDimensions(iron.valveGear).steamLapM).toBeGreaterThan(0);
            if (exhaust.nozzle && exhaust.blastPipe) {
              expect(exhaust.nozzle.boreM).toBeLessThan(exhaust.blastPipe.boreM);
              expect(exhaust.nozzle.contractionM).toBeLessThanOrEqual(exhaust.blastPipe.lengthM);
            }
          }
        }
      }
    });
  }

  it("a bore of 10 mm gets ports and pipes of a few millimetres", () => {
    const { gear, exhaust, regulatorAreaM2 } = machineOf(
      fourValues({ bore: "10 mm", stroke: "14 mm", pressure: "1.5 bar", speed: "600 rpm" }),
    ).description;
    if (gear.valveGear.kind !== "eccentric") throw new Error(gear.valveGear.kind);
    expect(gear.valveGear.portWidthM).toBeGreaterThan(0.0005);
    expect(gear.valveGear.portWidthM).toBeLessThan(0.002);
    expect(exhaust.passage?.boreM).toBeGreaterThan(0.002);
    expect(exhaust.passage?.boreM).toBeLessThan(0.005);
    expect(exhaust.blastPipe?.lengthM).toBeCloseTo(0.12, 6);
    expect(regulatorAreaM2).toBeLessThan(1e-5);
  });

  it("removing any one block of a full file leaves a machine", () => {
    for (const block of [
      "ambient",
      "valveGear",
      "exhaust",
      "leaks",
      "chest",
      "regulator",
      ..."blower brake load motion flywheel train governor gearing drains snifting relief glands whistle track".split(
        " ",
      ),
      "fullScale",
      "idealised",
      "faults",
      "kind",
      "name",
      "workingFluid",
      "formatVersion",
    ]) {
      const lines = FULL_MACHINE.split("\n");
      const from = lines.findIndex((line) => line.startsWith(`${block}:`));
      let to = from + 1;
      while (lines[to]?.startsWith(" ")) to++;
      const machine = machineOf([...lines.slice(0, from), ...lines.slice(to)].join("\n"));
      expect(machine.assumed.length > 0 || block === "faults", block).toBe(true);
    }
  });

  it("a locomotive's nozzle has a thirteenth of the piston, as those that ship have [common practice]", () => {
    const { exhaust, gear } = machineOf(fourValues({}, "kind: locomotive")).description;
    const share = (gear.cylinder.boreM / exhaust.nozzle!.boreM) ** 2;
    expect(share).toBeCloseTo(13, 6);
    for (const name of ["harrow-tank", "stell-mineral"]) {
      const text = readFileSync(new URL(`../../presets/${name}.yaml`, import.meta.url), "utf8");
      const shipped = machineOf(text).description;
      const shippedShare = (shipped.gear.cylinder.boreM / shipped.exhaust.nozzle!.boreM) ** 2;
      expect(shippedShare / share, name).toBeGreaterThan(0.9);
      expect(shippedShare / share, name).toBeLessThan(1.1);
    }
  });
});
