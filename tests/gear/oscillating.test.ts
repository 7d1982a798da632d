import { describe, expect, it } from "vitest";
import type { GearDescription, OscillatingGear } from "../../src/gear/gear-description.js";
import { beatsOfTurn } from "../../src/gear/beats.js";
import { Motion } from "../../src/gear/motion.js";
import { PortOverlap, lensShare } from "../../src/gear/port-overlap.js";
import { eventsOfTurn } from "../../src/gear/valve-events.js";
import { DEG, machine } from "./machines.js";

const D = 0.04;
const R = 0.012;
const PORT = 2e-3;
const RADIUS = 0.009;
const gear: OscillatingGear = { kind: "oscillating", portDiameterM: PORT, portRadiusM: R, pivotDistanceM: D };
const small = { boreM: 0.011, strokeM: 2 * RADIUS, pistonRodM: 0.003, clearanceRatio: 0.1, connectingRodM: 0 };
const single = machine(gear, { cylinder: { ...small, acting: "single" } });
const double = machine(gear, { cylinder: { ...small, acting: "double" } });

/** Area common to two circles of one radius, by counting the strips of one that lie in the other. */
function overlapByStrips(radius: number, distance: number): number {
  const count = 200_000;
  let area = 0;
  for (let i = 0; i < count; i++) {
    const x = -radius + ((i + 0.5) * 2 * radius) / count;
    const first = Math.sqrt(radius * radius - x * x);
    const other = x - distance;
    const second = radius * radius - other * other;
    if (second > 0) area += 2 * Math.min(first, Math.sqrt(second));
  }
  return (area * 2 * radius) / count;
}

describe("overlap of two round ports", () => {
  it("is the area found by strips", () => {
    for (const x of [0, 0.1, 0.35, 0.5, 0.7, 0.72, 0.9, 0.99]) {
      expect(Math.abs(lensShare(x) - overlapByStrips(0.5, x) / (Math.PI / 4))).toBeLessThan(1e-6);
    }
  });

  it("the table of the running class is within 1e-7 of the port's area of the exact lens, everywhere", () => {
    const overlap = new PortOverlap(PORT);
    const area = (Math.PI / 4) * PORT * PORT;
    const count = 100_001;
    const distances = Float64Array.from({ length: count }, (_, i) => (i / (count - 1)) * 1.01);
    const areas = new Float64Array(count);
    overlap.fill(
      distances.map((x) => x * x * PORT * PORT),
      areas,
    );
    let worst = 0;
    distances.forEach((x, i) => {
      const exact = x >= 1 ? 0 : (2 / Math.PI) * (Math.acos(x) - x * Math.sqrt(1 - x * x));
      worst = Math.max(worst, Math.abs(areas[i] / area - exact));
    });
    expect(worst).toBeLessThan(1e-7);
    expect(areas[0]).toBeCloseTo(area, 18);
    expect(areas[count - 1]).toBe(0);
  });
});

