import { describe, expect, it } from "vitest";
import type { Fault, GearDescription, OscillatingGear } from "../../src/gear/gear-description.js";
import { Motion } from "../../src/gear/motion.js";
import { pistonPositionRatio } from "../../src/gear/slider-crank.js";
import { eventsOfTurn } from "../../src/gear/valve-events.js";
import { DEG, INCH_M, eccentric, machine } from "./machines.js";

const oscillating: OscillatingGear = {
  kind: "oscillating",
  portDiameterM: 2e-3,
  portRadiusM: 0.012,
  pivotDistanceM: 0.04,
};
const small = { boreM: 0.011, strokeM: 0.018, pistonRodM: 0.003, clearanceRatio: 0.1 };
const two = machine(eccentric(), { cranksDeg: [0, 90] });

function snapshot(motion: Motion): number[] {
  return [...motion.steamAreaM2, ...motion.exhaustAreaM2, ...motion.volumeM3];
}

describe("motion of a machine", () => {
  it("lists its ends cylinder by cylinder, head first; single acting has heads only", () => {
    const names = (gear: GearDescription) => new Motion(gear).ends.map(({ cylinder, end }) => `${cylinder} ${end}`);
    expect(names(two)).toEqual(["1 head", "1 crank", "2 head", "2 crank"]);
    const single = machine(eccentric(), { cranksDeg: [0, 120, 240], cylinder: { acting: "single" } });
    expect(names(single)).toEqual(["1 head", "2 head", "3 head"]);
  });

  it("has the areas and volumes of plain geometry at every angle, in every gear", () => {
    const faults: Fault[] = [
      { kind: "valveRodLength", cylinder: 1, byM: 0.002 },
      { kind: "eccentricSlip", cylinder: 2, byRad: 2 * DEG },
      { kind: "quartering", cylinder: 2, byRad: 1 * DEG },
      { kind: "portChoke", cylinder: 2, end: "crank", toRatio: 0.6 },
    ];
    const gear = machine(eccentric({ exhaustLap: 1 / 8, width: 1.2 }), { rodRatio: 5, cranksDeg: [0, 90], faults });
    const motion = new Motion(gear);
    const face = (Math.PI / 4) * (17 * INCH_M) * (17 * INCH_M);
    const rod = (Math.PI / 4) * (2.5 * INCH_M) * (2.5 * INCH_M);
    const stroke = 24 * INCH_M;
    const lap = 1 * INCH_M;
    const exhaustLap = INCH_M / 8;
    const atDeadCentre = 1.0625 * INCH_M;
    const length = 14 * INCH_M;
    const port = (opening: number) => length * Math.min(1.2 * INCH_M, Math.max(0, opening));
    for (const q of [0.8, 0.4, -0.6]) {
      motion.setCutoff(q);
      const angle = Math.acos(1 - 2 * Math.abs(q));
      const quarter = (Math.sign(q) * (lap - atDeadCentre * Math.cos(angle))) / Math.sin(angle);
      for (let shaftDeg = -720; shaftDeg < 720; shaftDeg += 7.3) {
        motion.process(shaftDeg * DEG);
        [0, 1].forEach((k) => {
          const crank = (shaftDeg + (k === 0 ? 0 : 91)) * DEG;
          const eccentricAngle = crank - (k === 0 ? 0 : 2 * DEG);
          const y =
            atDeadCentre * Math.cos(eccentricAngle) + quarter * Math.sin(eccentricAngle) + (k === 0 ? 0.002 : 0);
          const choke = k === 0 ? 1 : 0.6;
          const near = (got: number, wanted: number) => expect(Math.abs(got - wanted)).toBeLessThan(1e-12);
          near(motion.steamAreaM2[2 * k], port(y - lap));
          near(motion.exhaustAreaM2[2 * k], port(-y - exhaustLap));
          near(motion.steamAreaM2[2 * k + 1], choke * port(-y - lap));
          near(motion.exhaustAreaM2[2 * k + 1], choke * port(y - exhaustLap));
          const x = pistonPositionRatio(crank, 5);
          near(motion.volumeM3[2 * k], face * stroke * (0.08 + x));
          near(motion.volumeM3[2 * k + 1], (face - rod) * stroke * (0.08 + 1 - x));
          expect(motion.crankAngleRad(k + 1, shaftDeg * DEG)).toBeCloseTo(crank, 12);
        });
      }
    }
    expect(motion.sweptM3[1]).toBeCloseTo((face - rod) * stroke, 15);
    expect(motion.portAreaMaxM2[0]).toBeCloseTo(length * 1.2 * INCH_M, 15);
    expect(motion.portAreaMaxM2[3]).toBeCloseTo(0.6 * length * 1.2 * INCH_M, 15);
  });

  it("never has steam and exhaust of one end open together, with laps that are not negative", () => {
    const motion = new Motion(two);
    for (let i = 0; i < 3600; i++) {
      motion.process(i * 0.1 * DEG);
      motion.ends.forEach((_, e) => expect(motion.steamAreaM2[e] * motion.exhaustAreaM2[e]).toBe(0));
    }
  });

  it("sweeps the same volume at head and crank end, where there is no piston rod", () => {
    const motion = new Motion(machine(eccentric(), { cylinder: { pistonRodM: 0 } }));
    for (let i = 0; i < 360; i++) {
      motion.process(i * DEG);
      expect(motion.volumeM3[0] + motion.volumeM3[1]).toBeCloseTo(motion.sweptM3[0] * 1.16, 14);
    }
  });

  it("running backward in backward gear is the mirror of forward: the same events at both ends", () => {
    const motion = new Motion(machine(eccentric({ exhaustLap: 1 / 8 }), { rodRatio: 4, cranksDeg: [0, 90] }));
    for (const q of [0.75, 0.4]) {
      motion.setCutoff(q);
      const forward = eventsOfTurn(motion, 1);
      motion.setCutoff(-q);
      eventsOfTurn(motion, -1).forEach((end, i) => {
        for (const [name, value] of Object.entries(end)) {
          const wanted = forward[i][name as keyof typeof end];
          if (typeof value === "number") expect(value).toBeCloseTo(wanted as number, 8);
          else expect(value).toBe(wanted);
        }
      });
    }
  });

  it("inside admission has the same areas and events, from a valve that moves the other way", () => {
    const outside = eccentric();
    const faults: Fault[] = [{ kind: "valveRodLength", cylinder: 1, byM: 0.001 }];
    const a = new Motion(machine(outside, { faults }));
    const b = new Motion(machine({ ...outside, admission: "inside" }, { faults }));
    expect([a.admission, b.admission]).toEqual(["outside", "inside"]);
    expect(eventsOfTurn(b, 1)).toEqual(eventsOfTurn(a, 1));
    for (let i = 0; i < 360; i += 5) {
      a.process(i * DEG);
      b.process(i * DEG);
      expect(snapshot(b)).toEqual(snapshot(a));
      expect(b.valvePositionM(1, i * DEG)).toBe(-a.valvePositionM(1, i * DEG));
    }
    // At the head-end dead centre a slide valve over outer edges stands away from the cover by lap, lead and its shift.
    expect(a.valvePositionM(1, 0)).toBeCloseTo(-(1.0625 * INCH_M + 0.001), 15);
  });

  it("a settings call leaves the last figures standing until the next process; reset leaves the gear as set", () => {
    const motion = new Motion(two);
    motion.process(1);
    const before = snapshot(motion);
    motion.setCutoff(0.3);
    expect(snapshot(motion)).toEqual(before);
    motion.process(1);
    const notched = snapshot(motion);
    expect(notched).not.toEqual(before);
    motion.reset();
    motion.process(1);
    expect(snapshot(motion)).toEqual(notched);
  });

  it("reset equals fresh, and two machines do not affect each other", () => {
    const used = new Motion(two);
    const other = new Motion(two);
    other.process(2);
    const kept = snapshot(other);
    for (let i = 0; i < 100; i++) used.process(i);
    used.reset();
    expect(snapshot(used)).toEqual(snapshot(new Motion(two)));
    used.setCutoff(-0.4);
    used.process(3);
    expect(snapshot(other)).toEqual(kept);
  });

  it("takes its angle from an argument or from its own field alike", () => {
    const motion = new Motion(two);
    motion.process(1.3);
    const wanted = snapshot(motion);
    motion.process(0);
    motion.shaftRad[0] = 1.3;
    motion.processShaft();
    expect(snapshot(motion)).toEqual(wanted);
  });

  it("goes on in the same way after a long run of turns, and stays finite at any angle", () => {
    const motion = new Motion(two);
    motion.process(1);
    const near = snapshot(motion);
    motion.process(1 + 2 * Math.PI * 100_000);
    snapshot(motion).forEach((value, i) => expect(Math.abs(value - near[i])).toBeLessThan(1e-9));
  });

  it("stays in full gear beyond it and in mid gear short of it, and refuses per cents", () => {
    const motion = new Motion(two);
    motion.process(1);
    const full = snapshot(motion);
    motion.setCutoff(1);
    motion.process(1);
    expect(snapshot(motion)).toEqual(full);
    for (const q of [75, NaN, -1.01]) expect(() => motion.setCutoff(q)).toThrow("cutoffRatio must be from -1 to 1");
  });

  it("a long rod brings the piston to harmonic motion and leaves the valve alone", () => {
    const long = new Motion(machine(eccentric(), { rodRatio: 1e7 }));
    const endless = new Motion(machine(eccentric(), { rodRatio: Infinity }));
    for (let i = 0; i < 360; i += 3) {
      long.process(i * DEG);
      endless.process(i * DEG);
      snapshot(endless).forEach((value, e) => expect(Math.abs(snapshot(long)[e] - value)).toBeLessThan(1e-8));
    }
  });

  it("moves the exhaust a whole number of half turns between the ends, whatever the rod, with equal laps", () => {
    for (const rodRatio of [2, 4, 8]) {
      const [head, crank] = eventsOfTurn(new Motion(machine(eccentric({ exhaustLap: 1 / 16 }), { rodRatio })), 1);
      expect(crank.releaseDeg! - head.releaseDeg!).toBeCloseTo(180, 8);
      expect(head.releaseStrokeRatio!).toBeGreaterThan(crank.releaseStrokeRatio!);
    }
  });

  it.each([
    [{ cylinder: { boreM: 0 } }, "bore must be more than 0"],
    [{ cylinder: { strokeM: NaN } }, "stroke must be more than 0"],
    [{ rodRatio: 1 }, "connectingRod must be longer than the crank"],
    [{ cylinder: { pistonRodM: 17 * INCH_M } }, "pistonRod must be from 0 to less than the bore"],
    [{ cylinder: { clearanceRatio: -0.1 } }, "clearance must be 0 or more"],
    [{ cranksDeg: [] }, "crankAngles must be at least one"],
    [{ cranksDeg: [NaN] }, "crankAngles must be finite"],
    [{ faults: [{ kind: "quartering", cylinder: 2, byRad: 0.1 }] as Fault[] }, "cylinder must be from 1 to 1, got 2"],
    [{ faults: [{ kind: "portChoke", cylinder: 1, end: "head", toRatio: 1.5 }] as Fault[] }, "to must be from 0 to 1"],
  ])("%o is refused: %s", (changes, message) => {
    expect(() => new Motion(machine(eccentric(), changes))).toThrow(message);
    expect(() => new Motion(machine(eccentric(), changes))).toThrow(RangeError);
  });

  it("refuses faults of parts that the machine does not have", () => {
    const slip: Fault[] = [{ kind: "eccentricSlip", cylinder: 1, byRad: 0.1 }];
    expect(() => new Motion(machine(oscillating, { faults: slip, cylinder: small }))).toThrow(
      "no valve rod or eccentric",
    );
    const choke: Fault[] = [{ kind: "portChoke", cylinder: 1, end: "crank", toRatio: 0.5 }];
    const single = { acting: "single" } as const;
    expect(() => new Motion(machine(eccentric(), { faults: choke, cylinder: single }))).toThrow("end must be head");
  });

  it("allocates nothing while it runs", () => {
    for (const gear of [two, machine(oscillating, { cranksDeg: [0, 90], cylinder: small })]) {
      const motion = new Motion(gear);
      const run = (count: number) => {
        for (let i = 0; i < count; i++) {
          motion.shaftRad[0] += 0.001;
          motion.processShaft();
        }
      };
      run(300_000);
      const rounds = Array.from({ length: 25 }, () => {
        const before = process.memoryUsage().heapUsed;
        run(20_000);
        return (process.memoryUsage().heapUsed - before) / 20_000;
      });
      // The median, because the collector may run in some rounds. One boxed number a call would be 16 bytes.
      expect(rounds.sort((a, b) => a - b)[12]).toBeLessThan(1);
      expect(motion.shaftRad[0]).toBeCloseTo(0.001 * 800_000, 6);
    }
  });
});
