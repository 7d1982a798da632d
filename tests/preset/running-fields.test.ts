import { describe, expect, it } from "vitest";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { assumedFor, complaintsOf, machineOf } from "./loading.js";

const LBF = 4.4482216152605;

const runningOf = (text: string) => {
  const { running } = machineOf(text).description;
  if (running === null || running === undefined) throw new Error("nothing runs");
  return running;
};

const mill = (more: string) => fourValues({}, `kind: stationary\n${more}`);
const engine = (more: string) => fourValues({}, `kind: locomotive\nwheels: { diameter: 5 ft }\n${more}`);

describe("running gear as it is written", () => {
  it("comes out in SI units", () => {
    const { frictionPa, ...rest } = runningOf(FULL_MACHINE);
    expect(rest).toEqual({
      reciprocatingKg: 260,
      inertiaKgM2: 1500,
      slackM: 0.0004,
      brakeTorqueNm: 40_000,
      load: null,
      train: {
        trainKg: 240_000,
        engineKg: 45_000,
        adhesionKg: 40_000,
        gradientRatio: 0.005,
        adhesionRatio: 0.25,
        slipRatio: 0.15,
        resistance: "davis",
        frontalM2: expect.closeTo(85 * 0.09290304, 9) as number,
        axleCount: 30,
      },
      governor: null,
      gearing: null,
    });
    expect(frictionPa).toBeCloseTo(6894.757, 3);
  });

  it("a flywheel adds its rim, mass times radius squared", () => {
    const text = mill("motion: { inertia: 50 kg m2 }\nflywheel: { diameter: 3 m, mass: 2 t }");
    expect(runningOf(text).inertiaKgM2).toBeCloseTo(50 + 2000 * 1.5 * 1.5, 9);
  });

  it("a load by its power is the torque at its speed: 100 hp at 90 rpm is 5836 lbf ft (33 000 ft lb in a minute)", () => {
    const { load } = runningOf(mill("load: { law: constant, power: 100 hp }"));
    expect(load?.law).toBe("constant");
    expect(load!.torqueNm / (LBF * 0.3048)).toBeCloseTo((100 * 33_000) / (2 * Math.PI * 90), 2);
    const slow = runningOf(mill("load: { power: 100 hp, speed: 45 rpm }")).load!;
    expect(slow.torqueNm / load!.torqueNm).toBeCloseTo(2, 9);
    expect(slow.atRpm).toBe(45);
  });

  it("gearing counts in teeth or in pulleys, and turns road speed into more of the shaft", () => {
    const road = "kind: road\nwheels: { diameter: 2 m }\n";
    const pairs = "gearing: { pairs: [{ driving: 20, driven: 80 }, { driving: 15, driven: 60 }] }";
    const { description } = machineOf(fourValues({ speed: "3.6 km/h" }, road + pairs));
    expect(description.running?.gearing).toEqual({
      kind: "gear",
      pairs: [
        { driving: 20, driven: 80 },
        { driving: 15, driven: 60 },
      ],
    });
    // 1 m/s on wheels of 2 m: 60 / (2 pi) turns of the wheel in a minute, 16 of the shaft for each.
    expect(description.speedRpm).toBeCloseTo((16 * 60) / (2 * Math.PI), 9);
    const belt = runningOf(mill("gearing: { kind: belt, pairs: [{ driving: 1.2 m, driven: 400 mm }] }"));
    expect(belt.gearing).toEqual({ kind: "belt", pairs: [{ driving: 1200, driven: 400 }] });
  });

  it("none is a word: no flywheel, load, governor, train or brake; and no motion leaves the shaft to others", () => {
    const bare = runningOf(mill("flywheel: none\nload: none\ngovernor: none\nbrake: none\ntrain: none"));
    expect([bare.load, bare.governor, bare.train, bare.brakeTorqueNm]).toEqual([null, null, null, 0]);
    expect(machineOf(mill("motion: none")).description.running).toBe(null);
    expect(machineOf(mill("motion: none")).assumed.some(({ name }) => name.startsWith("load"))).toBe(false);
  });
});