describe("oscillating cylinder against plain coordinates", () => {
  /** Everything from points in the plane: trunnion at the origin, crank centre at (D, 0). */
  const plain = (crankRad: number) => {
    const pin = { x: D - RADIUS * Math.cos(crankRad), y: RADIUS * Math.sin(crankRad) };
    const swing = Math.atan2(pin.y, pin.x);
    const greatest = Math.asin(RADIUS / D);
    const headPort = { x: -R * Math.cos(swing), y: -R * Math.sin(swing) };
    const crankPort = { x: R * Math.cos(swing), y: R * Math.sin(swing) };
    const fixed = (sign: number, behind: number) => ({
      x: behind * R * Math.cos(greatest),
      y: behind * sign * R * Math.sin(greatest),
    });
    const gap = (a: { x: number; y: number }, b: { x: number; y: number }) => Math.hypot(a.x - b.x, a.y - b.y);
    return {
      travel: Math.hypot(pin.x, pin.y) - (D - RADIUS),
      headSteam: gap(headPort, fixed(1, -1)),
      headExhaust: gap(headPort, fixed(-1, -1)),
      crankSteam: gap(crankPort, fixed(-1, 1)),
      crankExhaust: gap(crankPort, fixed(1, 1)),
    };
  };

  it("has the travel, openings and areas of brute force at every degree, both ends", () => {
    const motion = new Motion(double);
    const area = (Math.PI / 4) * PORT * PORT;
    for (let degrees = 0; degrees < 360; degrees++) {
      const shaft = degrees * DEG;
      const wanted = plain(shaft);
      motion.process(shaft);
      expect(motion.pistonPositionRatio(1, shaft)).toBeCloseTo(wanted.travel / (2 * RADIUS), 12);
      expect(motion.volumeM3[0]).toBeCloseTo(motion.sweptM3[0] * (0.1 + wanted.travel / (2 * RADIUS)), 16);
      expect(motion.volumeM3[1]).toBeCloseTo(motion.sweptM3[1] * (1.1 - wanted.travel / (2 * RADIUS)), 16);
      const pairs = [
        [motion.steamOpeningM(0, shaft), motion.steamAreaM2[0], wanted.headSteam],
        [motion.exhaustOpeningM(0, shaft), motion.exhaustAreaM2[0], wanted.headExhaust],
        [motion.steamOpeningM(1, shaft), motion.steamAreaM2[1], wanted.crankSteam],
        [motion.exhaustOpeningM(1, shaft), motion.exhaustAreaM2[1], wanted.crankExhaust],
      ];
      for (const [opening, open, gap] of pairs) {
        expect(Math.abs(opening - (PORT - gap))).toBeLessThan(1e-10);
        const x = gap / PORT;
        const exact = x >= 1 ? 0 : (2 / Math.PI) * (Math.acos(x) - x * Math.sqrt(1 - x * x));
        expect(Math.abs(open / area - exact)).toBeLessThan(1e-6);
      }
    }
  });

  it("brute force over a fine grid finds the same events", () => {
    const [head, crank] = eventsOfTurn(new Motion(double), 1);
    const crossings = (gap: (angle: number) => number) => {
      const found: { opens: number; shuts: number } = { opens: NaN, shuts: NaN };
      const count = 720_000;
      for (let i = 0; i < count; i++) {
        const before = gap((i / count) * 2 * Math.PI) < PORT;
        const after = gap(((i + 1) / count) * 2 * Math.PI) < PORT;
        if (!before && after) found.opens = ((i + 0.5) / count) * 360;
        if (before && !after) found.shuts = ((i + 0.5) / count) * 360;
      }
      return found;
    };
    const near = (got: number | null, wanted: number) => expect(Math.abs(got! - wanted)).toBeLessThan(0.0005);
    const headSteam = crossings((angle) => plain(angle).headSteam);
    const headExhaust = crossings((angle) => plain(angle).headExhaust);
    near(head.admissionDeg, headSteam.opens);
    near(head.cutoffDeg, headSteam.shuts);
    near(head.releaseDeg, headExhaust.opens);
    near(head.compressionDeg, headExhaust.shuts);
    const crankSteam = crossings((angle) => plain(angle).crankSteam);
    const crankExhaust = crossings((angle) => plain(angle).crankExhaust);
    near(crank.admissionDeg, crankSteam.opens);
    near(crank.cutoffDeg, crankSteam.shuts);
    near(crank.releaseDeg, crankExhaust.opens);
    near(crank.compressionDeg, crankExhaust.shuts);
  });

  it("stands at its ports' closed form: sin(t + swing) = D / r sin(swing) where they just touch", () => {
    const [head] = eventsOfTurn(new Motion(single), 1);
    const swing = Math.asin(RADIUS / D) - 2 * Math.asin(PORT / (2 * R));
    const rise = Math.asin((D / RADIUS) * Math.sin(swing));
    const wanted = [rise - swing, Math.PI - rise - swing, Math.PI + rise + swing, 2 * Math.PI - rise + swing];
    const got = [head.admissionDeg, head.cutoffDeg, head.releaseDeg, head.compressionDeg];
    wanted.forEach((angle, i) => expect(Math.abs(got[i]! - angle / DEG)).toBeLessThan(1e-6));
  });

  it("admits after dead centre and releases after the other: counted on past the ends of the strokes", () => {
    const [head] = eventsOfTurn(new Motion(single), 1);
    expect(head.admissionDeg!).toBeGreaterThan(0);
    expect(head.admissionStrokeRatio!).toBeLessThan(0);
    expect(head.leadM).toBeLessThan(0);
    expect(head.releaseDeg!).toBeGreaterThan(180);
    expect(head.releaseStrokeRatio!).toBeGreaterThan(1);
    expect(head.maxSteamOpeningM).toBeCloseTo(PORT, 9);
    expect(head.maxExhaustOpeningM).toBeCloseTo(PORT, 9);
  });

  it("drives forward: the head end takes steam while the crank angle runs from 0 to 180", () => {
    const motion = new Motion(single);
    motion.process(90 * DEG);
    expect(motion.steamAreaM2[0]).toBeGreaterThan(0);
    expect(motion.exhaustAreaM2[0]).toBe(0);
    motion.process(270 * DEG);
    expect(motion.steamAreaM2[0]).toBe(0);
    expect(motion.exhaustAreaM2[0]).toBeGreaterThan(0);
  });

  it("mirrors: what the inlet does forward, the outlet does backward", () => {
    const motion = new Motion(double);
    for (let degrees = 1; degrees < 180; degrees++) {
      motion.process(degrees * DEG);
      const [headSteam, crankSteam] = motion.steamAreaM2;
      motion.process(-degrees * DEG);
      expect(motion.exhaustAreaM2[0]).toBeCloseTo(headSteam, 18);
      expect(motion.exhaustAreaM2[1]).toBeCloseTo(crankSteam, 18);
    }
  });

  it("a far trunnion makes the piston harmonic and the events even", () => {
    const far: OscillatingGear = { kind: "oscillating", portDiameterM: 1e-3, portRadiusM: 100, pivotDistanceM: 1000 };
    const motion = new Motion(machine(far, { cylinder: { ...small, acting: "double" } }));
    for (let degrees = 0; degrees < 360; degrees += 5) {
      const harmonic = 0.5 * (1 - Math.cos(degrees * DEG));
      expect(Math.abs(motion.pistonPositionRatio(1, degrees * DEG) - harmonic)).toBeLessThan(1e-5);
    }
    const [head, crank] = eventsOfTurn(motion, 1);
    expect(Math.abs(head.admissionDeg! + head.cutoffDeg! - 180)).toBeLessThan(0.01);
    expect(Math.abs(((((crank.releaseDeg! - head.releaseDeg!) % 360) + 360) % 360) - 180)).toBeLessThan(0.01);
  });

  it("beats once a turn single acting, twice double acting, a choke or not; setting a cut-off changes nothing", () => {
    const count = (description: GearDescription) => {
      const motion = new Motion(description);
      motion.setCutoff(0.3);
      return beatsOfTurn(motion, eventsOfTurn(motion, 1), 1).beatsPerTurn;
    };
    expect(count(single)).toBe(1);
    expect(count(double)).toBe(2);
    const choked = new Motion({ ...single, faults: [{ kind: "portChoke", cylinder: 1, end: "head", toRatio: 0.5 }] });
    const plainMotion = new Motion(single);
    choked.process(1);
    plainMotion.process(1);
    expect(choked.steamAreaM2[0]).toBeCloseTo(0.5 * plainMotion.steamAreaM2[0], 18);
  });

  it.each([
    [{ pivotDistanceM: 0.009 }, "pivotDistance must be more than half the stroke"],
    [{ portDiameterM: 0 }, "portDiameter must be more than 0"],
    [{ portRadiusM: 0.001 }, "portRadius must be more than half the port diameter"],
    [{ portRadiusM: NaN }, "portRadius must be"],
  ])("%o is refused: %s", (changes, message) => {
    expect(() => new Motion(machine({ ...gear, ...changes }, { cylinder: small }))).toThrow(message);
  });
});
