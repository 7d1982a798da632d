import { describe, expect, it } from "vitest";
import { heardRun, type HeardRun } from "./heard-run.js";

/** Not heard: so far below the mix's peak. */
const notHeardDb = -70;

/** A stem, from when to when, and how far below the mix's peak it must be heard at least; null: it must not be heard. */
type Row = readonly [stem: string, fromS: number, toS: number, leastDb: number | null];

function expectHeard(run: () => HeardRun, rows: readonly Row[]): void {
  it.each(rows)("%s from %d s to %d s: at least %s dB of the peak (null: not heard)", (stem, fromS, toS, leastDb) => {
    const level = run().levelDb(stem, fromS, toS);
    if (leastDb === null) expect(level).toBeLessThanOrEqual(notHeardDb);
    else expect(level).toBeGreaterThan(leastDb);
  });
  it("does not clip as it ships", () => {
    expect(run().peakPa).toBeLessThan(run().ownFullScalePa);
  });
  it("says no more than what its controls ask for", () => {
    expect(run().warnings).toEqual([]);
  });
}

/** Beats for each turn of the shaft between two moments. */
function beatsPerTurn(run: HeardRun, fromS: number, toS: number): number {
  const beats = run.beats.filter(({ timeS }) => timeS >= fromS && timeS < toS);
  const last = beats[beats.length - 1];
  return (beats.length - 1) / ((last.shaftDeg - beats[0].shaftDeg) / 360);
}

// What is heard when, throughout: common practice; levels are orders of size, so that a voice which has gone or come is found.

describe("the toy, from cold to standstill", () => {
  // A toy's iron rings above 12 kHz.
  const run = () => heardRun("wobbler-steamed");
  expectHeard(run, [
    ["fire", 5, 180, -40],
    ["simmer", 5, 60, -40],
    ["safety-valve", 0, 100, null],
    ["safety-valve", 124, 136, -60],
    ["exhaust-pulse", 0, 130, null],
    ["knocks", 0, 130, null],
    ["leaks", 0, 130, null],
    ["exhaust-pulse", 150, 166, -50],
    ["exhaust-noise", 156, 166, -55],
    ["knocks", 150, 166, -45],
    ["glands", 150, 166, -60],
    ["leaks", 150, 166, -60],
    ["exhaust-pulse", 185, 200, null],
    ["exhaust-noise", 185, 200, null],
    ["knocks", 185, 200, null],
    ["glands", 185, 200, null],
    ["leaks", 186, 200, null],
    ["inlet", 186, 200, null],
    ["safety-valve", 178, 187, -45],
  ]);
  it("raises steam in two to four minutes, its safety valve lifts after that, and not before", () => {
    const { moments } = run();
    const upS = moments.find(({ boilerPa }) => boilerPa > 101_325 + 1.1e5)!.timeS;
    expect(upS).toBeGreaterThan(60);
    expect(upS).toBeLessThan(240);
    const lifted = moments.find(({ safetyLiftRatio }) => safetyLiftRatio > 0.01)!;
    expect(lifted.timeS).toBeGreaterThan(upS);
    expect(lifted.boilerPa).toBeGreaterThan(101_325 + 1.1e5);
  });
  it("pressure climbs all the while that it is heated", () => {
    const bars = [20, 40, 60, 80, 100, 115].map((timeS) => run().at(timeS).boilerPa);
    for (let i = 1; i < bars.length; i++) expect(bars[i]).toBeGreaterThan(bars[i - 1]);
  });
  it("stands until it is flicked over, runs faster as it is opened out, slower under the brake, and stops", () => {
    const toy = run();
    expect(toy.rpm(136, 137.5)).toBe(0);
    const [first, opened, braked] = [toy.rpm(142, 150), toy.rpm(160, 166), toy.rpm(171, 175)];
    expect(first).toBeGreaterThan(200);
    expect(opened).toBeGreaterThan(1.5 * first);
    expect(braked).toBeLessThan(0.7 * opened);
    expect(toy.rpm(180, 199)).toBe(0);
  });
  it("single acting, it gives one beat a turn", () => {
    expect(beatsPerTurn(run(), 160, 167)).toBeCloseTo(1, 2);
  });
});

