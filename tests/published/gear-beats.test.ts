import { describe, expect, it } from "vitest";
import { audibleShiftDeg, beatRateHz, beatsOfTurn } from "../../src/gear/beats.js";
import type { Fault, GearDescription, ValveGear } from "../../src/gear/gear-description.js";
import { Motion } from "../../src/gear/motion.js";
import { eventsOfTurn } from "../../src/gear/valve-events.js";
import { DEG, INCH_M, eccentric, machine } from "../gear/machines.js";

function beatsOf(gear: GearDescription, cutoffRatio: number | null = null) {
  const motion = new Motion(gear);
  const direction = cutoffRatio !== null && cutoffRatio < 0 ? -1 : 1;
  if (cutoffRatio !== null) motion.setCutoff(cutoffRatio);
  return beatsOfTurn(motion, eventsOfTurn(motion, direction), direction);
}

/** Name such as c1H, with the interval that follows, in the running order starting with the beat named first. */
function pattern(gear: GearDescription, first: string, cutoffRatio: number | null = null) {
  const { beats } = beatsOf(gear, cutoffRatio);
  const running = cutoffRatio !== null && cutoffRatio < 0 ? [...beats].reverse() : beats;
  const named = running.map((beat) => ({
    name: `c${beat.cylinder}${beat.end === "head" ? "H" : "C"}`,
    intervalDeg: beat.intervalDeg,
    shaftDeg: beat.shaftDeg,
  }));
  const start = named.findIndex(({ name }) => name === first);
  return [...named.slice(start), ...named.slice(0, start)];
}

describe("beats a turn and their spacing by layout (exact, by symmetry)", () => {
  const single = { acting: "single" } as const;
  it.each([
    { layout: "one single acting", cranks: [0], cylinder: single, spacing: [360] },
    { layout: "one double acting", cranks: [0], cylinder: {}, spacing: [180, 180] },
    { layout: "two single acting at 180", cranks: [0, 180], cylinder: single, spacing: [180, 180] },
    { layout: "two single acting at 90", cranks: [0, 90], cylinder: single, spacing: [90, 270] },
    { layout: "three single acting at 120", cranks: [0, 120, 240], cylinder: single, spacing: [120, 120, 120] },
    { layout: "two double acting at 90", cranks: [0, 90], cylinder: {}, spacing: [90, 90, 90, 90] },
    { layout: "two double acting at 180", cranks: [0, 180], cylinder: {}, spacing: [180, 180] },
    { layout: "two double acting at 0", cranks: [0, 0], cylinder: {}, spacing: [180, 180] },
    { layout: "three double acting at 120", cranks: [0, 120, 240], cylinder: {}, spacing: [60, 60, 60, 60, 60, 60] },
    { layout: "three at 90, 135, 135", cranks: [0, 90, 225], cylinder: {}, spacing: [45, 45, 90, 45, 45, 90] },
    { layout: "four at quarters", cranks: [0, 90, 180, 270], cylinder: {}, spacing: [90, 90, 90, 90] },
    { layout: "four at steps of 135", cranks: [0, 135, 270, 405], cylinder: {}, spacing: Array<number>(8).fill(45) },
  ])("$layout", ({ cranks, cylinder, spacing }) => {
    for (const rodRatio of [4, 7, Infinity]) {
      const gear = machine(eccentric(), { rodRatio, cranksDeg: cranks, cylinder });
      for (const cutoff of [null, 0.4, -0.4]) {
        const { beats, beatsPerTurn } = beatsOf(gear, cutoff);
        expect(beatsPerTurn).toBe(spacing.length);
        expect(beats).toHaveLength(cranks.length * (cylinder === single ? 1 : 2));
        // One of each group that falls together, then the spacing in some rotation.
        const distinct = beats.filter(({ shaftDeg }, i) => i === 0 || shaftDeg - beats[i - 1].shaftDeg > 2);
        const got = distinct.map(({ intervalDeg }) => Math.round(intervalDeg * 1e6) / 1e6);
        const inOrder = cutoff !== null && cutoff < 0 ? got.reverse() : got;
        const rotations = spacing.map((_, i) => [...spacing.slice(i), ...spacing.slice(0, i)].join());
        expect(rotations).toContain(inOrder.join());
        expect(got.reduce((sum, interval) => sum + interval, 0)).toBeCloseTo(360, 6);
      }
    }
  });

  it("beats that fall together are both listed, in the order of the ends, and counted once", () => {
    const { beats, beatsPerTurn } = beatsOf(machine(eccentric(), { cranksDeg: [0, 180] }));
    expect(beatsPerTurn).toBe(2);
    expect(beats.map(({ cylinder, end }) => `${cylinder} ${end}`)).toEqual(["1 head", "2 crank", "1 crank", "2 head"]);
    beats.forEach(({ intervalDeg }) => expect(intervalDeg).toBeCloseTo(180, 6));
  });

  it("beats 1.5 degrees apart count as one, 2.5 degrees apart as two", () => {
    const offset = (byDeg: number) => machine(eccentric(), { cranksDeg: [0, 180 + byDeg] });
    expect(beatsOf(offset(1.5)).beatsPerTurn).toBe(2);
    expect(beatsOf(offset(2.5)).beatsPerTurn).toBe(4);
    const intervals = beatsOf(offset(1.5)).beats.map(({ intervalDeg }) => intervalDeg);
    [180, 178.5, 180, 178.5].sort().forEach((wanted, i) => expect([...intervals].sort()[i]).toBeCloseTo(wanted, 6));
  });

  it("two cylinders, right crank leading: right head, left head, right crank, left crank end (Sinclair 1888)", () => {
    const order = pattern(machine(eccentric(), { cranksDeg: [0, 270] }), "c1H").map(({ name }) => name);
    expect(order).toEqual(["c1H", "c2H", "c1C", "c2C"]);
  });
});

