import { describe, expect, it } from "vitest";
import { complaintText, type Loaded } from "../../src/preset/complaint.js";
import { loadRun, readRunMachinePath, type RunFile } from "../../src/preset/run-file.js";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { machineOf } from "./loading.js";

const locomotive = machineOf(FULL_MACHINE);
const mill = machineOf(fourValues());

const RUN = `machine: ../presets/harbour-shunter.yaml
seconds: 30                    # 0.1 to 86400
seed: 7
listener: { distance: 7.5 m, delay: false, background: none }
controls:
  - { at: 0 s, regulator: 0 %, cutoff: 75 %, drains: 100 %, speed: 30 rpm }
  - { at: 3 s, regulator: 30 %, over: 2 s }
  - { at: 12 s, cutoff: 30 %, over: 6 s, drains: 0 %, speed: 120 rpm }
`;

function valueOf<T>(loaded: Loaded<T>): T {
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  return loaded.value;
}

function complaints(text: string, machine = mill): string[] {
  const loaded = loadRun(text, "r.yaml", machine);
  if (loaded.ok) throw new Error("read without complaint");
  return loaded.errors.map(complaintText);
}

const LINESIDE = {
  ...{ distanceM: 7.5, delay: false, backgroundDbA: null, place: "lineside", atM: null, passBy: null },
  ...{ ground: "none", air: false, format: "mono" },
};

const run = (text: string, machine = locomotive): RunFile => valueOf(loadRun(text, "r.yaml", machine));

