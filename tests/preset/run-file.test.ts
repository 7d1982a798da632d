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

const run = (text: string, machine = locomotive): RunFile => valueOf(loadRun(text, "r.yaml", machine));

describe("a run file", () => {
  it("of the contract comes out in SI", () => {
    const { warnings, ...rest } = run(RUN);
    expect(rest).toEqual({
      machinePath: "../presets/harbour-shunter.yaml",
      seconds: 30,
      seed: 7,
      fullScalePa: null,
      listener: { distanceM: 7.5, delay: false, backgroundDbA: null },
      kinematic: true,
      controls: [
        { atS: 0, overS: 0, regulatorRatio: 0, cutoffRatio: 0.75, drainsRatio: 1, speedRpm: 30 },
        { atS: 3, overS: 2, regulatorRatio: 0.3 },
        { atS: 12, overS: 6, cutoffRatio: 0.3, drainsRatio: 0, speedRpm: 120 },
      ],
    });
    expect(warnings).toEqual(["Not heard yet: drains. The settings are read and kept."]);
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

  it("fills in what is left out, and says that the machine's own speed is used", () => {
    const bare = run("machine: a.yaml", mill);
    expect(bare).toMatchObject({ seconds: 10, seed: 1, controls: [], kinematic: false });
    expect(bare.listener).toEqual({ distanceM: 7.5, delay: false, backgroundDbA: null });
    expect(bare.warnings).toEqual([
      "No control gives a speed, and loads are not modelled yet: the machine's own speed, 90 rpm, is used.",
    ]);
  });

  it("takes every control, names those not heard yet once, and keeps their values", () => {
    const text = `machine: a\nseconds: 60\ncontrols:
  - { at: 0, blower: 10 %, whistle: 20 %, brake: 30 %, load: 40 %, fire: 50 %, feed: 60 %, drains: 70 %, speed: -30 rpm, cutoff: -40 % }
  - { at: 1 min, whistle: 0 % }`;
    const { controls, warnings } = run(text);
    expect(controls[0]).toEqual({
      atS: 0,
      overS: 0,
      blowerRatio: 0.1,
      whistleRatio: 0.2,
      brakeRatio: 0.3,
      loadRatio: 0.4,
      fireRatio: 0.5,
      feedRatio: 0.6,
      drainsRatio: 0.7,
      speedRpm: -30,
      cutoffRatio: -0.4,
    });
    expect(warnings).toEqual([
      "Not heard yet: drains, blower, whistle, brake, load, fire, feed. The settings are read and kept.",
      "1 of the controls comes no sooner than the end of the run, 60 s.",
    ]);
  });

  it("turns road speed by the wheels (5 ft at 50 km/h: 2.9009 revolutions a second)", () => {
    const { controls } = run("machine: a\ncontrols: [{ at: 0, speed: 50 km/h }]");
    expect(controls[0].speedRpm! / 60).toBeCloseTo(2.9009, 4);
    expect(run("machine: a\ncontrols: [{ at: 0, speed: 0 rpm }]").controls[0].speedRpm).toBe(0);
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

  it("tells all faults at once", () => {
    const found = complaints("machine: a\nseconds: x\nseed: y\ncontrols: [{ at: z, cutoff: 3 }]");
    expect(found.map((one) => one.split(" ")[1])).toEqual(["seconds", "seed", "controls[0].at", "controls[0].cutoff"]);
  });
});
