import { describe, expect, it } from "vitest";
import { beatsPerTurnOf } from "../../src/offline/beats-per-turn.js";
import { checkMachine } from "../../src/offline/check.js";
import { eventsReport } from "../../src/offline/events-report.js";
import { OfflineRender } from "../../src/offline/render.js";
import { changed, machineOfText, preset, rendered, request, rmsOf, runOfText, shippedRun } from "./renders.js";

const duplex = preset("tarn-duplex");
const donkey = preset("moss-donkey");

describe.each([
  ["duplex", duplex, 4],
  ["donkey", donkey, 2],
] as const)("a %s pump at work", (_name, machine, perDouble) => {
  const { beats, summary, mix } = rendered(request(machine, { seconds: 6 }));

  it("exhausts every end once in a double stroke, each with a beat in its turn", () => {
    expect(summary.beatsPerTurn).toBe(perDouble);
    expect(beatsPerTurnOf(machine.description, null)).toBe(perDouble);
    expect(Math.abs(beats.length - perDouble * summary.turns)).toBeLessThan(perDouble / 2 + 1);
    const order = (i: number) => `${beats[i].cylinder} ${beats[i].end}`;
    for (let i = perDouble; i < beats.length; i++) expect(order(i)).toBe(order(i - perDouble));
    expect(new Set(beats.slice(0, perDouble).map((_, i) => order(i))).size).toBe(perDouble);
  });

  it("begins within its first double stroke, its strokes as long as one another", () => {
    expect(beats[0].shaftDeg).toBeGreaterThan(0);
    expect(beats[0].shaftDeg).toBeLessThan(720);
    const doubles = beats.slice(perDouble).map(({ timeS }, i) => timeS - beats[i].timeS);
    const mean = doubles.reduce((sum, s) => sum + s, 0) / doubles.length;
    for (const s of doubles) expect(Math.abs(s / mean - 1)).toBeLessThan(0.03);
    expect(summary.speedRpm).toBeGreaterThan(0.93 * (60 / mean));
    expect(summary.speedRpm).toBeLessThan(1.07 * (60 / mean));
    expect(summary.warnings).toEqual([]);
    expect(mix.every(Number.isFinite)).toBe(true);
  });

  it("uses and gives what check says: energy goes from steam to water, displacement is delivered", () => {
    const report = checkMachine(machine);
    const { pump, gear } = machine.description;
    expect(report.warnings).toEqual([]);
    expect(report.doubleStrokesPerMin! / summary.speedRpm).toBeGreaterThan(0.97);
    expect(report.doubleStrokesPerMin! / summary.speedRpm).toBeLessThan(1.03);
    // Displacement: plunger x stroke, both ways, every cylinder; short by what the cushion keeps.
    const sweptM3 = 0.25 * Math.PI * pump!.waterBoreM ** 2 * gear.cylinder.strokeM;
    const perS = (perDouble * sweptM3 * report.doubleStrokesPerMin!) / 60;
    expect(report.waterM3PerS! / perS).toBeGreaterThan(0.93);
    expect(report.waterM3PerS! / perS).toBeLessThan(1.02);
    expect(report.waterPowerW!).toBeCloseTo(report.waterM3PerS! * pump!.liftPa, 6);
    // Common practice: mechanical efficiency of direct-acting pumps 50 to 90 %.
    expect(report.waterPowerW! / report.powerW).toBeGreaterThan(0.5);
    expect(report.waterPowerW! / report.powerW).toBeLessThan(0.95);
    expect(report.massResidualRatio).toBeLessThan(1e-9);
    expect(report.energyResidualRatio).toBeLessThan(1e-9);
    expect(report.fullGearCutoffRatio).toBeNull();
    // [common practice: 50 to 100 ft/min, for short strokes somewhat more] steam pumps without expansion use 60 to 200 lb per hp h.
    expect(report.pistonSpeedMPerS).toBeLessThan(0.6);
    const poundsPerHpH = (report.steamKgPerS * 3600 * 2.2046) / (report.powerW / 745.7);
    expect(poundsPerHpH).toBeGreaterThan(30);
    expect(poundsPerHpH).toBeLessThan(200);
  });
});

describe("what has no crank to go by", () => {
  it.each([
    ["a speed", { speedRpm: 30 }, /speed must be left out for a pump without a crank, got 30 rpm/],
    ["turns", { turns: 3 }, /turns must be left out for a pump without a crank/],
    ["a loop", { loop: true }, /loop must be asked of a machine with a crank/],
    ["a cut-off", { cutoffRatio: 0.5 }, /cutoff must be left out for a pump without a crank/],
  ])("a render refuses %s in words", (_what, wishes, words) => {
    expect(() => new OfflineRender(request(duplex, { seconds: null, ...wishes }))).toThrow(words);
  });

  it("events are refused, for valves tripped by pistons fall at no angle", () => {
    const { gear } = duplex.description;
    const of = { gear, cutoffRatio: null, exhaustsToAir: true, speedRpm: 30, relativeLevelsDb: null };
    expect(() => eventsReport({ ...of, assumed: [], warnings: [], caution: "" })).toThrow(
      /events must be asked of a machine with a crank/,
    );
  });
});

describe("a pump that the water holds", () => {
  it("stands, and neither settles for ever nor lacks a level", () => {
    const { pump } = duplex.description;
    const held = changed(duplex, { pump: { ...pump!, liftPa: 2e6, vesselM3: 0 } });
    const report = checkMachine(held);
    expect(report.doubleStrokesPerMin).toBe(0);
    expect(report.waterM3PerS).toBe(0);
    const { beats, fullScalePa, summary } = rendered(request(held, { seconds: 2, fullScalePa: null }));
    expect(beats).toEqual([]);
    expect(fullScalePa).toBeGreaterThan(0);
    expect(summary.powerW).toBeCloseTo(0, 6);
  });
});

