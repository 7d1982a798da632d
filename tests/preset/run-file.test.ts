import { describe, expect, it } from "vitest";
import { complaintText } from "../../src/preset/complaint.js";
import { readRunMachinePath } from "../../src/preset/run-file.js";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { loadedValue, machineOf, runOf } from "./loading.js";

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

const LINESIDE = {
  ...{ distanceM: 7.5, delay: false, backgroundDbA: null, place: "lineside", atM: null, passBy: null },
  ...{ ground: "none", air: false, format: "mono" },
};

const run = (text: string, machine = locomotive) => runOf(text, machine);

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
    expect(loadedValue(readRunMachinePath(`# a run\n${RUN}`, "r.yaml"))).toEqual({
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
  - { at: 0, blowdown: 15 %, priming: 25 %, gradient: -1.25 %, grip: 60 % }
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
      ...{ atS: 0, overS: 0, blowdownRatio: 0.15, primingRatio: 0.25, gripRatio: 0.6 },
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

  it("a charged receiver of air empties in every run, an air main in none", () => {
    const air = (volume: string) =>
      machineOf(fourValues({ pressure: `3 bar, volume: ${volume}` }, "workingFluid: air"));
    expect(run("machine: a", air("80 L")).boilerLives).toBe(true);
    expect(run("machine: a", air("none")).boilerLives).toBe(false);
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
