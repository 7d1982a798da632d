import { describe, expect, it } from "vitest";
import { saturatedVapour } from "../../src/steam/steam-states.js";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { assumedFor, complaintsOf, machineOf } from "./loading.js";

const PSI = 6894.757293168;
const ATMOSPHERE = 101_325;

const plantOf = (text: string) => {
  const { plant } = machineOf(text).description;
  if (plant === null || plant === undefined) throw new Error("no plant");
  return plant;
};

/** Four values of a locomotive, with more keys in its boiler. */
const boiler = (keys: string, more = "kind: locomotive") => fourValues({ pressure: `160 psi, ${keys}` }, more);

describe("a boiler as it is written", () => {
  it("comes out in SI units and absolute pressures", () => {
    const plant = plantOf(FULL_MACHINE);
    expect(plant).toMatchObject({
      volumeM3: 5,
      waterRatio: 0.72,
      lowWaterRatio: 0.58,
      fire: { powerW: 5e6, efficiencyRatio: 0.62, responseS: 240 },
      feed: { kind: "injector", temperatureK: 333.15 },
      blowerAreaM2: expect.closeTo(1.2e-4, 12) as number,
      blowdownAreaM2: 8e-4,
    });
    expect(plant.feed?.massFlowKgPerS).toBeCloseTo(8000 / 3600, 12);
    expect(plant.safetyValve?.setPa).toBeCloseTo(160 * PSI + ATMOSPHERE, 3);
    expect(plant.safetyValve?.reseatPa).toBeCloseTo(155 * PSI + ATMOSPHERE, 3);
    // 160 psi gauge boils at 188.1 degC (IAPWS R7-97(2012), see machine-fields): 173.1 K above the air.
    expect(plant.lossWPerK).toBeCloseTo(12_000 / 173.13, 1);
  });

  it("none is a word, not a block: no fire, valve, feed or cock", () => {
    const plant = plantOf(boiler("fire: none, safetyValve: none, feed: none, blowdown: none", "blower: none"));
    expect([plant.fire, plant.safetyValve, plant.feed]).toEqual([null, null, null]);
    expect([plant.blowdownAreaM2, plant.blowerAreaM2]).toEqual([0, 0]);
    const machine = machineOf(boiler("volume: none"));
    expect(machine.description.plant).toBe(null);
    expect(machine.assumed.filter(({ name }) => name.startsWith("boiler.")).map(({ name }) => name)).toEqual([
      "boiler.superheat",
    ]);
  });
});