describe("beat rate N v / (pi D) (exact; 258 1/2 rpm in Sinclair 1888)", () => {
  const MILE_M = 1609.344;
  it.each([
    ["78 in at 60 mph", 78 * INCH_M, (60 * MILE_M) / 3600, 258.566, 17.238, 25.857],
    ["68 in at 30 mph", 68 * INCH_M, (30 * MILE_M) / 3600, 148.295, 9.886, null],
    ["54 in at 20 mph", 54 * INCH_M, (20 * MILE_M) / 3600, 124.49, 8.3, null],
    ["1.524 m at 50 km/h", 1.524, 50 / 3.6, 2.9009 * 60, 11.604, 17.405],
    ["2 m at 160 km/h", 2, 160 / 3.6, 7.0736 * 60, 28.294, 42.441],
  ])("%s", (_, wheelM, speedMPerS, rpm, fourHz, sixHz) => {
    const speedRpm = (60 * speedMPerS) / (Math.PI * wheelM);
    expect(Math.abs(speedRpm / rpm - 1)).toBeLessThan(1e-4);
    const four = beatsOf(machine(eccentric(), { cranksDeg: [0, 90] })).beatsPerTurn;
    const six = beatsOf(machine(eccentric(), { cranksDeg: [0, 120, 240] })).beatsPerTurn;
    expect(Math.abs(beatRateHz(four, speedRpm) / fourHz - 1)).toBeLessThan(1e-4);
    if (sixHz !== null) expect(Math.abs(beatRateHz(six, -speedRpm) / sixHz - 1)).toBeLessThan(1e-4);
  });
});