describe("running gear that is assumed", () => {
  const kinds = ["locomotive", "road", "stationary", "marine", "model", "pump"] as const;

  it("is what the kind usually has", () => {
    const table = kinds.map((kind) => {
      const text = fourValues({ speed: "60 rpm" }, `kind: ${kind}\nwheels: { diameter: 5 ft }`);
      const { load, train, governor, gearing, brakeTorqueNm } = runningOf(text);
      return [kind, load?.law ?? null, train !== null, governor !== null, gearing !== null, brakeTorqueNm > 0];
    });
    expect(table).toEqual([
      ["locomotive", null, true, false, false, true],
      ["road", null, true, false, true, true],
      ["stationary", "linear", false, true, false, false],
      ["marine", "square", false, false, false, false],
      ["model", "linear", false, false, false, false],
      ["pump", "pump", false, false, false, false],
    ]);
  });

  it("a locomotive weighs five times its pull on its driven wheels: 17x24, 160 psi at 85 %, 60 in wheels pull 15 721 lbf (T = d2 L p / D, Sinclair 1888; adhesion of a fifth, Bourne Q495)", () => {
    const { train } = runningOf(engine(""));
    const pullLbf = (17 * 17 * 24 * 0.85 * 160) / 60;
    expect(pullLbf).toBeCloseTo(15_721.6, 1);
    expect((train!.adhesionKg * 9.81) / 5 / LBF).toBeCloseTo(pullLbf, 0);
    expect(train!.engineKg).toBeGreaterThan(train!.adhesionKg);
    expect(train!.trainKg).toBeGreaterThan(train!.engineKg);
    expect(train!.slipRatio).toBeLessThan(train!.adhesionRatio);
  });

  it("a mill's flywheel holds the work of six strokes in its rim (Bourne, A Catechism of the Steam Engine, Q21: six for steady drives)", () => {
    const { inertiaKgM2, load } = runningOf(mill(""));
    const shaft = Number(/^[\d.]+/.exec(assumedFor(machineOf(mill("")), "motion.inertia")!)![0]);
    const rimJ = 0.5 * (inertiaKgM2 - shaft) * ((90 * 2 * Math.PI) / 60) ** 2;
    // The load takes 0.7 of the mean torque; two strokes in a turn.
    const strokeJ = (load!.torqueNm / 0.7) * Math.PI;
    expect(rimJ / strokeJ).toBeCloseTo(6, 2);
  });

  it("friction is 1 lb/in2 of piston (Bourne, Q497)", () => {
    expect(runningOf(mill("")).frictionPa / 6894.757).toBeCloseTo(1, 3);
  });

  it("a locomotive without wheels has no train to draw, but a load; a road engine at belt work has no train", () => {
    const bare = runningOf(fourValues({}, "kind: locomotive"));
    expect([bare.train, bare.load?.law]).toEqual([null, "linear"]);
    expect(runningOf(fourValues({}, "kind: locomotive\nwheels: none"))).toEqual(bare);
    const road = fourValues({}, "kind: road\nwheels: { diameter: 5 ft }\nload: { power: 10 kW }");
    expect(runningOf(road).train).toBe(null);
  });

  it("a winding engine has a brake and no governor", () => {
    const { governor, brakeTorqueNm, load } = runningOf(mill("load: { law: hoist, torque: 5 kN m }"));
    expect([governor, brakeTorqueNm, load?.torqueNm]).toEqual([null, 10_000, 5000]);
  });

  it("an inertia that is given counts everything: no flywheel is added to it", () => {
    expect(runningOf(mill("motion: { inertia: 800 kg m2 }")).inertiaKgM2).toBe(800);
  });
});

