import { describe, expect, it } from "vitest";
import { OfflineRender } from "../../src/offline/render.js";
import { checkMachine } from "../../src/offline/check.js";
import type { MachineFile } from "../../src/preset/machine-file.js";
import {
  eventsOf,
  preset,
  type PresetName,
  pulsesOf,
  rendered,
  request,
  shippedRun,
  withGear,
  wrapped180,
} from "./renders.js";

const degrees = (...angles: number[]) => angles.map((angle) => (angle * Math.PI) / 180);

/** Every release of a render against the angle that the gear alone gives. */
function expectReleases(machine: MachineFile, beats: readonly { shaftDeg: number; cylinder: number; end: string }[]) {
  const expected = eventsOf(machine).beats;
  for (const beat of beats) {
    const own = expected.find(({ cylinder, end }) => cylinder === beat.cylinder && end === beat.end)!;
    expect(Math.abs(wrapped180(beat.shaftDeg - own.shaftDeg))).toBeLessThan(1e-3);
  }
}

describe("the kinds that ship beside locomotives, mills and models", () => {
  it.each<PresetName>(["fenner-road", "corrie-winder", "brand-four", "merle-paddle"])(
    "%s: its figures hang together, and nothing about it is odd",
    (name) => {
      const report = checkMachine(preset(name));
      expect(report.warnings).toEqual([]);
      expect(report.powerW).toBeGreaterThan(0);
      expect(report.massResidualRatio).toBeLessThan(1e-9);
      expect(report.energyResidualRatio).toBeLessThan(1e-9);
      // Small steam engines, non-condensing: 20 to 60 lb of steam for each horse-power and hour. [common practice]
      const poundsPerHpH = (report.steamKgPerS * 3600 * 2.2046) / (report.powerW / 745.7);
      expect(poundsPerHpH).toBeGreaterThan(18);
      expect(poundsPerHpH).toBeLessThan(65);
      // What has a crank delivers no water.
      expect([report.doubleStrokesPerMin, report.waterM3PerS, report.waterPowerW]).toEqual([null, null, null]);
    },
  );
});

describe("a road engine", () => {
  const machine = preset("fenner-road");
  const { speedRpm } = machine.description;

  it("turns its crank as often as wheels and gears ask: 3 mph on 6 ft 6 in by 66/17 and 64/16", () => {
    const wheelPerS = (3 * 0.44704) / (Math.PI * 6.5 * 0.3048);
    expect(speedRpm / 60).toBeCloseTo((wheelPerS * 66 * 64) / (17 * 16), 6);
    expect(machine.warnings).toEqual([]);
  });

  // Teeth that meet in a second: teeth times turns of the wheel that they stand on. [source: arithmetic]
  it("meshes at 17 teeth times the crank's turns, and 16 times the second shaft's", () => {
    const render = new OfflineRender(request(machine, { seconds: 12, fullScalePa: 1 }));
    const place = render.stemNames.indexOf("gearing");
    expect(place).toBeGreaterThanOrEqual(0);
    const gearing = new Float64Array(render.totalFrames);
    let at = 0;
    for (let block = render.next(); block !== null; block = render.next()) {
      gearing.set(block.stems[place].subarray(0, block.frameCount), at);
      at += block.frameCount;
    }
    const lineOf = (hertz: number): number => {
      let [re, im] = [0, 0];
      for (let i = 0; i < gearing.length; i++) {
        const window = 1 - Math.cos((2 * Math.PI * i) / gearing.length);
        const phase = (2 * Math.PI * hertz * i) / 48_000;
        re += window * gearing[i] * Math.cos(phase);
        im += window * gearing[i] * Math.sin(phase);
      }
      return Math.hypot(re, im);
    };
    const crankPerS = speedRpm / 60;
    const meshes = [17 * crankPerS, (16 * 17 * crankPerS) / 66];
    for (const meshHz of meshes) {
      // Harmonics stand out as well, and are less buried under the file's high-pass.
      const harmonics = [2, 3, 4].map((k) => k * meshHz);
      for (const hertz of [meshHz, ...harmonics].filter((hertz) => hertz > 25)) {
        const between = [-0.37, 0.41].map((off) => lineOf(hertz + off));
        expect(lineOf(hertz), `${hertz} Hz`).toBeGreaterThan(3 * Math.max(...between));
      }
    }
  });

  it("beats twice a turn, where its gear releases", () => {
    const { beats } = rendered(request(machine, { turns: 6 }));
    expect(beats).toHaveLength(12);
    expectReleases(machine, beats);
  });
});