// Which fault makes which pattern: Sinclair, Locomotive Engine Running and Management (1888), on valve setting. How
// much, in
// closed form: a valve off centre by s is late by asin(s / throw) at one end and early at the other; a slipped
// eccentric or
// a crank out of place moves both ends by its own angle. With crank 2 lagging, cranks [0, 270], the order is c1H, c2H,
// c1C,
// c2C; with [0, 90] it is c2H, c1H, c2C, c1C. Case A; tolerance 0.01 degree.
describe.each([
  { cranks: [0, 270], first: "c1H", order: ["c1H", "c2H", "c1C", "c2C"] },
  { cranks: [0, 90], first: "c1H", order: ["c1H", "c2C", "c1C", "c2H"] },
])("lame beats, cranks at $cranks", ({ cranks, first, order }) => {
  const square = machine(eccentric(), { cranksDeg: cranks });
  const lame = (...faults: Fault[]) => machine(eccentric(), { cranksDeg: cranks, faults });
  const holds = (gear: GearDescription, wanted: readonly number[], cutoff: number | null = null) => {
    const beats = pattern(gear, first, cutoff);
    beats.forEach(({ intervalDeg }, i) => expect(Math.abs(intervalDeg - wanted[i])).toBeLessThan(0.01));
  };
  /** How much later than in the square engine each beat falls, running forward. */
  const latenessDeg = (gear: GearDescription) => {
    const squareBeats = pattern(square, first);
    return Object.fromEntries(
      pattern(gear, first).map(({ name, shaftDeg }) => {
        const late = shaftDeg - squareBeats.find((beat) => beat.name === name)!.shaftDeg;
        return [name, late - 360 * Math.round(late / 360)];
      }),
    );
  };

  it("square: four intervals of 90 degrees", () => {
    expect(pattern(square, first).map(({ name }) => name)).toEqual(order);
    holds(square, [90, 90, 90, 90]);
  });

  it.each([
    [1 / 8, 2.866],
    [1 / 16, 1.432],
  ])("valve rod of cylinder 1 wrong by %f in: head end late, crank end early by %f degrees", (byIn, a) => {
    const gear = lame({ kind: "valveRodLength", cylinder: 1, byM: byIn * INCH_M });
    holds(gear, [90 - a, 90 - a, 90 + a, 90 + a]);
    const late = latenessDeg(gear);
    expect(Math.abs(late.c1H - a)).toBeLessThan(0.01);
    expect(Math.abs(late.c1C + a)).toBeLessThan(0.01);
    expect(Math.abs(late.c2H)).toBeLessThan(1e-9);
    expect(Math.abs(late.c2C)).toBeLessThan(1e-9);
  });

  it("the same valve rod is worse notched up: 1/16 in on a throw of 1.316 in is 2.72 degrees", () => {
    // The cut-off at which the equivalent eccentric's throw is 1.316 in: y = lap at atan2(B, A) + acos(lap / throw).
    const angle = Math.atan2(Math.sqrt(1.316 * 1.316 - 1.0625 * 1.0625), 1.0625) + Math.acos(1 / 1.316);
    const cutoff = 0.5 * (1 - Math.cos(angle));
    const a = 2.72;
    holds(lame({ kind: "valveRodLength", cylinder: 1, byM: INCH_M / 16 }), [90 - a, 90 - a, 90 + a, 90 + a], cutoff);
  });

  it("eccentric of cylinder 1 slipped late by 3 degrees: both its beats late", () => {
    const gear = lame({ kind: "eccentricSlip", cylinder: 1, byRad: 3 * DEG });
    holds(gear, [87, 93, 87, 93]);
    const late = latenessDeg(gear);
    expect(late.c1H).toBeCloseTo(3, 6);
    expect(late.c1C).toBeCloseTo(3, 6);
    expect(late.c2H).toBeCloseTo(0, 6);
  });

  it("crank 2 quartered 2 degrees ahead: both its beats early", () => {
    const gear = lame({ kind: "quartering", cylinder: 2, byRad: 2 * DEG });
    holds(gear, [88, 92, 88, 92]);
    const late = latenessDeg(gear);
    expect(late.c2H).toBeCloseTo(-2, 6);
    expect(late.c2C).toBeCloseTo(-2, 6);
    expect(late.c1H).toBeCloseTo(0, 6);
  });

  it("crank 1 quartered 2 degrees ahead: both its beats early", () => {
    holds(lame({ kind: "quartering", cylinder: 1, byRad: 2 * DEG }), [92, 88, 92, 88]);
  });

  it.each([1 / 16, -1 / 16])("exhaust lap of %f in moves all beats alike by 1.43 degrees: no lameness", (lapIn) => {
    const gear = machine(eccentric({ exhaustLap: lapIn }), { cranksDeg: cranks });
    holds(gear, [90, 90, 90, 90]);
    // Later with lap, by the closed form: release at 180 deg + asin(exhaust lap / throw) - asin((lap + lead) / throw).
    for (const late of Object.values(latenessDeg(gear)))
      expect(Math.abs(late - 1.43 * Math.sign(lapIn))).toBeLessThan(0.01);
  });

  it("choked ports and leaking rings leave the releases where they are", () => {
    const gear = lame(
      { kind: "portChoke", cylinder: 1, end: "crank", toRatio: 0.6 },
      { kind: "ringLeak", cylinder: 1, areaM2: 5e-6 },
    );
    expect(pattern(gear, first)).toEqual(pattern(square, first));
  });
});

