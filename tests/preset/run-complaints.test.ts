import { describe, expect, it } from "vitest";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { machineOf, runComplaintsOf } from "./loading.js";

const locomotive = machineOf(FULL_MACHINE);
const mill = machineOf(fourValues());

const complaints = (text: string, machine = mill) => runComplaintsOf(text, machine);

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
    ["rails of glue", "machine: a\ncontrols: [{ at: 0, grip: 300 % }]", "must be between 5 % and 200 %, got 300 %."],
    [
      "a ramp that goes backwards in time",
      "machine: a\ncontrols: [{ at: 3 s, over: -1 s, regulator: 10 % }]",
      "controls[0].over must be between 0 s and 86400 s, got -1 s.",
    ],
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
