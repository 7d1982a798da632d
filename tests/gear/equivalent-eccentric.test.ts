import { describe, expect, it } from "vitest";
import {
  cutoffFault,
  deadCentreThrowM,
  fullGearCutoffRatio,
  fullGearQuarterThrowM,
  midGearCutoffRatio,
  quarterThrowM,
  resolveCutoff,
} from "../../src/gear/equivalent-eccentric.js";
import type { EventsGear, OscillatingGear } from "../../src/gear/gear-description.js";
import { Motion } from "../../src/gear/motion.js";
import { valveDimensions } from "../../src/gear/valve-dimensions.js";
import { eventsOfTurn } from "../../src/gear/valve-events.js";
import { DEG, INCH_M, eccentric, machine } from "./machines.js";

const oscillating: OscillatingGear = {
  kind: "oscillating",
  portDiameterM: 2e-3,
  portRadiusM: 0.012,
  pivotDistanceM: 0.04,
};
const byEvents = (changes: Partial<EventsGear> = {}): EventsGear => ({
  kind: "events",
  admission: "outside",
  fullGearCutoffRatio: 0.75,
  leadM: 0.003,
  releaseRad: 148 * DEG,
  portLengthM: 0.3,
  portWidthM: 0.035,
  ...changes,
});

describe("equivalent eccentric of constant lead", () => {
  const valve = valveDimensions(eccentric({ lead: 1 / 4 }));
  const greatest = fullGearCutoffRatio(valve);
  const least = midGearCutoffRatio(valve);

  it("cuts off at acos(1 - 2 Q) at both ends whatever the rod, in both gears", () => {
    for (const rodRatio of [3, 7, Infinity]) {
      const motion = new Motion(machine(eccentric({ lead: 1 / 4 }), { rodRatio }));
      for (const q of [0.15, 0.3, 0.5, 0.7, 0.75]) {
        for (const direction of [1, -1] as const) {
          motion.setCutoff(direction * q);
          const [head, crank] = eventsOfTurn(motion, direction);
          const nominal = Math.acos(1 - 2 * q) / DEG;
          expect(Math.abs(head.cutoffDeg! - nominal)).toBeLessThan(1e-8);
          expect(Math.abs(crank.cutoffDeg! - 180 - nominal)).toBeLessThan(1e-8);
          expect(head.leadM / INCH_M).toBeCloseTo(0.25, 12);
          expect(crank.leadM / INCH_M).toBeCloseTo(0.25, 12);
        }
      }
    }
  });

  it("reaches full gear with the eccentric's own throw, and mid gear with twice lap and lead as its travel", () => {
    expect(Math.hypot(deadCentreThrowM(valve), quarterThrowM(valve, greatest))).toBeCloseTo(valve.halfTravelM, 15);
    expect(quarterThrowM(valve, greatest * (1 - 1e-12))).toBeCloseTo(fullGearQuarterThrowM(valve), 12);
    expect(quarterThrowM(valve, least)).toBe(0);
    expect(quarterThrowM(valve, least + 1e-12)).toBeLessThan(1e-10);
    expect(2 * deadCentreThrowM(valve)).toBeCloseTo(2.5 * INCH_M, 15);
  });

  it("moves straight through mid gear as the reverser crosses it: steadily, without a jump, odd about zero", () => {
    let before = quarterThrowM(valve, -greatest);
    for (let i = 1; i <= 4000; i++) {
      const q = -greatest + (2 * greatest * i) / 4000;
      const now = quarterThrowM(valve, q);
      expect(now).toBeGreaterThanOrEqual(before - 1e-18);
      expect(now - before).toBeLessThan(2e-3 * valve.halfTravelM);
      expect(quarterThrowM(valve, -q)).toBeCloseTo(-now, 15);
      before = now;
    }
    expect(quarterThrowM(valve, 0)).toBe(0);
  });

  it("takes full gear when nothing is asked", () => {
    const resolved = resolveCutoff(machine(eccentric()), null);
    expect(resolved.cutoffRatio).toBeCloseTo(0.8298, 4); // Sinclair 1888, fast passenger, in closed form
    expect(resolved.direction).toBe(1);
    expect(resolved.notes).toEqual([]);
  });

  it("passes on what the gear can do, both ways, without a word", () => {
    for (const q of [0.5, -0.5]) {
      expect(resolveCutoff(machine(eccentric()), q)).toEqual({
        cutoffRatio: q,
        quarterM: quarterThrowM(valveDimensions(eccentric()), q),
        direction: Math.sign(q),
        notes: [],
      });
      expect(cutoffFault(machine(eccentric()), q)).toBeNull();
    }
  });

  it("takes up to one point above full gear as full gear, and says so; beyond, it names the greatest", () => {
    const gear = machine(eccentric());
    const full = resolveCutoff(gear, null);
    const above = resolveCutoff(gear, 0.8395);
    expect(above.cutoffRatio).toBe(full.cutoffRatio);
    expect(above.quarterM).toBe(full.quarterM);
    expect(above.notes).toEqual(["cut-off 84 % is above full gear: taken as full gear, 83 %."]);
    expect(resolveCutoff(gear, -0.8395).cutoffRatio).toBe(-full.cutoffRatio!);
    // 83 % is what full gear, 82.98 %, is told as.
    expect(resolveCutoff(gear, 0.83)).toEqual(full);
    expect(resolveCutoff(gear, full.cutoffRatio! + 0.0004).notes).toEqual([]);
    expect(resolveCutoff(gear, full.cutoffRatio! + 0.0006).notes).toHaveLength(1);
    for (const q of [0.841, -0.841, 75, NaN, Infinity]) {
      expect(() => resolveCutoff(gear, q)).toThrow(RangeError);
      expect(() => resolveCutoff(gear, q)).toThrow(/^cutoff must be at most 83\.0 % either way/);
      expect(cutoffFault(gear, q)).toMatch(/^must be at most 83\.0 % either way, full gear, got -?(\d|NaN|Inf)/);
    }
  });

  it("takes settings nearer mid gear than the gear can cut off as mid gear, and says so", () => {
    for (const q of [0.05, 0, -0.05]) {
      const resolved = resolveCutoff(machine(eccentric({ lead: 1 / 4 })), q);
      expect(Math.abs(resolved.cutoffRatio!)).toBeCloseTo(least, 15);
      expect(resolved.quarterM).toBe(0);
      expect(resolved.direction).toBe(q < 0 ? -1 : 1);
      expect(resolved.notes[0]).toContain("nearer mid gear than this gear can cut off, 10 %: taken as mid gear");
    }
  });

  it("has no cut-off for an oscillating cylinder", () => {
    expect(resolveCutoff(machine(oscillating), null)).toEqual({
      cutoffRatio: null,
      quarterM: null,
      direction: 1,
      notes: [],
    });
    expect(() => resolveCutoff(machine(oscillating), 0.5)).toThrow(
      /^cutoff must be left out for an oscillating cylinder/,
    );
  });

  it("zero lead: mid gear just fails to open; zero lap: mid gear cuts off at half stroke", () => {
    const noLead = eccentric({ lead: 0 });
    expect(midGearCutoffRatio(valveDimensions(noLead))).toBe(0);
    const motion = new Motion(machine(noLead));
    motion.setCutoff(0);
    const [head] = eventsOfTurn(motion, 1);
    expect([head.admissionDeg, head.cutoffDeg, head.maxSteamOpeningM]).toEqual([null, null, 0]);
    expect(head.releaseDeg).toBeCloseTo(90, 6);

    const noLap = eccentric({ lap: 0, lead: 1 / 8 });
    expect(midGearCutoffRatio(valveDimensions(noLap))).toBe(0.5);
    const lapless = new Motion(machine(noLap));
    lapless.setCutoff(0.5);
    expect(eventsOfTurn(lapless, 1)[0].cutoffDeg).toBeCloseTo(90, 6);
  });

  it("neither lap nor lead: admits and releases at the dead centres, and cannot be notched up", () => {
    const gear = machine(eccentric({ lap: 0, lead: 0 }));
    const [head, crank] = eventsOfTurn(new Motion(gear), 1);
    expect([head.admissionDeg, head.cutoffDeg, head.releaseDeg].map((a) => Math.round(a! * 1e6) / 1e6 + 0)).toEqual([
      0, 180, 180,
    ]);
    expect(crank.admissionDeg).toBeCloseTo(180, 6);
    expect(resolveCutoff(gear, null).cutoffRatio).toBe(1);
    const notched = resolveCutoff(gear, 0.5);
    expect(notched.quarterM).toBe(0);
    expect(notched.notes[0]).toContain("neither lap nor lead");
    expect(resolveCutoff(gear, 1).notes).toEqual([]);
  });
});