describe("lame beats of other engines", () => {
  it("three cylinders, the middle engine 2 degrees late: 60 62 58 60 62 58", () => {
    const gear = machine(eccentric(), {
      cranksDeg: [0, 120, 240],
      faults: [{ kind: "eccentricSlip", cylinder: 2, byRad: 2 * DEG }],
    });
    const intervals = pattern(gear, "c1H").map(({ intervalDeg }) => Math.round(intervalDeg * 1e6) / 1e6);
    const wanted = [60, 62, 58, 60, 62, 58];
    const rotations = wanted.map((_, i) => [...wanted.slice(i), ...wanted.slice(0, i)].join());
    expect(rotations).toContain(intervals.join());
  });

  it.each([
    [50, 1, 1.15],
    [31, 1, 1.85],
    [4, 0.1, 1.4],
  ])(
    "a valve with %f mm half travel, displaced by %f mm, shifts releases by %f degrees either way",
    (half, byMm, wanted) => {
      const gear: ValveGear = { ...eccentric(), travelM: half * 2e-3, steamLapM: half * 0.4e-3, leadM: half * 0.02e-3 };
      const release = (byM: number) => {
        const faults: Fault[] = [{ kind: "valveRodLength", cylinder: 1, byM }];
        return eventsOfTurn(new Motion(machine(gear, { faults })), 1).map(({ releaseDeg }) => releaseDeg!);
      };
      const [head, crank] = release(byMm * 1e-3);
      const [squareHead, squareCrank] = release(0);
      expect(Math.abs(head - squareHead - wanted)).toBeLessThan(0.05);
      expect(Math.abs(crank - squareCrank + wanted)).toBeLessThan(0.05);
    },
  );

  it("an eccentric late in forward gear is early in backward gear; a quartering error is early forward, late backward", () => {
    const running = (faults: readonly Fault[], cutoff: number) => {
      const gear = machine(eccentric(), { cranksDeg: [0, 90], faults });
      return pattern(gear, "c2H", cutoff).find(({ name }) => name === "c2H")!.shaftDeg;
    };
    const slip: Fault[] = [{ kind: "eccentricSlip", cylinder: 2, byRad: 2 * DEG }];
    const quarter: Fault[] = [{ kind: "quartering", cylinder: 2, byRad: 2 * DEG }];
    // Shaft angles fall running backward, so later is a smaller angle there.
    expect(running(slip, 0.6) - running([], 0.6)).toBeCloseTo(2, 6);
    expect(-(running(slip, -0.6) - running([], -0.6))).toBeCloseTo(-2, 6);
    expect(running(quarter, 0.6) - running([], 0.6)).toBeCloseTo(-2, 6);
    expect(-(running(quarter, -0.6) - running([], -0.6))).toBeCloseTo(2, 6);
  });
});

describe("smallest shift of one beat that an ear notices (needs 3.2, fact 6: Friberg and Sundberg)", () => {
  it.each([
    [4, 30, 2.25],
    [4, 60, 2.25],
    [4, 90, 3.24],
    [4, 120, 4.32],
    [4, 180, 6.48],
    [4, 300, 10.8],
    [2, 60, 4.5],
    [2, 125, 4.5],
  ])("%i beats a turn at %i rpm: %f degrees", (count, rpm, wanted) => {
    expect(audibleShiftDeg(rpm, Array(count).fill(360 / count))).toBeCloseTo(wanted, 9);
    expect(audibleShiftDeg(-rpm, Array(count).fill(360 / count))).toBeCloseTo(wanted, 9);
  });

  it("is decided by the shortest interval, and there is none without beats", () => {
    expect(audibleShiftDeg(10, [90, 270])).toBeCloseTo(2.25, 12);
    expect(audibleShiftDeg(60, [])).toBeNull();
  });
});