describe("a boiler that is assumed", () => {
  const plant = plantOf(fourValues({}, "kind: locomotive"));

  it("boils what such an engine uses: 28 to 32 lb an hour for each indicated horsepower, within 15 % (Machinery's Reference Series No. 70, Table IV, simple, non-condensing)", () => {
    // Indicated work by the same book's card: mean pressure c + (c + k) ln((1 + k)/(c + k)), k 8 %, less 17 psi, times 0.85.
    const [c, k] = [0.3, 0.08];
    const boilerPa = 160 * PSI + ATMOSPHERE;
    const forward = c + (c + k) * Math.log((1 + k) / (c + k));
    const meanPa = 0.85 * (0.95 * boilerPa * forward - (ATMOSPHERE + 2 * PSI));
    const sweptM3 = (Math.PI / 4) * 0.4318 ** 2 * 0.6096;
    const horsepower = (4 * sweptM3 * meanPa * 1.5) / 745.7;
    const feed = plant.feed!.massFlowKgPerS / 1.5;
    const poundsPerHour = (feed * 3600) / 0.45359237;
    expect(poundsPerHour / horsepower).toBeGreaterThan(0.85 * 28);
    expect(poundsPerHour / horsepower).toBeLessThan(1.15 * 32);
  });

  it("burns so that the heat of its fire makes that steam, a quarter more, and its own loss", () => {
    const { fire, feed, lossWPerK } = plant;
    const steam = saturatedVapour(160 * PSI + ATMOSPHERE);
    const latent = steam.enthalpyJPerKg - 4190 * 65;
    const made = (fire!.powerW * fire!.efficiencyRatio - lossWPerK * (steam.temperatureK - 288.15)) / latent;
    expect(made / ((1.25 * feed!.massFlowKgPerS) / 1.5)).toBeCloseTo(1, 6);
  });

  it("has a safety valve that passes all of it, by Napier's rule (Babcock & Wilcox, Steam, eq. 49: W = a p / 70)", () => {
    const valve = plant.safetyValve!;
    // A few per cent above what the machine works at. [common practice]
    expect(valve.setPa).toBeCloseTo(1.03 * 160 * PSI + ATMOSPHERE, 3);
    expect(valve.reseatPa).toBeLessThan(valve.setPa);
    const poundsPerS = ((valve.areaM2 / 6.4516e-4) * (valve.fullLiftPa / PSI)) / 70;
    const makesKgPerS = (1.25 * plant.feed!.massFlowKgPerS) / 1.5;
    expect((poundsPerS * 0.45359237) / makesKgPerS).toBeCloseTo(1, 3);
  });

  it("a toy boils about what one was measured to boil: 1.24 to 1.47 g a minute of a spirit burner (a hobby site's measurement, 54 W into the water)", () => {
    const toy = machineOf(
      fourValues(
        { bore: "10 mm", stroke: "16 mm", pressure: "1.2 bar", speed: "700 rpm" },
        "kind: model\nvalveGear: { kind: oscillating }",
      ),
    ).description.plant!;
    const usefulW = toy.fire!.powerW * toy.fire!.efficiencyRatio;
    expect(usefulW).toBeGreaterThan(40);
    expect(usefulW).toBeLessThan(120);
    expect(toy.feed).toBe(null);
    expect(toy.blowdownAreaM2).toBe(0);
    expect(toy.volumeM3).toBeGreaterThan(50e-6);
    expect(toy.volumeM3).toBeLessThan(300e-6);
  });

  it("has a pump in a mill, an injector on wheels and a blower under a chimney only", () => {
    for (const [kind, feed] of [
      ["stationary", "pump"],
      ["marine", "pump"],
      ["locomotive", "injector"],
      ["road", "injector"],
    ] as const) {
      const assumed = plantOf(fourValues({}, `kind: ${kind}`));
      expect(assumed.feed?.kind, kind).toBe(feed);
      expect(assumed.blowerAreaM2 > 0, kind).toBe(kind === "locomotive");
    }
  });

  it("twice the speed needs twice the fire, and half the size an eighth of the steam", () => {
    const fast = plantOf(fourValues({ speed: "180 rpm" }, "kind: locomotive"));
    expect(fast.feed!.massFlowKgPerS / plant.feed!.massFlowKgPerS).toBeCloseTo(2, 9);
    const small = plantOf(fourValues({ bore: "8.5 in", stroke: "12 in" }, "kind: locomotive"));
    expect(small.feed!.massFlowKgPerS / plant.feed!.massFlowKgPerS).toBeCloseTo(1 / 8, 6);
  });

  it("air holds its pressure, unless its receiver has a volume; then it has neither water nor fire", () => {
    const air = "workingFluid: air\n";
    const held = machineOf(fourValues({ pressure: "3 bar" }, air));
    expect(held.description.plant).toBe(null);
    expect(assumedFor(held, "boiler.volume")).toBe("none");
    const receiver = plantOf(fourValues({ pressure: "3 bar, volume: 500 L" }, air));
    expect(receiver).toMatchObject({ volumeM3: 0.5, waterRatio: 0, fire: null, feed: null, blowdownAreaM2: 0 });
    expect(receiver.safetyValve?.areaM2).toBeGreaterThan(0);
  });
});