describe("a gear known by its events", () => {
  it.each([
    [0.75, 0.003, 148, 0.035],
    [0.85, 0, 160, 0.02],
    [0.6, 0.001, 130, 0.05],
    [0.3, 0.002, 115, 0.01],
    [0.75, 0.0001, 150, 0.0015],
  ])(
    "full gear has cut-off %f, lead %f m, release %f deg and opens its port by exactly its width, %f m",
    (q, lead, release, width) => {
      const gear = byEvents({ fullGearCutoffRatio: q, leadM: lead, releaseRad: release * DEG, portWidthM: width });
      const valve = valveDimensions(gear);
      expect(valve.halfTravelM - valve.steamLapM).toBeCloseTo(width, 14);
      expect(fullGearCutoffRatio(valve)).toBeCloseTo(q, 12);
      const motion = new Motion(machine(gear));
      for (const [i, end] of eventsOfTurn(motion, 1).entries()) {
        expect(Math.abs(end.cutoffDeg! - i * 180 - Math.acos(1 - 2 * q) / DEG)).toBeLessThan(1e-7);
        expect(Math.abs(end.releaseDeg! - i * 180 - release)).toBeLessThan(1e-7);
        expect(end.leadM).toBeCloseTo(lead, 14);
        expect(end.maxSteamOpeningM).toBeCloseTo(width, 12);
      }
    },
  );

  it("gives a made-up valve with no term zero back from its own events", () => {
    const valve = valveDimensions(
      byEvents({
        fullGearCutoffRatio: 0.5 * (1 - Math.cos(129.678 * DEG)),
        leadM: INCH_M / 8,
        releaseRad: 156.122 * DEG,
        portWidthM: 1.5 * INCH_M,
      }),
    );
    // The angles are printed to 0.001 degree, 2e-5 rad on a throw of 2.5 in, magnified by the flat quadratic.
    expect(Math.abs(valve.steamLapM / INCH_M - 1)).toBeLessThan(3e-4);
    expect(Math.abs(valve.halfTravelM / INCH_M - 2.5)).toBeLessThan(3e-4);
    expect(Math.abs(valve.exhaustLapM / INCH_M - 1 / 8)).toBeLessThan(3e-4);
  });

  it("notches up as a gear of constant lead does", () => {
    const motion = new Motion(machine(byEvents()));
    motion.setCutoff(0.3);
    expect(eventsOfTurn(motion, 1)[0].cutoffDeg).toBeCloseTo(Math.acos(0.4) / DEG, 6);
    expect(eventsOfTurn(motion, 1)[0].releaseDeg!).toBeLessThan(148);
  });

  it("refuses what no valve could do, and says which and why", () => {
    expect(() => valveDimensions(byEvents({ fullGearCutoffRatio: 1 }))).toThrow(
      "fullGearCutoff must be between 0 and 1",
    );
    expect(() => valveDimensions(byEvents({ leadM: 0.04 }))).toThrow("lead must be from 0 to less than the port width");
    expect(() => valveDimensions(byEvents({ fullGearCutoffRatio: 0.99, leadM: 0.02 }))).toThrow("lead must be at most");
    expect(() => valveDimensions(byEvents({ releaseRad: 100 * DEG }))).toThrow("release must be after cut-off");
    expect(() => valveDimensions(byEvents({ releaseRad: 300 * DEG }))).toThrow("release must be after cut-off");
    expect(() => valveDimensions(byEvents({ releaseRad: NaN }))).toThrow(RangeError);
  });
});

describe("valve dimensions", () => {
  it.each([
    [{ travel: 2, lap: 1 }, "travel must be more than lap and lead twice over"],
    [{ travel: 2.1, lap: 1 }, "travel must be more than lap and lead twice over"],
    [{ exhaustLap: 2.5 }, "exhaustLap must be less than half the travel"],
    [{ exhaustLap: -2.6 }, "exhaustLap must be less than half the travel"],
    [{ lap: -0.1 }, "steamLap must be 0 or more"],
    [{ lead: -0.1 }, "lead must be 0 or more"],
    [{ width: 0 }, "portWidth must be more than 0"],
    [{ travel: NaN }, "travel must be"],
    [{ travel: Infinity }, "travel must be"],
  ])("%o is refused: %s", (changes, message) => {
    expect(() => valveDimensions(eccentric(changes))).toThrow(message);
    expect(() => new Motion(machine(eccentric(changes)))).toThrow(RangeError);
  });
});