describe("the locomotive's journey", () => {
  const run = () => heardRun("harrow-journey");
  expectHeard(run, [
    // Still: she only simmers and burns.
    ["exhaust-pulse", 0, 1, null],
    ["drains", 0, 0.9, null],
    ["whistle", 0, 5.7, null],
    ["knocks", 3, 6, null],
    ["wheels", 0, 6, null],
    ["fire", 0, 70, -75],
    // Warming through, whistle, heavy start.
    ["drains", 3, 14, -45],
    ["whistle", 6, 7, -20],
    ["whistle", 9, 90, null],
    ["exhaust-pulse", 15, 18, -45],
    ["exhaust-noise", 15, 18, -50],
    ["exhaust-jet", 15, 18, -65],
    ["drains", 16, 90, null],
    ["wheels", 15, 18, -68],
    ["safety-valve", 20, 50, null],
    // The slip, and what follows it.
    ["exhaust-noise", 18.7, 19.5, -42],
    ["exhaust-jet", 18.7, 19.5, -48],
    ["exhaust-jet", 21, 22, null],
    // Notched up under steam, valves lie on their faces; drifting they clatter and draw air.
    ["exhaust-noise", 35, 39, -55],
    ["valve-clatter", 24, 39, null],
    ["valve-clatter", 41, 48, -78],
    ["exhaust-jet", 41, 48, null],
    ["knocks", 24, 39, -58],
    ["wheels", 30, 48, -60],
    // She comes to a stand, blowing off.
    ["safety-valve", 56, 70, -25],
    ["wheels", 74, 90, null],
    ["exhaust-pulse", 74, 90, null],
    ["valve-clatter", 74, 90, null],
    ["feed", 74, 88, -68],
    ["feed", 0, 69, null],
    ["blower", 0, 69, null],
    ["blower", 73, 90, -55],
    ["safety-valve", 89, 90, null],
  ]);
  it("four beats a turn, double acting with two cylinders", () => {
    expect(beatsPerTurn(run(), 24, 39)).toBeCloseTo(4, 1);
  });
  it("slips: the beats come half as quick again on the same road speed, until she bites", () => {
    const loco = run();
    const before = loco.rpm(17, 18);
    const slipping = loco.rpm(18.8, 19.4);
    const after = loco.rpm(21, 22);
    expect(slipping).toBeGreaterThan(1.5 * before);
    expect(loco.at(19.4).roadMPerS / loco.at(18.3).roadMPerS).toBeLessThan(1.15);
    const rate = (fromS: number, toS: number) =>
      loco.beats.filter(({ timeS }) => timeS >= fromS && timeS < toS).length / (toS - fromS);
    expect(rate(18.7, 19.7)).toBeGreaterThan(1.4 * rate(17, 18));
    expect(after).toBeLessThan(0.7 * slipping);
    expect(Math.abs(loco.at(21.5).slipMPerS)).toBeLessThan(0.1);
    expect(loco.at(19.2).slipMPerS).toBeGreaterThan(2);
  });
  it("gains speed under steam, loses it drifting and braking, and stands", () => {
    const road = (timeS: number) => run().at(timeS).roadMPerS;
    expect(road(7)).toBeLessThan(0.3);
    expect(road(18)).toBeGreaterThan(4);
    expect(road(38)).toBeGreaterThan(1.5 * road(22));
    expect(road(47)).toBeLessThan(road(41));
    expect(road(60)).toBeLessThan(0.6 * road(48));
    expect(road(75)).toBe(0);
    expect(run().rpm(76, 89)).toBe(0);
  });
  it("notched up, the same beats are softer, and drifting softer still", () => {
    const noise = (fromS: number, toS: number) => run().levelDb("exhaust-noise", fromS, toS);
    expect(noise(27, 29)).toBeGreaterThan(noise(36, 39) + 6);
    expect(noise(36, 39)).toBeGreaterThan(noise(42, 46) + 10);
  });
  it("blows off only at its set pressure, and shuts below it", () => {
    const { moments } = run();
    const gaugePa = (psi: number) => 101_325 + psi * 6894.757;
    const wide = moments.filter(({ safetyLiftRatio }) => safetyLiftRatio > 0.1);
    expect(wide[0].boilerPa).toBeGreaterThan(gaugePa(164));
    expect(wide[0].timeS).toBeGreaterThan(48);
    const shut = moments.find(({ timeS, safetyLiftRatio }) => timeS > wide[0].timeS + 1 && safetyLiftRatio < 0.01)!;
    expect(shut.boilerPa).toBeLessThan(gaugePa(162));
    expect(shut.boilerPa).toBeGreaterThan(gaugePa(159));
  });
});

