import { describe, expect, it } from "vitest";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { machineOf } from "./loading.js";

const inch = 0.0254;

describe("a machine file that gives everything", () => {
  const machine = machineOf(FULL_MACHINE);
  const { description } = machine;

  it("assumes nothing and warns of nothing", () => {
    expect(machine.assumed).toEqual([]);
    expect(machine.warnings).toEqual([]);
    expect([machine.name, machine.kind, machine.formatVersion, machine.fullScalePa]).toEqual([
      "Harbour shunter",
      "locomotive",
      1,
      20,
    ]);
  });

  it("comes out in SI units, radians and absolute pressure", () => {
    expect(description.gear.cylinder).toEqual({
      boreM: 0.4318,
      strokeM: 0.6096,
      acting: "double",
      connectingRodM: 1.8288,
      pistonRodM: 0.0635,
      clearanceRatio: 0.08,
    });
    expect(description.gear.crankAnglesRad).toEqual([0, Math.PI / 2]);
    expect(description.gear.valveGear).toEqual({
      kind: "eccentric",
      admission: "outside",
      travelM: 0.1143,
      steamLapM: 0.0254,
      exhaustLapM: 0,
      leadM: 0.00635,
      portLengthM: 0.3556,
      portWidthM: 0.0381,
    });
    expect(description.gear.faults).toEqual([
      { kind: "valveRodLength", cylinder: 1, byM: 0.001 },
      { kind: "eccentricSlip", cylinder: 1, byRad: expect.closeTo(Math.PI / 90, 12) as number },
      { kind: "quartering", cylinder: 2, byRad: expect.closeTo(Math.PI / 180, 12) as number },
      { kind: "ringLeak", cylinder: 1, areaM2: 5e-6 },
      { kind: "portChoke", cylinder: 1, end: "crank", toRatio: 0.6 },
    ]);
    expect(description.exhaust).toEqual({
      passage: { lengthM: 1.4, boreM: 0.15 },
      blastPipe: { lengthM: 1.1, boreM: 0.165 },
      nozzle: { boreM: 0.118, contractionM: 0.15 },
      smokebox: { volumeM3: 3, temperatureK: 573.15 },
      chimney: { lengthM: 1.2, boreM: 0.4 },
      condenser: null,
    });
    expect(description.leaks).toEqual({ valveM2: 1e-6, ringsM2: 1e-6, regulatorM2: 1e-6 });
    expect(description.chestVolumeM3).toBe(0.012);
    expect(description.regulatorAreaM2).toBe(0.004);
    expect(description.wheelDiameterM).toBe(1.524);
    expect(description.speedRpm).toBe(90);
    expect(description.idealised).toBe(false);
    expect(description.workingFluid).toBe("steam");
    expect(description.ambient).toEqual({ pressurePa: 101325, temperatureK: 288.15, humidityRatio: 0.6 });
  });

  it("has steam at its saturation temperature: 160 psi gauge is 1.204 MPa, boiling near 188.1 degC", () => {
    // IAPWS R7-97(2012), table 36, brackets it: 1 MPa boils at 453.035632 K, and saturation at 475 K needs 1.6 MPa.
    // Steam tables (1.2 MPa: 187.96 degC, from memory).
    expect(description.boiler.pressurePa).toBeCloseTo(160 * 6894.757293168 + 101325, 3);
    expect(description.boiler.temperatureK - 273.15).toBeCloseTo(188.13, 1);
    const hot = machineOf(FULL_MACHINE.replace("superheat: 0 K", "superheat: 90 degF")).description.boiler;
    expect(hot.superheatK).toBeCloseTo(50, 10);
    expect(hot.temperatureK - description.boiler.temperatureK).toBeCloseTo(50, 10);
  });

  it("boils at 453.035632 K under 1 MPa (IAPWS R7-97(2012), table 36)", () => {
    const { boiler } = machineOf(fourValues({ pressure: "1 MPa abs" })).description;
    expect(boiler.temperatureK).toBeCloseTo(453.035632, 5);
  });

  it("is the same written as JSON, tabs and all", () => {
    const json = JSON.stringify(
      { boiler: { pressure: "160 psi" }, cylinders: { bore: "17 in", stroke: "24 in", count: 2 }, speed: "90 rpm" },
      null,
      "\t",
    );
    expect(machineOf(json).description).toEqual(
      machineOf(fourValues({}, "").replace("24 in", "24 in, count: 2")).description,
    );
  });
});