describe("four cylinders", () => {
  const four = preset("brand-four");

  it("with cranks at 135 degrees have eight beats a turn, 45 degrees apart", () => {
    const { beats, beatsPerTurn } = eventsOf(four);
    expect(beatsPerTurn).toBe(8);
    for (const { intervalDeg } of beats) expect(intervalDeg).toBeCloseTo(45, 1);
    const places = beats.map(({ shaftDeg }) => shaftDeg).sort((a, b) => a - b);
    // 0, 135, 270 and 45, each with its opposite, are all the multiples of 45.
    for (let i = 0; i < 8; i++) expect(places[i] - places[0]).toBeCloseTo(45 * i, 1);
    const { beats: heard, summary } = rendered(request(four, { turns: 3 }));
    expect(summary.beatsPerTurn).toBe(8);
    expect(heard).toHaveLength(24);
    expectReleases(four, heard);
    for (let i = 1; i < heard.length; i++) expect(heard[i].shaftDeg - heard[i - 1].shaftDeg).toBeCloseTo(45, 1);
  });

  it("with cranks at quarter turns have eight exhausts that fall together by two: four beats", () => {
    const square = withGear(four, { crankAnglesRad: degrees(0, 90, 180, 270) });
    const { beats, beatsPerTurn } = eventsOf(square);
    expect(beatsPerTurn).toBe(4);
    expect(beats).toHaveLength(8);
    for (let i = 0; i < 8; i += 2) expect(wrapped180(beats[i + 1].shaftDeg - beats[i].shaftDeg)).toBeCloseTo(0, 1);
    const { beats: heard, summary } = rendered(request(square, { turns: 2 }));
    expect(summary.beatsPerTurn).toBe(4);
    expect(heard).toHaveLength(16);
  });
});

describe("a double-acting oscillating engine", () => {
  const paddle = preset("merle-paddle");

  it("releases both ends of each cylinder through ports of their own: four beats, where its ports open", () => {
    expect(eventsOf(paddle).beatsPerTurn).toBe(4);
    const { beats } = rendered(request(paddle, { turns: 4 }));
    expect(beats).toHaveLength(16);
    expectReleases(paddle, beats);
    for (const cylinder of [1, 2]) {
      for (const end of ["head", "crank"]) {
        expect(beats.filter((beat) => beat.cylinder === cylinder && beat.end === end)).toHaveLength(4);
      }
    }
  });

  // By the swing both ports cross the middle at dead centre: they open a little after it. [source: geometry of the trunnion]
  it("opens its exhaust ports shortly after the dead centres", () => {
    const own = eventsOf(paddle).ends.filter(({ cylinder }) => cylinder === 1);
    for (const { releaseDeg } of own) {
      expect(releaseDeg! % 180).toBeGreaterThan(0);
      expect(releaseDeg! % 180).toBeLessThan(10);
    }
  });
});

describe("the winding engine's run", () => {
  const { machine, run } = shippedRun("corrie-winds");
  const table = pulsesOf(request(machine, { run }));
  const shaft = table.get("shaftDeg")!;
  const at = (timeS: number) => shaft[Math.round(48_000 * timeS)];
  const speedAt = (timeS: number) => (at(timeS + 0.1) - at(timeS - 0.1)) / (6 * 0.2);

  it("stands on its brake, lifts, is caught, and lets its load down the other way", () => {
    expect(at(3)).toBe(0);
    expect(speedAt(10)).toBeGreaterThan(60);
    expect(speedAt(10)).toBeLessThan(140);
    expect(Math.abs(speedAt(21.5))).toBe(0);
    expect(speedAt(33)).toBeLessThan(-30);
    expect(Math.abs(speedAt(39.8))).toBeLessThan(1e-9);
    expect(at(21)).toBeGreaterThan(at(39.8) + 360);
  });

  it("beats four times a turn while it lifts, where its gear releases", () => {
    const { beats, mix } = rendered(request(machine, { run, seconds: 20 }));
    expect(mix.every(Number.isFinite)).toBe(true);
    const lifting = beats.filter(({ timeS }) => timeS > 5 && timeS < 15);
    const turns = (at(15) - at(5)) / 360;
    expect(Math.abs(lifting.length - 4 * turns)).toBeLessThan(2);
    expectReleases(machine, lifting);
  });
});