describe("a run file", () => {
  it("of the contract comes out in SI", () => {
    const { warnings, ...rest } = run(RUN);
    expect(rest).toEqual({
      machinePath: "../presets/harbour-shunter.yaml",
      seconds: 30,
      seed: 7,
      fullScalePa: null,
      listener: LINESIDE,
      start: "steaming",
      boilerLives: false,
      kinematic: true,
      controls: [
        { atS: 0, overS: 0, regulatorRatio: 0, cutoffRatio: 0.75, drainsRatio: 1, speedRpm: 30 },
        { atS: 3, overS: 2, regulatorRatio: 0.3 },
        { atS: 12, overS: 6, cutoffRatio: 0.3, drainsRatio: 0, speedRpm: 120 },
      ],
    });
    expect(warnings).toEqual([]);
  });

  it("says where its machine is, before the machine is known", () => {
    expect(valueOf(readRunMachinePath(`# a run\n${RUN}`, "r.yaml"))).toEqual({
      machinePath: "../presets/harbour-shunter.yaml",
      line: 2,
      column: 10,
    });
    for (const [text, expected] of [
      ["seconds: 3", "r.yaml:1:1 machine is missing. A run needs a machine file."],
      ["machine: [1]", "r.yaml:1:10 machine must be the path of a machine file."],
      ["", "r.yaml:1:1 The file is empty."],
      ["machine: a\nmachine: b", "is given twice"],
    ]) {
      const loaded = readRunMachinePath(text, "r.yaml");
      if (text.includes("machine: b")) expect(loaded.ok).toBe(true);
      else expect(loaded.ok ? "" : complaintText(loaded.errors[0])).toContain(expected);
    }
  });

  it("fills in what is left out; without a speed, steam and load decide it", () => {
    const bare = run("machine: a.yaml", mill);
    expect(bare).toMatchObject({ seconds: 10, seed: 1, controls: [], kinematic: false, start: "steaming" });
    expect(bare.listener).toEqual(LINESIDE);
    expect(bare.warnings).toEqual([]);
  });

  it("uses the machine's own speed where nothing is said of what moves, and says so", () => {
    const bare = run("machine: a.yaml", machineOf(fourValues({}, "motion: none")));
    expect(bare.kinematic).toBe(true);
    expect(bare.warnings).toEqual([
      "No control gives a speed, and the machine file says nothing of what moves (motion: none): the machine's own speed, 90 rpm, is used.",
    ]);
  });

  it("takes every control and keeps its value", () => {
    const text = `machine: a\nseconds: 60\ncontrols:
  - { at: 0, blower: 10 %, whistle: 20 %, brake: 30 %, load: 140 %, fire: 50 %, feed: 60 %, drains: 70 %, cutoff: -40 % }
  - { at: 0, blowdown: 15 %, priming: 25 %, gradient: -1.25 % }
  - { at: 1 min, whistle: 0 % }`;
    const { controls, warnings } = run(text);
    expect(controls[0]).toEqual({
      atS: 0,
      overS: 0,
      blowerRatio: 0.1,
      whistleRatio: 0.2,
      brakeRatio: 0.3,
      loadRatio: 1.4,
      fireRatio: 0.5,
      feedRatio: 0.6,
      drainsRatio: 0.7,
      cutoffRatio: -0.4,
    });
    expect(controls[1]).toEqual({
      ...{ atS: 0, overS: 0, blowdownRatio: 0.15, primingRatio: 0.25 },
      gradientRatio: expect.closeTo(-0.0125, 12) as number,
    });
    expect(warnings).toEqual(["1 of the controls comes no sooner than the end of the run, 60 s."]);
  });

  it("turns road speed by the wheels (5 ft at 50 km/h: 2.9009 revolutions a second)", () => {
    const { controls } = run("machine: a\ncontrols: [{ at: 0, speed: 50 km/h }]");
    expect(controls[0].speedRpm! / 60).toBeCloseTo(2.9009, 4);
    expect(run("machine: a\ncontrols: [{ at: 0, speed: 0 rpm }]").controls[0].speedRpm).toBe(0);
  });

  it("turns road speed by wheels and gearing (2 m at 1 m/s: 9.549 turns a minute, sixteen of the shaft for each)", () => {
    const pairs = "[{ driving: 20, driven: 80 }, { driving: 15, driven: 60 }]";
    const road = fourValues({}, `kind: road\nwheels: { diameter: 2 m }\ngearing: { pairs: ${pairs} }`);
    const { controls } = run("machine: a\ncontrols: [{ at: 0, speed: 3.6 km/h }]", machineOf(road));
    expect(controls[0].speedRpm).toBeCloseTo((16 * 60) / (2 * Math.PI), 9);
  });

  it("the boiler lives where fire, feed or blow-down is named or the start is cold, and holds its pressure otherwise", () => {
    const lives = (lines: string) => run(`machine: a\n${lines}`).boilerLives;
    expect(lives("controls: [{ at: 0, fire: 80 % }]")).toBe(true);
    expect(lives("controls: [{ at: 0, feed: 0 % }]")).toBe(true);
    expect(lives("controls: [{ at: 0, blowdown: 10 % }]")).toBe(true);
    expect(lives("start: cold\ncontrols: [{ at: 0, fire: 100 % }]")).toBe(true);
    expect(lives("controls: [{ at: 0, blower: 50 %, regulator: 10 % }]")).toBe(false);
    const held = machineOf(fourValues({ pressure: "160 psi, volume: none" }));
    expect(run("machine: a\ncontrols: [{ at: 0, fire: 80 % }]", held).boilerLives).toBe(false);
  });

  it("a whistle may be asked for once a fire is lit", () => {
    const text = "machine: a\nstart: cold\ncontrols: [{ at: 0, fire: 100 % }, { at: 5 s, whistle: 100 % }]";
    expect(run(text).warnings).toEqual([]);
  });

  it("the listener stands where he is put", () => {
    const at = (lines: string) => run(`machine: a\nlistener: { ${lines} }`).listener;
    expect(at("at: [3 m, 4 m, 0 m]")).toMatchObject({ atM: [3, 4, 0], distanceM: 5, place: null });
    expect(at("place: footplate")).toMatchObject({ place: "footplate", atM: null });
    expect(at("passBy: { abeam: 12 m }")).toMatchObject({ passBy: { abeamM: 12 }, distanceM: 12 });
    expect(at("ground: grass, air: true, format: stereo, distance: 25 m")).toMatchObject({
      ...{ ground: "grass", air: true, format: "stereo", distanceM: 25 },
    });
  });

  it("warns of controls that this machine has nothing for, and of those that a given speed leaves idle", () => {
    expect(run("machine: a\ncontrols: [{ at: 0, whistle: 50 %, brake: 10 %, gradient: 1 % }]", mill).warnings).toEqual([
      "Without effect: whistle, brake, gradient. The machine has no whistle, brake or train.",
    ]);
    expect(run("machine: a\ncontrols: [{ at: 0, brake: 50 %, speed: 30 rpm }]").warnings).toEqual([
      "Without effect: brake. A speed is given, which turns the shaft from outside.",
    ]);
    expect(run("machine: a\nstart: cold\ncontrols: [{ at: 0, drains: 50 % }]").warnings).toEqual([
      "The start is cold and no control lights the fire: nothing will move.",
    ]);
  });

  it("reads background, delay, full scale and lengths of time in other units", () => {
    const text =
      "machine: a\nseconds: 2 min\nfullScale: 2 Pa\nlistener: { distance: 20 ft, delay: true, background: 45 dB }";
    const { seconds, fullScalePa, listener } = run(text);
    expect([seconds, fullScalePa, listener.delay, listener.backgroundDbA]).toEqual([120, 2, true, 45]);
    expect(listener.distanceM).toBeCloseTo(6.096, 12);
  });
});