describe("a boiler that cannot be", () => {
  it.each([
    [
      "a valve that shuts above where it lifts",
      boiler("safetyValve: { set: 160 psi, reseat: 165 psi }"),
      "boiler.safetyValve.reseat must be below the set pressure, 160 psi, got 165 psi. Lower it by some per cent.",
    ],
    [
      "a valve open before it lifts",
      boiler("safetyValve: { set: 160 psi, fullLift: 150 psi }"),
      "boiler.safetyValve.fullLift must be above the set pressure, 160 psi, got 150 psi.",
    ],
    [
      "a valve set below the air",
      boiler("safetyValve: { set: 0.9 bar abs }"),
      "boiler.safetyValve.set must be above the pressure of the air outside, got 0.9 bar abs.",
    ],
    [
      "feed hotter than the boiler",
      boiler("feed: { temperature: 250 degC }"),
      "boiler.feed.temperature must be colder than the boiling water, 188.1 degC, got 250 degC. Lower it.",
    ],
    ["a feed by hand", boiler("feed: { kind: hand }"), "boiler.feed.kind must be injector or pump, got hand."],
    ["a fire of cold", boiler("fire: { power: 5 K }"), "boiler.fire.power must be a power in W, kW, MW or hp"],
    ["a fire for a town", boiler("fire: { power: 5000 MW }"), "boiler.fire.power must be between 1 W and 500 MW"],
    ["a word that is not none", boiler("fire: coal"), "boiler.fire must be a block of keys, or none, got coal."],
    ["water over the brim", boiler("water: 120 %"), "boiler.water must be between 0 % and 98 %, got 120 %."],
    [
      "fire under a receiver",
      fourValues({ pressure: "3 bar, volume: 1 m3, fire: {}" }, "workingFluid: air"),
      "boiler.fire must be left out with air, whose receiver has no water and no fire.",
    ],
    [
      "water in an air main",
      fourValues({ pressure: "3 bar, water: 50 %" }, "workingFluid: air"),
      "boiler.water must be left out with air, whose receiver has no water and no fire.",
    ],
    [
      "water where the pressure is held",
      boiler("volume: none, water: 70 %"),
      "boiler.water must be left out where the supply holds its pressure. Give boiler.volume, and it fills and empties.",
    ],
    [
      "a blower without a chimney",
      fourValues({}, "kind: stationary\nblower: { area: 1 cm2 }"),
      "blower must stand under a chimney, got none.",
    ],
  ])("%s", (_what, text, expected) => {
    const complaints = complaintsOf(text);
    expect(complaints.length, complaints.join("\n")).toBe(1);
    expect(complaints[0]).toContain(expected);
  });
});

describe("a boiler that is odd", () => {
  it.each([
    [
      "set far above the working pressure",
      boiler("safetyValve: { set: 180 psi }"),
      "The safety valve is set to 180 psi, 13 % above the working pressure, 160 psi. Usual is within 5 %.",
    ],
    ["set below it", boiler("safetyValve: { set: 140 psi }"), "it blows all the time"],
    ["a fire and no valve", boiler("safetyValve: none"), "The boiler has a fire and no safety valve."],
    ["bare plates", boiler("water: 40 %, lowWater: 60 %"), "the plates over the fire are bare"],
    ["full to the brim", boiler("water: 95 %"), "leaves hardly any steam room"],
    ["no low water to speak of", boiler("lowWater: 1 %"), "boiler.lowWater of 1 % is next to nothing."],
    ["a match for a fire", boiler("fire: { power: 5 kW }"), "it never raises steam"],
    ["a valve too small", boiler("safetyValve: { area: 2 mm2 }"), "cannot pass what the full fire boils"],
    ["a cup for a boiler", boiler("volume: 5 cm3"), "Is it in the wrong unit?"],
  ])("%s", (_what, text, expected) => {
    expect(machineOf(text).warnings.join("\n")).toContain(expected);
  });

  it("and one set within 5 % is not", () => {
    for (const set of ["160 psi", "167 psi", "153 psi"]) {
      expect(machineOf(boiler(`safetyValve: { set: ${set} }`)).warnings, set).toEqual([]);
    }
  });
});
