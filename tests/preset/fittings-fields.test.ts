import { describe, expect, it } from "vitest";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { assumedFor, complaintsOf, machineOf } from "./loading.js";

const fittingsOf = (text: string) => {
  const { fittings } = machineOf(text).description;
  if (fittings === null || fittings === undefined) throw new Error("no fittings");
  return fittings;
};

const engine = (more = "") => fourValues({}, `kind: locomotive\nwheels: { diameter: 5 ft }\n${more}`);
const condensing = (more: string) =>
  fourValues({}, `exhaust: { passage: {}, condenser: { pressure: 0.2 bar abs${more} } }`);

describe("fittings as they are written", () => {
  it("come out in SI units and absolute pressure", () => {
    const { reliefPa, track, ...rest } = fittingsOf(FULL_MACHINE);
    expect(rest).toEqual({
      drainAreaM2: expect.closeTo(1.3e-4, 12) as number,
      sniftingAreaM2: 20e-4,
      glandAreaM2: 1e-6,
      reliefAreaM2: 6e-4,
      valvesLift: true,
      whistle: {
        bells: [
          { lengthM: 0.14, boreM: 0.06 },
          { lengthM: 0.11, boreM: 0.06 },
        ],
        slitM: 0.0005,
        cutUpRatio: 0.4,
      },
      airPump: null,
    });
    expect(reliefPa).toBeCloseTo(180 * 6894.757293168 + 101_325, 3);
    expect(track).toEqual({ railLengthM: 18.288, gapM: 0.006, dipM: 0.003, axlesM: [0, 2, 4], axleKg: 15_000 });
  });

  it("none is a word: no drains, snifting, relief, glands, whistle or track, no air pump", () => {
    const none = "drains: none\nsnifting: none\nrelief: none\nglands: none\nwhistle: none\ntrack: none";
    const bare = fittingsOf(engine(none));
    expect([bare.drainAreaM2, bare.sniftingAreaM2, bare.reliefAreaM2, bare.glandAreaM2]).toEqual([0, 0, 0, 0]);
    expect([bare.whistle, bare.track]).toEqual([null, null]);
    expect(fittingsOf(condensing(", airPump: none")).airPump).toBe(null);
  });

  it("an air pump of its own", () => {
    const { airPump } = fittingsOf(condensing(", airPump: { strokesPerTurn: 2, bore: 300 mm, stroke: 200 mm }"));
    expect(airPump).toEqual({ strokesPerTurn: 2, boreM: 0.3, strokeM: 0.2 });
  });
});

describe("fittings that are assumed", () => {
  it("are what the kind usually has", () => {
    const table = (["locomotive", "road", "stationary", "marine", "model", "pump"] as const).map((kind) => {
      const text = fourValues({ speed: "60 rpm" }, `kind: ${kind}\nwheels: { diameter: 5 ft }`);
      const { drainAreaM2, sniftingAreaM2, reliefAreaM2, whistle, track } = fittingsOf(text);
      return [kind, drainAreaM2 > 0, sniftingAreaM2 > 0, reliefAreaM2 > 0, whistle !== null, track !== null];
    });
    expect(table).toEqual([
      ["locomotive", true, true, false, true, true],
      ["road", true, false, false, true, false],
      ["stationary", true, false, false, false, false],
      ["marine", true, false, true, true, false],
      ["model", true, false, false, false, false],
      ["pump", true, false, false, false, false],
    ]);
  });

  it("a locomotive's whistle speaks near 800 Hz: a stopped pipe of a quarter wave, open end 0.6 of the radius, steam at 490 m/s (common practice, from memory)", () => {
    const [bell] = fittingsOf(engine()).whistle!.bells;
    const speakingM = bell.lengthM + 0.6 * (bell.boreM / 2);
    expect(490 / (4 * speakingM)).toBeGreaterThan(700);
    expect(490 / (4 * speakingM)).toBeLessThan(900);
  });

  it("axles carry the engine between them", () => {
    const { fittings, running } = machineOf(engine()).description;
    const { axlesM, axleKg } = fittings!.track!;
    expect(axlesM[0]).toBe(0);
    expect(axlesM.length * axleKg).toBeCloseTo(running!.train!.engineKg, 6);
    expect(axleKg).toBeLessThanOrEqual(18_000);
  });

  it("an air pump has an eighth of the cylinder (Bourne, A Catechism of the Steam Engine, land engines, from memory)", () => {
    const { airPump } = fittingsOf(condensing(""));
    const share = (airPump!.boreM ** 2 * airPump!.strokeM) / (0.4318 ** 2 * 0.6096);
    expect(share).toBeCloseTo(1 / 8, 9);
  });

  it("slide valves lift and piston valves do not; a cylinder of 5 mm, or one that swings, has no drains", () => {
    expect(fittingsOf(engine()).valvesLift).toBe(true);
    expect(fittingsOf(engine("valveGear: { admission: inside }")).valvesLift).toBe(false);
    expect(fittingsOf(engine("valveGear: { lifts: false }")).valvesLift).toBe(false);
    const tiny = { bore: "5 mm", stroke: "8 mm", pressure: "2 bar" };
    expect(fittingsOf(fourValues(tiny, "kind: model")).drainAreaM2).toBe(0);
    expect(fittingsOf(fourValues(tiny, "kind: model\ndrains: { area: 0.1 mm2 }")).drainAreaM2).toBeCloseTo(1e-7, 15);
    expect(fittingsOf(fourValues({}, "valveGear: { kind: oscillating }")).drainAreaM2).toBe(0);
  });

  it("air blows no whistle, and an idealised engine has nothing at all", () => {
    const air = machineOf(fourValues({ pressure: "3 bar" }, "kind: locomotive\nworkingFluid: air"));
    expect(air.description.fittings?.whistle).toBe(null);
    expect(assumedFor(air, "whistle")).toBe("none");
    const ideal = machineOf(fourValues({}, "idealised: true\ndrains: { area: 1 cm2 }\nwhistle: {}"));
    expect(ideal.description.fittings).toBe(null);
    expect(ideal.description.plant).not.toBe(null);
    expect(ideal.warnings).toEqual(["Not used, as an idealised engine has none: drains, whistle."]);
  });
});