describe("a run file that is wrong", () => {
  it.each([
    ["too long", "machine: a\nseconds: 1e9", "r.yaml:2:10 seconds must be between 0.1 s and 86400 s, got 1000000000."],
    ["too short", "machine: a\nseconds: 0.01", "seconds must be between 0.1 s and 86400 s, got 0.01."],
    ["time that is none", "machine: a\nseconds: .nan", 'seconds must be a time in ms, s, min or h, got "NaN".'],
    ["a negative time", "machine: a\nseconds: -3", "got -3."],
    ["no machine", "seconds: 3", "machine is missing."],
    [
      "an unknown control",
      "machine: a\ncontrols: [{ at: 0, cut-of: 30 % }]",
      "r.yaml:2:21 controls[0].cut-of is not a known key. Nearest: cutoff.",
    ],
    ["a control without a time", "machine: a\ncontrols: [{ cutoff: 30 % }]", "controls[0].at is missing."],
    [
      "controls out of order",
      "machine: a\ncontrols: [{ at: 3 s }, { at: 1 s }]",
      "controls[1].at must not be before the entry above it, got 1 s.",
    ],
    [
      "cut-off beyond the stroke",
      "machine: a\ncontrols: [{ at: 0, cutoff: 130 % }]",
      "r.yaml:2:29 controls[0].cutoff must be between -100 % and 100 %, got 130 %.",
    ],
    [
      "a cut-off beyond full gear",
      "machine: a\ncontrols:\n  - { at: 0, cutoff: 30 % }\n  - { at: 1, cutoff: -99 % }",
      /^r\.yaml:4:22 controls\[1\]\.cutoff must be at most [78]\d\.\d % either way, full gear, got -99 %\. Ask for/,
    ],
    [
      "a regulator turned twice over",
      "machine: a\ncontrols: [{ at: 0, regulator: 200 % }]",
      "must be between 0 % and 100 %, got 200 %.",
    ],
    [
      "road speed without wheels",
      "machine: a\ncontrols: [{ at: 0, speed: 10 mph }]",
      "controls[0].speed must be in rpm, Hz or rad/s where there are no wheels.",
    ],
    [
      "a racing piston",
      "machine: a\ncontrols: [{ at: 0, speed: 5000 rpm }]",
      "must keep the mean piston speed within 50 m/s",
    ],
    [
      "a listener inside",
      "machine: a\nlistener: { distance: 0 m }",
      "listener.distance must be between 0.1 m and 10 km, got 0 m.",
    ],
    [
      "a loud background",
      "machine: a\nlistener: { background: 300 dB }",
      "must be none or between 0 dB and 120 dB, got 300 dB.",
    ],
    [
      "before the beginning",
      "machine: a\ncontrols: [{ at: -3 s }]",
      "controls[0].at must be between 0 s and 86400 s, got -3 s.",
    ],
    [
      "an unknown control far from any",
      "machine: a\ncontrols: [{ at: 0, wistle: 30 % }]",
      "controls[0].wistle is not a known key. Nearest: whistle.",
    ],
    [
      "a load beside a speed",
      "machine: a\ncontrols: [{ at: 0, speed: 30 rpm }, { at: 3 s, load: 50 % }]",
      "controls[1].load must be left out where a speed is given: speed turns the shaft from outside; a load then has nothing to work on. Keep one of them.",
    ],
    ["three loads", "machine: a\ncontrols: [{ at: 0, load: 300 % }]", "must be between 0 % and 200 %, got 300 %."],
    ["a cliff", "machine: a\ncontrols: [{ at: 0, gradient: 45 % }]", "must be between -20 % and 20 %, got 45 %."],
    [
      "a whistle without steam",
      "machine: a\nstart: cold\ncontrols: [{ at: 0, whistle: 100 % }, { at: 9 s, fire: 100 % }]",
      "controls[0].whistle must wait for steam: the start is cold, and no fire is lit by then, got 100 %. Name fire: 100 % in an earlier entry.",
    ],
    ["a start of its own", "machine: a\nstart: warm", "start must be cold or steaming, got warm."],
    [
      "two places at once",
      "machine: a\nlistener: { place: motion, at: [1 m, 1 m, 1 m] }",
      "listener.place must be left out beside at: a listener stands in one place.",
    ],
    [
      "a distance on the footplate",
      "machine: a\nlistener: { place: footplate, distance: 3 m }",
      "listener.distance must be left out where at or place says where the listener is.",
    ],
    ["two lengths", "machine: a\nlistener: { at: [1 m, 1 m] }", "listener.at must list three lengths, got 2"],
    [
      "in the chimney",
      "machine: a\nlistener: { at: [0 m, 0 m, 0 m] }",
      "listener.at must be at least 0.1 m from the mouth.",
    ],
    [
      "a mill that runs past",
      "machine: a\nlistener: { passBy: { abeam: 8 m } }",
      "listener.passBy must be left out for a machine without wheels, which runs past nobody.",
    ],
    [
      "a ground of its own",
      "machine: a\nlistener: { ground: snow }",
      "listener.ground must be none, hard or grass, got snow.",
    ],
    ["a format of its own", "machine: a\nlistener: { format: quad }", "must be mono, stereo or ambisonic, got quad."],
    ["a seed of letters", "machine: a\nseed: lucky", "seed must be a whole number from 0 to 4294967295, got lucky."],
    ["controls that are a block", "machine: a\ncontrols: { at: 0 }", "controls must be a list"],
    ["an entry that is a word", "machine: a\ncontrols: [now]", "controls[0] must be a block of keys, got now."],
  ])("%s", (_what, text, expected) => {
    const found = complaints(text);
    expect(found.length, found.join("\n")).toBe(1);
    if (typeof expected === "string") expect(found[0]).toContain(expected);
    else expect(found[0]).toMatch(expected);
  });

  it("sets a cut-off where the machine's cylinders oscillate and have none to set", () => {
    const text =
      "cylinders: { acting: single, bore: 12 mm, stroke: 20 mm }\nboiler: { pressure: 2 bar }\nspeed: 400 rpm";
    const swinging = `${text}\nvalveGear: { kind: oscillating, portDiameter: 2 mm }\n`;
    const [only, ...others] = complaints("machine: a\ncontrols: [{ at: 0, cutoff: 50 % }]", machineOf(swinging));
    expect(only).toMatch(/^r\.yaml:2:29 controls\[0\]\.cutoff must be left out for an oscillating cylinder/);
    expect(others).toEqual([]);
  });

  it("is cold where there is no fire to be lit", () => {
    const cold = "machine: a\nstart: cold";
    const air = machineOf(fourValues({ pressure: "3 bar, volume: 1 m3" }, "workingFluid: air"));
    expect(complaints(cold, air)[0]).toContain(
      "start must be steaming with an air supply, which has no fire to be lit",
    );
    const held = machineOf(fourValues({ pressure: "160 psi, volume: none" }));
    expect(complaints(cold, held)[0]).toContain("start must be steaming with a boiler that holds its pressure");
    const unlit = machineOf(fourValues({ pressure: "160 psi, fire: none" }));
    expect(complaints(cold, unlit)[0]).toContain("start must be steaming where the boiler has no fire");
  });

  it("a machine that runs past is heard from the lineside, at no other distance", () => {
    const wheeled = (listener: string) => complaints(`machine: a\nlistener: { ${listener} }`, locomotive);
    expect(wheeled("passBy: {}")).toEqual(["r.yaml:2:13 listener.passBy.abeam is missing. For example abeam: 7.5 m."]);
    expect(wheeled("passBy: { abeam: 8 m }, place: motion")[0]).toContain(
      "listener.passBy must be heard from the lineside",
    );
    expect(wheeled("passBy: { abeam: 8 m }, distance: 8 m")[0]).toContain(
      "listener.distance must be left out beside passBy",
    );
  });

  it("tells all faults at once", () => {
    const found = complaints("machine: a\nseconds: x\nseed: y\ncontrols: [{ at: z, cutoff: 3 }]");
    expect(found.map((one) => one.split(" ")[1])).toEqual(["seconds", "seed", "controls[0].at", "controls[0].cutoff"]);
  });
});