describe("running gear that cannot be", () => {
  it.each([
    [
      "more on the wheels than there is",
      engine("train: { engine: 40 t, adhesion: 50 t }"),
      "train.adhesion must be at most the engine's mass, 40 t, got 50 t.",
    ],
    [
      "a train lighter than its engine",
      engine("train: { engine: 40 t, mass: 30 t }"),
      "train.mass must be at least the engine's mass, 40 t, got 30 t. The engine is counted in it.",
    ],
    [
      "a wheel that holds better slipping",
      engine("train: { grip: 20 %, slipGrip: 30 % }"),
      "train.slipGrip must be at most the grip of a wheel that holds, 20 %, got 30 %.",
    ],
    ["a train without wheels", mill("train: {}"), "train must have wheels to run on, got none. Add wheels"],
    [
      "power and torque",
      mill("load: { power: 10 kW, torque: 1 kN m }"),
      "load.power must be left out where the torque is given: one follows from the other. Keep one of them.",
    ],
    ["a law of its own", mill("load: { law: cubic }"), "load.law must be constant, linear, square, pump or hoist"],
    ["a torque in watts", mill("load: { torque: 10 kW }"), '"kW" is the unit of a power.'],
    [
      "a shaft that weighs nothing",
      mill("motion: { inertia: 0 kg m2 }"),
      "motion.inertia must be between 0.001 g cm2 and 100000000 kg m2, got 0 kg m2.",
    ],
    ["a mass below nothing", mill("flywheel: { mass: -2 t }"), "flywheel.mass must be between 0.1 g and 1000 t"],
    [
      "a governor on a gear that has no cut-off",
      fourValues({ pressure: "20 psi" }, "valveGear: { kind: oscillating }\ngovernor: { acts: cutoff }"),
      "governor.acts must be regulator for an oscillating cylinder, which has no cut-off to move, got cutoff.",
    ],
    [
      "half a tooth",
      mill("gearing: { pairs: [{ driving: 20.5, driven: 80 }] }"),
      "gearing.pairs[0].driving must be a count of teeth from 5 to 2000, or of a pulley a diameter from 2 mm to 15 m, got 20.5.",
    ],
    [
      "a pulley among teeth",
      mill("gearing: { pairs: [{ driving: 20, driven: 80 mm }] }"),
      "gearing.pairs[0].driven must be a count of teeth with kind gear, got a diameter. For example 18, or write kind: belt.",
    ],
    [
      "teeth on a belt",
      mill("gearing: { kind: belt, pairs: [{ driving: 20, driven: 80 mm }] }"),
      "gearing.pairs[0].driving must be a pulley's diameter with kind belt, got 20.",
    ],
    ["a wheel short", mill("gearing: { pairs: [{ driving: 20 }] }"), "gearing.pairs[0].driven is missing."],
    ["no pair at all", mill("gearing: { pairs: [] }"), "gearing.pairs must name one pair or more, got none."],
    [
      "a load where nothing moves",
      mill("motion: none\nload: { law: linear }"),
      "load must be left out with motion: none, by which the shaft is turned from outside.",
    ],
    ["a misspelt key", mill("govenor: {}"), "govenor is not a known key. Nearest: governor."],
  ])("%s", (_what, text, expected) => {
    const complaints = complaintsOf(text);
    expect(complaints.length, complaints.join("\n")).toBe(1);
    expect(complaints[0]).toContain(expected);
  });
});

describe("running gear that is odd", () => {
  it.each([
    [
      "a governor of another engine",
      mill("governor: { speed: 300 rpm }"),
      "The governor holds 300 rpm, and the machine's own speed is 90 rpm",
    ],
    [
      "gearing the wrong way round",
      mill("gearing: { pairs: [{ driving: 500, driven: 6 }] }"),
      "are driving and driven changed over?",
    ],
    ["steel that sticks", engine("train: { grip: 60 % }"), "train.grip of 60 % is much for steel on steel."],
    [
      "a wall of a hill",
      engine("train: { gradient: 12 % }"),
      "train.gradient of 12 % is 1 in 8.33, steeper than wheels climb",
    ],
    ["a rim that would burst", mill("flywheel: { diameter: 12 m }"), "The rim of the flywheel runs at 56.5 m/s."],
    [
      "a load that stalls",
      mill("load: { torque: 9000 kN m }"),
      "load.torque of 9000 kN m is more than the pistons can give",
    ],
    [
      "friction that stalls",
      mill("motion: { friction: 5 bar }").replace("160 psi", "80 psi"),
      "the engine hardly turns itself",
    ],
    ["a loose bearing", mill("motion: { slack: 9 mm }"), "motion.slack of 9 mm is very much"],
    ["a governor on a train", engine("governor: {}"), "A governor beside a train"],
  ])("%s", (_what, text, expected) => {
    expect(machineOf(text).warnings.join("\n")).toContain(expected);
  });
});