describe("a pump under a run's controls", () => {
  it("stands before time 0, goes faster with less load, and stops when the throttle is shut", () => {
    const machine = machineOfText(
      "boiler: { pressure: 100 psi }\ncylinders: { count: 2, bore: 6 in, stroke: 6 in }\nvalveGear: { kind: tripped }\n",
    );
    const run = runOfText(
      "seconds: 12\ncontrols: [{ at: 0 s, regulator: 100 % }, { at: 5 s, load: 40 % }, { at: 9 s, regulator: 0 % }]",
      machine,
    );
    const { beats } = rendered(request(machine, { run }));
    const between = (from: number, to: number) => beats.filter(({ timeS }) => timeS >= from && timeS < to).length;
    expect(between(6, 9)).toBeGreaterThan(1.1 * between(2, 5));
    expect(between(10.5, 12)).toBe(0);
    expect(beats[0].timeS).toBeGreaterThan(0);
  });
});

describe("the duplex pump that fills a shut main", () => {
  const { machine, run } = shippedRun("tarn-fills");
  const render = new OfflineRender(request(machine, { run, fullScalePa: 1 }));
  const heard = new Map<string, Float64Array>(
    render.stemNames.map((name) => [name, new Float64Array(render.totalFrames)]),
  );
  let at = 0;
  for (let block = render.next(); block !== null; block = render.next()) {
    render.stemNames.forEach((name, s) => heard.get(name)!.set(block.stems[s].subarray(0, block.frameCount), at));
    at += block.frameCount;
  }
  const beats = render.beats();
  const last = beats.at(-1)!.timeS;
  const levelOf = (name: string, fromS: number, toS: number) =>
    rmsOf(heard.get(name)!.subarray(Math.round(48_000 * fromS), Math.round(48_000 * toS)));

  it("strokes ever slower as the pressure rises, and stalls", () => {
    const gaps = beats.slice(1).map(({ timeS }, i) => timeS - beats[i].timeS);
    // From where the drains are shut and the cylinders warm: four strokes together, so that ends do not matter.
    const from = beats.findIndex(({ timeS }) => timeS > 8);
    const means = [];
    for (let i = from; i + 4 <= gaps.length; i += 4)
      means.push(gaps.slice(i, i + 4).reduce((sum, gap) => sum + gap, 0));
    expect(means.length).toBeGreaterThan(8);
    for (let i = 1; i < means.length; i++) expect(means[i]).toBeGreaterThan(0.995 * means[i - 1]);
    expect(means.at(-1)!).toBeGreaterThan(2 * means[0]);
    expect(gaps.at(-1)!).toBeGreaterThan(6 * gaps[from]);
    expect(last).toBeGreaterThan(15);
    expect(last).toBeLessThan(30);
  });

  it("holds at the end what statics gives: steam on the piston, less packing, on the plunger", () => {
    const { pump, gear, boiler, ambient } = machine.description;
    const areaRatio = (gear.cylinder.boreM / pump!.waterBoreM) ** 2;
    const stallPa = (boiler.pressurePa - ambient.pressurePa - pump!.frictionPa) * areaRatio;
    const { iron } = (render as unknown as { machine: { iron: { pump: { liftPa: number } } } }).machine;
    expect(iron.pump.liftPa / stallPa).toBeGreaterThan(0.9);
    expect(iron.pump.liftPa / stallPa).toBeLessThan(1.04);
  });

  it("has no stem of rods, wheels, gears or whistle", () => {
    for (const name of ["knocks", "valve-clatter", "wheels", "gearing", "whistle"]) {
      expect(render.stemNames).not.toContain(name);
    }
    expect(render.stemNames).toContain("pump");
  });

  it("clicks and beats while it strokes, and neither when it has stalled", () => {
    for (const name of ["pump", "exhaust-pulse", "exhaust-noise"]) {
      expect(levelOf(name, 8, 14), name).toBeGreaterThan(50 * levelOf(name, last + 4, 40));
    }
    // Held before the throttle opens.
    expect(levelOf("pump", 0, 1)).toBe(0);
    expect(beats.every(({ timeS }) => timeS > 0.5)).toBe(true);
    // What leaks by its packing hisses on, and the fire burns.
    expect(levelOf("glands", last + 4, 40)).toBeGreaterThan(0);
    expect(levelOf("fire", last + 4, 40)).toBeGreaterThan(0);
  });

  it("drains spit at the start, and never once they are shut", () => {
    expect(levelOf("drains", 2, 5)).toBeGreaterThan(0);
    expect(levelOf("drains", 6.5, 40)).toBeLessThan(1e-12);
  });

  // Each beat is a rush of its own: the stem is loud after a release and quiet between, where strokes are slow enough to tell.
  it("beats at the reversals and is quieter between them", () => {
    const slow = beats.filter(({ timeS }, i) => timeS > 14 && timeS < 17 && (beats[i + 1]?.timeS ?? 0) - timeS > 0.25);
    expect(slow.length).toBeGreaterThan(3);
    for (const { timeS } of slow) {
      const [rush, lull] = [
        levelOf("exhaust-noise", timeS, timeS + 0.06),
        levelOf("exhaust-noise", timeS + 0.16, timeS + 0.2),
      ];
      expect(rush).toBeGreaterThan(10 * lull);
    }
  });
});