describe("fittings that cannot be", () => {
  it.each([
    [
      "axles that go back and forth",
      engine("track: { axles: [0 m, 4 m, 2 m] }"),
      "track.axles must run from the first axle back, each farther than the one before, got 2 m in place 3. Put them in order.",
    ],
    ["no axle", engine("track: { axles: [] }"), "track.axles must list one axle or more, got none."],
    ["a track without wheels", fourValues({}, "track: {}"), "track must have wheels to run on it, got none."],
    [
      "seven bells",
      engine(`whistle: { bells: [${Array(7).fill("{ length: 1 m, bore: 1 cm }").join(", ")}] }`),
      "at most 6 items",
    ],
    ["no bell", engine("whistle: { bells: [] }"), "whistle.bells must list one to six bells, got none."],
    [
      "half a bell",
      engine("whistle: { bells: [{ length: 140 mm }] }"),
      "whistle.bells[0].bore is missing. For example bore: 60 mm.",
    ],
    [
      "a piston valve that lifts",
      engine("valveGear: { admission: inside, lifts: true }"),
      "valveGear.lifts must be false with inside admission, as piston valves have no face to lift from, got true.",
    ],
    [
      "relief below the air",
      engine("relief: { pressure: 0.6 bar abs }"),
      "relief.pressure must be above the pressure of the air outside",
    ],
    [
      "cocks as wide as a door",
      engine("drains: { area: 1 m2 }"),
      "drains.area must be between 0 mm2 and 0.1 m2, got 1 m2.",
    ],
    ["a word that is not none", engine("whistle: no"), "whistle must be a block of keys, or none, got no."],
    [
      "half a stroke",
      condensing(", airPump: { strokesPerTurn: 0.5 }"),
      "strokesPerTurn must be a whole number from 1 to 4, got 0.5.",
    ],
  ])("%s", (_what, text, expected) => {
    const complaints = complaintsOf(text);
    expect(complaints.length, complaints.join("\n")).toBe(1);
    expect(complaints[0]).toContain(expected);
  });
});

describe("fittings that are odd", () => {
  it.each([
    ["relief below the boiler", engine("relief: { pressure: 100 psi }"), "the valves blow at every stroke"],
    [
      "a bell wider than long",
      engine("whistle: { bells: [{ length: 40 mm, bore: 90 mm }] }"),
      "Are length and bore changed over?",
    ],
    ["a slit for a letter", engine("whistle: { slit: 18 mm }"), "is wide for that bell"],
    ["an axle heavier than all", engine("track: { axleLoad: 90 t }"), "is more than the whole engine"],
    ["a gap like a step", engine("track: { rail: 1 m, gap: 30 mm }"), "Is it in the wrong unit?"],
  ])("%s", (_what, text, expected) => {
    expect(machineOf(text).warnings.join("\n")).toContain(expected);
  });
});