describe("fields in other forms", () => {
  const withGear = (gear: string) => machineOf(fourValues({}, `valveGear: ${gear}`)).description.gear.valveGear;

  it("events: release as an angle or as a share of the stroke (closed form: 90 % with a long rod is 143.130 deg)", () => {
    const gear =
      "{ kind: events, fullGearCutoff: 75 %, lead: 2 mm, release: 148 deg, portLength: 0.3 m, portWidth: 30 mm }";
    expect(withGear(gear)).toEqual({
      kind: "events",
      admission: "outside",
      fullGearCutoffRatio: 0.75,
      leadM: 0.002,
      releaseRad: (148 * Math.PI) / 180,
      portLengthM: 0.3,
      portWidthM: 0.03,
    });
    const share = withGear(gear.replace("148 deg", "90 %"));
    expect(share.kind === "events" && (share.releaseRad * 180) / Math.PI).toBeCloseTo(143.1301, 4);
  });

  it("oscillating", () => {
    expect(withGear("{ kind: oscillating, portDiameter: 20 mm, portRadius: 0.5 m, pivotDistance: 1.2 m }")).toEqual({
      kind: "oscillating",
      portDiameterM: 0.02,
      portRadiusM: 0.5,
      pivotDistanceM: 1.2,
    });
  });

  it("inside admission, single acting, three cylinders, exhaust clearance", () => {
    const text = fourValues({}, "valveGear: { admission: inside, exhaustLap: -1/16 in }").replace(
      "24 in }",
      "24 in, acting: single, crankAngles: [0 deg, 120 deg, -120 deg] }",
    );
    const { gear } = machineOf(text).description;
    expect(gear.valveGear.kind === "eccentric" && [gear.valveGear.admission, gear.valveGear.exhaustLapM]).toEqual([
      "inside",
      -inch / 16,
    ]);
    expect(gear.cylinder.acting).toBe("single");
    expect(gear.crankAnglesRad.map((angle) => Math.round((angle * 180) / Math.PI))).toEqual([0, 120, -120]);
  });

  it("air with its own temperature, or as the air outside", () => {
    const air = machineOf(
      "workingFluid: air\nboiler: { pressure: 2 bar, temperature: 40 degC }\ncylinders: { bore: 0.2 m, stroke: 0.3 m }\nspeed: 60 rpm",
    ).description;
    expect(air.boiler).toEqual({ pressurePa: 301325, temperatureK: 313.15, superheatK: 0 });
    const ambient = machineOf(
      fourValues({ pressure: "2 bar" }, "workingFluid: air\nambient: { temperature: 0 degC }"),
    ).description;
    expect(ambient.boiler.temperatureK).toBe(273.15);
  });

  it("a condenser by absolute pressure", () => {
    const { exhaust } = machineOf(
      fourValues({}, "exhaust: { passage: {}, condenser: { pressure: 0.15 bar abs } }"),
    ).description;
    expect(exhaust.condenser).toEqual({ pressurePa: 15000 });
    expect([exhaust.blastPipe, exhaust.nozzle, exhaust.smokebox, exhaust.chimney]).toEqual([null, null, null, null]);
  });

  it("gauge pressures count from the air the file names, whichever comes first in it", () => {
    const high = machineOf(fourValues({ pressure: "10 bar" }, "ambient: { pressure: 0.8 bar abs }")).description;
    expect(high.boiler.pressurePa).toBeCloseTo(10.8e5, 6);
  });

  it("road speed turns the wheels (78 in wheels at 60 mph: 258.57 rpm, Sinclair 1888 prints 258½)", () => {
    const { speedRpm } = machineOf(fourValues({ speed: "60 mph" }, "wheels: { diameter: 78 in }")).description;
    expect(speedRpm).toBeCloseTo(258.566, 3);
    expect(machineOf(fourValues({ speed: "-1.5 Hz" })).description.speedRpm).toBe(-90);
    // 1.524 m at 50 km/h: 2.9009 revolutions a second.
    expect(
      machineOf(fourValues({ speed: "50 km/h" }, "wheels: { diameter: 5 ft }")).description.speedRpm / 60,
    ).toBeCloseTo(2.9009, 4);
  });

  it("0 is a legal rod, lap, lead and leak, with or without a unit", () => {
    const text = fourValues(
      {},
      "valveGear: { steamLap: 0, lead: 0 mm }\nleaks: { valve: 0, rings: 0 mm2, regulator: 0 }",
    ).replace("24 in }", "24 in, pistonRod: 0 }");
    const { gear, leaks } = machineOf(text).description;
    expect(gear.cylinder.pistonRodM).toBe(0);
    expect(gear.valveGear.kind === "eccentric" && [gear.valveGear.steamLapM, gear.valveGear.leadM]).toEqual([0, 0]);
    expect(leaks).toEqual({ valveM2: 0, ringsM2: 0, regulatorM2: 0 });
  });

  it("idealised engines have no leaks, and are told so when some are given", () => {
    expect(machineOf(fourValues({}, "idealised: true")).description.leaks).toEqual({
      valveM2: 0,
      ringsM2: 0,
      regulatorM2: 0,
    });
    const given = machineOf(fourValues({}, "idealised: true\nleaks: { valve: 3 mm2 }"));
    expect(given.description.leaks.valveM2).toBe(0);
    expect(given.warnings.join(" ")).toContain("leaks are not used");
  });

  it("anchors and aliases are plain values", () => {
    const text = fourValues({}, "exhaust:\n  passage: &pipe { length: 1 m, bore: 100 mm }\n  blastPipe: *pipe");
    expect(machineOf(text).description.exhaust.blastPipe).toEqual({ lengthM: 1, boreM: 0.1 });
  });

  it("a name of digits is a name", () => {
    expect(machineOf(fourValues({}, "name: 1234")).name).toBe("1234");
  });
});
