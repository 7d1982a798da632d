import { describe, expect, it } from "vitest";
import { deadCentreThrowM, quarterThrowM } from "../../src/gear/equivalent-eccentric.js";
import type { Fault } from "../../src/gear/gear-description.js";
import { harmonicEvents } from "../../src/gear/harmonic-events.js";
import { CrankTurn } from "../../src/gear/crank-turn.js";
import { Motion } from "../../src/gear/motion.js";
import { openingTurn } from "../../src/gear/opening-turn.js";
import { valveDimensions } from "../../src/gear/valve-dimensions.js";
import { eventsOfTurn } from "../../src/gear/valve-events.js";
import { DEG, INCH_M, eccentric, machine } from "./machines.js";

/** Repeatable numbers from 0 to 1. [source: Park & Miller, Random number generators, CACM 31, 1988] */
function numbers(start: number): () => number {
  let state = start;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** Share of the stroke by the plain slider-crank, from the head-end dead centre. */
function plainPosition(crankRad: number, n: number): number {
  return 0.5 * (1 - Math.cos(crankRad) + n - Math.sqrt(n * n - Math.sin(crankRad) ** 2));
}

describe("events found on the motion against the closed form", () => {
  it("agree within 0.001 degree and 1e-4 of stroke for 400 gears with faults, both ends, both directions", () => {
    const random = numbers(20_261_125);
    const between = (low: number, high: number) => low + (high - low) * random();
    let worstDeg = 0;
    let worstShare = 0;
    let compared = 0;
    for (let trial = 0; trial < 400; trial++) {
      const travel = between(2, 8);
      const lap = between(0, 0.4 * travel);
      const lead = between(0, Math.min(0.4, 0.49 * travel - lap));
      const gear = eccentric({ travel, lap, lead, exhaustLap: between(-0.1, 0.15) * travel });
      const valve = valveDimensions(gear);
      const n = between(2, 10);
      const shiftM = between(-0.05, 0.05) * travel * INCH_M;
      const slipRad = between(-4, 4) * DEG;
      const crankDeg = between(0, 360);
      const faults: Fault[] = [
        { kind: "valveRodLength", cylinder: 2, byM: shiftM },
        { kind: "eccentricSlip", cylinder: 2, byRad: slipRad },
      ];
      const motion = new Motion(machine(gear, { rodRatio: n, cranksDeg: [0, crankDeg], faults }));
      const direction = random() < 0.5 ? 1 : -1;
      const q = direction * between(0, 1);
      motion.setCutoff(q);
      const events = eventsOfTurn(motion, direction);
      const a = deadCentreThrowM(valve);
      const b = quarterThrowM(valve, q);
      // Counted in the running direction the quarter throw changes sign with it, and the slip too.
      const slip = direction * slipRad;
      const deadCentre = a * Math.cos(slip) - direction * b * Math.sin(slip);
      const quarter = a * Math.sin(slip) + direction * b * Math.cos(slip);
      [1, -1].forEach((side, i) => {
        const wanted = harmonicEvents(
          deadCentre,
          quarter,
          valve.steamLapM - side * shiftM,
          valve.exhaustLapM + side * shiftM,
        );
        const end = events[2 + i];
        if (wanted === null) {
          expect(end.cutoffDeg === null || end.releaseDeg === null).toBe(true);
          return;
        }
        compared++;
        const own = i * 180;
        const angles = [
          [end.admissionDeg!, wanted.admissionRad],
          [end.cutoffDeg!, wanted.cutoffRad],
          [end.releaseDeg!, wanted.releaseRad],
          [end.compressionDeg!, wanted.compressionRad],
        ];
        for (const [got, angle] of angles) {
          const apart = got - own - angle / DEG;
          worstDeg = Math.max(worstDeg, Math.abs(apart - 360 * Math.round(apart / 360)));
        }
        const done = (angle: number) => {
          const fromHead = plainPosition(angle + own * DEG, n);
          return i === 0 ? fromHead : 1 - fromHead;
        };
        const admission = wanted.admissionRad;
        const shares = [
          [end.admissionStrokeRatio!, admission < 0 ? done(admission) : -done(admission)],
          [end.cutoffStrokeRatio!, done(wanted.cutoffRad)],
          [
            end.releaseStrokeRatio!,
            wanted.releaseRad <= Math.PI ? done(wanted.releaseRad) : 2 - done(wanted.releaseRad),
          ],
          [
            end.compressionStrokeRatio!,
            wanted.compressionRad <= 2 * Math.PI ? 1 - done(wanted.compressionRad) : 1 + done(wanted.compressionRad),
          ],
        ];
        for (const [got, share] of shares) worstShare = Math.max(worstShare, Math.abs(got - share));
      });
    }
    expect(compared).toBeGreaterThan(600);
    expect(worstDeg).toBeLessThan(0.001);
    expect(worstShare).toBeLessThan(1e-4);
    // What root finding in doubles should really give.
    expect(worstDeg).toBeLessThan(1e-6);
    expect(worstShare).toBeLessThan(1e-8);
  });

  it("stroke shares by hand, case A with the release past the end of the stroke", () => {
    // Exhaust lap above lap and lead: release after dead centre, compression before it, by the closed form of 5.1.
    const gear = eccentric({ exhaustLap: 1.3 });
    const [head] = eventsOfTurn(new Motion(machine(gear, { rodRatio: Infinity })), 1);
    const release = 180 + (Math.asin(1.3 / 2.5) - Math.asin(1.0625 / 2.5)) / DEG;
    expect(head.releaseDeg!).toBeCloseTo(release, 6);
    expect(release).toBeGreaterThan(180);
    expect(head.releaseStrokeRatio!).toBeCloseTo(1 + 0.5 * (1 - Math.cos((release - 180) * DEG)), 8);
  });
});

describe("one opening over a turn", () => {
  it("finds both edges of an opening far narrower than a degree", () => {
    const turn = openingTurn((angle) => Math.cos(angle - 1) - Math.cos(1e-4), 1);
    expect(turn.opensRad!).toBeCloseTo(1 - 1e-4, 9);
    expect(turn.shutsRad!).toBeCloseTo(1 + 1e-4, 9);
  });

  it("has no edges where the port never opens, and none where it never shuts", () => {
    expect(openingTurn((angle) => Math.cos(angle) - 1.01, 1)).toMatchObject({ opensRad: null, shutsRad: null });
    const open = openingTurn((angle) => Math.cos(angle) + 1.01, 1);
    expect(open).toMatchObject({ opensRad: null, shutsRad: null });
    expect(open.greatestM).toBeCloseTo(2.01, 12);
    expect(openingTurn(() => 0, 1).opensRad).toBeNull();
  });
});

describe("cranks turned by the table", () => {
  it("have the cosine and sine of plain mathematics to 1e-15, in every turn of the first hundred", () => {
    const turn = new CrankTurn(Float64Array.of(0, 2));
    const random = numbers(7);
    let worst = 0;
    for (let i = 0; i < 20_000; i++) {
      const angle = (random() - 0.5) * (i < 10_000 ? 2 * Math.PI : 400 * Math.PI);
      turn.shaftRad[0] = angle;
      turn.turn();
      const error = Math.max(Math.abs(turn.cosine[0] - Math.cos(angle)), Math.abs(turn.sine[0] - Math.sin(angle)));
      // Beyond the first turn the last digit of the angle itself is coarser.
      worst = Math.max(worst, error / Math.max(1, Math.abs(angle) / 2));
      expect(Math.abs(turn.sine[1] - Math.sin(angle + 2))).toBeLessThan(2e-13);
    }
    expect(worst).toBeLessThan(1e-15);
  });
});