describe("the mill engine's day", () => {
  const run = () => heardRun("oxmoor-run-up");
  expectHeard(run, [
    ["drains", 0, 5, null],
    ["knocks", 0, 4, null],
    ["inlet", 0, 4, null],
    ["drains", 7, 27, -40],
    ["exhaust-pulse", 0, 4, null],
    ["exhaust-noise", 7, 21, null],
    ["exhaust-jet", 0, 22, null],
    ["leaks", 7, 21, -65],
    ["drains", 30, 98, null],
    ["exhaust-pulse", 32, 78, -40],
    ["exhaust-noise", 32, 78, -55],
    ["exhaust-jet", 54, 65, -65],
    ["knocks", 40, 78, -55],
    ["safety-valve", 0, 98, null],
    ["valve-clatter", 55, 65, null],
    ["exhaust-jet", 82, 98, null],
    ["exhaust-noise", 93, 98, null],
  ]);
  it("is barred at four turns a minute, warms at that, and is run up by its stop valve", () => {
    const mill = run();
    expect(mill.rpm(1, 5)).toBeCloseTo(4, 0);
    expect(mill.rpm(20, 30)).toBeLessThan(50);
    expect(mill.rpm(30, 32)).toBeGreaterThan(mill.rpm(24, 26));
  });
  it("its cocks blow in turn, head end and crank end, one at a time", () => {
    const blowing = run().moments.filter(({ timeS, drainKgPerS }) => {
      return timeS > 24 && timeS < 27.5 && Math.max(...drainKgPerS) > 1e-4;
    });
    const of = (end: number) => blowing.filter(({ drainKgPerS: flow }) => flow[end] > 3 * flow[1 - end]).length;
    expect(of(0)).toBeGreaterThan(0.25 * blowing.length);
    expect(of(1)).toBeGreaterThan(0.25 * blowing.length);
    expect(of(0) + of(1)).toBeGreaterThan(0.7 * blowing.length);
  });
  it("its governor keeps the speed within the droop when the looms come on, and when they go off", () => {
    const mill = run();
    const [light, heavy, lighter] = [mill.rpm(44, 51), mill.rpm(57, 65), mill.rpm(70, 77)];
    // 80 rpm with 6 % from end to end; whole turns are not counted, hence 1 %.
    for (const rpm of [light, heavy, lighter]) expect(Math.abs(rpm / 80 - 1)).toBeLessThan(0.04);
    expect(heavy).toBeLessThan(light);
    expect(heavy).toBeLessThan(lighter);
  });
  it("works harder, and is louder, with the looms on", () => {
    const noise = (fromS: number, toS: number) => run().levelDb("exhaust-noise", fromS, toS);
    expect(noise(56, 65)).toBeGreaterThan(noise(44, 51) + 4);
    expect(noise(56, 65)).toBeGreaterThan(noise(70, 77) + 4);
  });
  it("two beats a turn, and runs down to a stand when it is shut", () => {
    expect(beatsPerTurn(run(), 54, 66)).toBeCloseTo(2, 1);
    expect(run().rpm(84, 88)).toBeLessThan(0.7 * run().rpm(70, 77));
    expect(run().rpm(97, 98)).toBeLessThan(3);
  });
});

describe("the exhibition engine on one charge of air", () => {
  const run = () => heardRun("corve-bottle");
  expectHeard(run, [
    ["exhaust-pulse", 0, 1.5, null],
    ["drains", 0, 1.5, null],
    ["drains", 3, 6.5, -40],
    ["drains", 9, 64, null],
    ["exhaust-pulse", 8, 30, -55],
    ["exhaust-noise", 8, 30, -72],
    ["inlet", 8, 20, -70],
    ["knocks", 8, 30, -60],
  ]);
  it("nothing of fire, water or cooling iron is there", () => {
    for (const stem of ["fire", "simmer", "cooling", "feed", "blow-down", "blower"]) {
      const has = run().stemNames.includes(stem);
      expect(has ? run().levelDb(stem, 0, 64) : -Infinity, stem).toBe(-Infinity);
    }
  });
  it("runs by itself, quicker when opened out, then slower as the charge is spent", () => {
    const engine = run();
    expect(engine.rpm(0, 2)).toBe(0);
    const first = engine.rpm(16, 20);
    const opened = engine.rpm(23, 26);
    expect(first).toBeGreaterThan(60);
    expect(opened).toBeGreaterThan(1.2 * first);
    const speeds = [30, 36, 42, 48, 54, 60].map((timeS) => engine.rpm(timeS - 3, timeS + 3));
    for (let i = 1; i < speeds.length; i++) expect(speeds[i]).toBeLessThan(speeds[i - 1]);
    expect(speeds[speeds.length - 1]).toBeLessThan(0.4 * opened);
  });
  it("the charge only falls, and softens the beat", () => {
    const engine = run();
    const charge = [1, 10, 20, 30, 45, 60].map((timeS) => engine.at(timeS).boilerPa);
    for (let i = 1; i < charge.length; i++) expect(charge[i]).toBeLessThan(charge[i - 1]);
    expect(engine.levelDb("exhaust-pulse", 23, 28)).toBeGreaterThan(engine.levelDb("exhaust-pulse", 50, 60) + 8);
  });
});
