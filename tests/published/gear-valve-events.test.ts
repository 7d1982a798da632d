import { describe, expect, it } from "vitest";
import {
  deadCentreThrowM,
  fullGearCutoffRatio,
  fullGearQuarterThrowM,
  quarterThrowM,
} from "../../src/gear/equivalent-eccentric.js";
import type { EccentricGear } from "../../src/gear/gear-description.js";
import { harmonicEvents } from "../../src/gear/harmonic-events.js";
import { Motion } from "../../src/gear/motion.js";
import { pistonPositionRatio } from "../../src/gear/slider-crank.js";
import { type EndEvents, eventsOfTurn } from "../../src/gear/valve-events.js";
import { valveDimensions } from "../../src/gear/valve-dimensions.js";
import { DEG, INCH_M, eccentric, machine } from "../gear/machines.js";

const ANGLE_TOLERANCE_DEG = 0.001;
const STROKE_TOLERANCE = 1e-4;

/** Events of one cylinder at a nominal cut-off (`null`: full gear), found on the geometry. */
function found(gear: EccentricGear, rodRatio: number, cutoffRatio: number | null = null): EndEvents[] {
  const motion = new Motion(machine(gear, { rodRatio }));
  if (cutoffRatio !== null) motion.setCutoff(cutoffRatio);
  return eventsOfTurn(motion, 1);
}

function within(got: number | null, wanted: number, tolerance: number): void {
  expect(got).not.toBeNull();
  expect(Math.abs(got! - wanted), `${got} against ${wanted}`).toBeLessThanOrEqual(tolerance);
}

// Dimensions in inches, as printed; events by the closed form of a harmonic valve, asin of lap and lead over the throw:
// angles to 0.001 degree, shares of stroke to 1e-4.
// A: Sinclair 1888, fast passenger. C: Sinclair's table. E: Bourne, question 323. G: made up, no term zero.
const CASES = [
  {
    name: "A with a rod without end",
    gear: { travel: 5, lap: 1, lead: 1 / 16 },
    n: Infinity,
    advance: 25.151,
    angles: [-1.572, 131.271, 154.849, 334.849],
    head: [0.8298, 0.9526, 0.9526],
    crank: [0.8298, 0.9526, 0.9526],
  },
  {
    name: "A",
    gear: { travel: 5, lap: 1, lead: 1 / 16 },
    n: 85 / 12,
    advance: 25.151,
    angles: [-1.572, 131.271, 154.849, 334.849],
    head: [0.8498, 0.959, 0.9462],
    crank: [0.8098, 0.9462, 0.959],
  },
  {
    name: "C",
    gear: { travel: 5.375, lap: 0.75, exhaustLap: 1 / 32, lead: 1 / 16 },
    n: 75 / 12,
    advance: 17.597,
    angles: [-1.393, 146.198, 163.069, 341.736],
    head: [0.9279, 0.9817, 0.9709],
    crank: [0.9031, 0.9749, 0.9787],
  },
  {
    name: "E",
    gear: { travel: 4.25, lap: 1, lead: 0 },
    n: 6,
    advance: 28.072,
    angles: [0, 123.855, 151.928, 331.928],
    head: [0.8074, 0.9504, 0.9319],
    crank: [0.7497, 0.9319, 0.9504],
  },
  {
    name: "E with a rod without end",
    gear: { travel: 4.25, lap: 1, lead: 0 },
    n: Infinity,
    advance: 28.072,
    angles: [0, 123.855, 151.928, 331.928],
    head: [0.7785, 0.9412, 0.9412],
    crank: [0.7785, 0.9412, 0.9412],
  },
  {
    name: "G",
    gear: { travel: 5, lap: 1, exhaustLap: 1 / 8, lead: 1 / 8 },
    n: 5,
    advance: 26.744,
    angles: [-3.166, 129.678, 156.122, 330.39],
    head: [0.849, 0.9654, 0.9225],
    crank: [0.7894, 0.949, 0.9469],
  },
];

describe.each(CASES)("case $name, in closed form", ({ gear, n, advance, angles, head, crank }) => {
  const valve = valveDimensions(eccentric(gear));

  it("has the angular advance, and the events of the closed form", () => {
    within(90 - Math.atan2(fullGearQuarterThrowM(valve), deadCentreThrowM(valve)) / DEG, advance, 0.001);
    const events = harmonicEvents(
      deadCentreThrowM(valve),
      fullGearQuarterThrowM(valve),
      valve.steamLapM,
      valve.exhaustLapM,
    )!;
    [events.admissionRad, events.cutoffRad, events.releaseRad, events.compressionRad].forEach((angle, i) => {
      within(angle / DEG, angles[i], ANGLE_TOLERANCE_DEG);
    });
    within(pistonPositionRatio(events.cutoffRad, n), head[0], STROKE_TOLERANCE);
    within(pistonPositionRatio(events.releaseRad, n), head[1], STROKE_TOLERANCE);
    within(1 - pistonPositionRatio(events.compressionRad, n), head[2], STROKE_TOLERANCE);
  });

  it("has the same events by root finding on its motion, both ends", () => {
    const [headEnd, crankEnd] = found(eccentric(gear), n);
    within(headEnd.admissionDeg, angles[0], ANGLE_TOLERANCE_DEG);
    within(headEnd.cutoffDeg, angles[1], ANGLE_TOLERANCE_DEG);
    within(headEnd.releaseDeg, angles[2], ANGLE_TOLERANCE_DEG);
    within(headEnd.compressionDeg, angles[3], ANGLE_TOLERANCE_DEG);
    within(crankEnd.admissionDeg, angles[0] + 180, ANGLE_TOLERANCE_DEG);
    within(crankEnd.cutoffDeg, angles[1] + 180, ANGLE_TOLERANCE_DEG);
    within(crankEnd.releaseDeg, angles[2] + 180, ANGLE_TOLERANCE_DEG);
    within(crankEnd.compressionDeg, angles[3] - 180, ANGLE_TOLERANCE_DEG);
    [headEnd, crankEnd].forEach((end, i) => {
      const shares = i === 0 ? head : crank;
      within(end.cutoffStrokeRatio, shares[0], STROKE_TOLERANCE);
      within(end.releaseStrokeRatio, shares[1], STROKE_TOLERANCE);
      within(end.compressionStrokeRatio, shares[2], STROKE_TOLERANCE);
      within(end.leadM / INCH_M, gear.lead, 1e-9);
    });
  });

  it("opens its ports as far as the laps leave of the half travel, at most the port width", () => {
    const half = gear.travel / 2;
    for (const end of found(eccentric({ ...gear, width: 1.6 }), n)) {
      within(end.maxSteamOpeningM / INCH_M, Math.min(1.6, half - gear.lap), 1e-9);
      within(end.maxExhaustOpeningM / INCH_M, Math.min(1.6, half - (gear.exhaustLap ?? 0)), 1e-9);
    }
  });
});

describe("published answers", () => {
  it("Bourne, question 190: lap of a quarter of the travel cuts off at three quarters, without lead or obliquity", () => {
    within(fullGearCutoffRatio(valveDimensions(eccentric({ travel: 18, lap: 4.5, lead: 0 }))), 0.75, 1e-12);
  });

  // The last column is lap over travel, to three places (Long & Buel, from memory).
  it.each([
    [8, 0.289],
    [7, 0.27],
    [6, 0.25],
    [5, 0.228],
    [4, 0.204],
    [3, 0.177],
    [2, 0.144],
    [1, 0.102],
  ])("lap table: cut-off %i/24 from the end of the stroke needs %f of the travel as lap", (parts, lapRatio) => {
    const exact = 0.5 * Math.sqrt(parts / 24);
    expect(Math.round(exact * 1000) / 1000).toBe(lapRatio);
    const [head, crank] = found(eccentric({ travel: 5, lap: 5 * exact, lead: 0 }), Infinity);
    within(head.cutoffStrokeRatio, 1 - parts / 24, 1e-9);
    within(crank.cutoffStrokeRatio, 1 - parts / 24, 1e-9);
  });

  it("Bourne, questions 191 and 192 as corrected: exhaust shuts 1.567 in and opens 1.027 in before the stroke ends", () => {
    const [head] = found(eccentric({ travel: 5, lap: 1, exhaustLap: 1 / 8, lead: 1 / 8 }), Infinity);
    within(24 * (1 - head.compressionStrokeRatio!), 1.567, 1e-3);
    within(24 * (1 - head.releaseStrokeRatio!), 1.027, 1e-3);
  });

  it("Bourne, question 323: with zero lead and no exhaust lap the exhaust stands open by the lap at the stroke's end", () => {
    const motion = new Motion(machine(eccentric({ travel: 4.25, lap: 1, lead: 0 }), { rodRatio: 6 }));
    within(motion.exhaustOpeningM(0, Math.PI) / INCH_M, 1, 1e-9);
  });

  it("Sinclair, chapter XX, problem 3: throw 5, lap 3/4, lead 1/16 is advanced by 18.966 degrees", () => {
    const valve = valveDimensions(eccentric({ travel: 5, lap: 0.75, lead: 1 / 16 }));
    within(90 - Math.atan2(fullGearQuarterThrowM(valve), deadCentreThrowM(valve)) / DEG, 18.966, 0.001);
  });

  it("Sinclair, full gear of case A: cut-off about 18 in and release about 22 in of 24; exactly 19.9 and 22.9", () => {
    const [head] = found(eccentric(), Infinity);
    within(24 * head.cutoffStrokeRatio!, 18, 2);
    within(24 * head.cutoffStrokeRatio!, 19.9, 0.05);
    within(24 * head.releaseStrokeRatio!, 22, 1);
    within(24 * head.releaseStrokeRatio!, 22.9, 0.05);
    const crank = found(eccentric(), 85 / 12)[1];
    within(24 * crank.cutoffStrokeRatio!, 19.4, 0.05);
    within(24 * crank.releaseStrokeRatio!, 22.7, 0.05);
  });

  it("Sinclair, linked up: cut-off 6 in of 24 with release and compression at 16 in stands at advance 70.529 degrees", () => {
    const gear = eccentric({ travel: 2.631, lap: 1, lead: 0.24 });
    const valve = valveDimensions(gear);
    within(90 - Math.atan2(fullGearQuarterThrowM(valve), deadCentreThrowM(valve)) / DEG, 70.529, 0.1);
    const [head, crank] = found(gear, Infinity);
    within(24 * head.cutoffStrokeRatio!, 6, 0.03);
    within(24 * head.releaseStrokeRatio!, 16, 0.03);
    within(24 * crank.compressionStrokeRatio!, 16, 0.03);
  });

  it("a trade rule: lap equal to the full-gear opening cuts off at about 75 %; lap 1.5 and opening 1.5 make 71 %", () => {
    const cutoff = fullGearCutoffRatio(valveDimensions(eccentric({ travel: 6, lap: 1.5, lead: 0.25, width: 1.5 })));
    within(cutoff, 0.75, 0.05);
    within(cutoff, 0.71, 0.005);
  });
});

/** A row: cut-off %, travel in, head and crank per cents of cut-off, release, compression, head-end angles. */
type Row = readonly [number, number, readonly number[], readonly number[], readonly number[]];

function holdsRow(ends: readonly EndEvents[], [, , head, crank, angles]: Row): void {
  ends.forEach((end, i) => {
    const shares = i === 0 ? head : crank;
    within(100 * end.cutoffStrokeRatio!, shares[0], 0.0501);
    within(100 * end.releaseStrokeRatio!, shares[1], 0.0501);
    within(100 * end.compressionStrokeRatio!, shares[2], 0.0501);
    // Printed to a hundredth of a degree.
    const own = i === 0 ? 0 : 180;
    within(end.admissionDeg! - own, angles[0], 0.00501);
    within(end.cutoffDeg! - own, angles[1], 0.00501);
    within(end.releaseDeg! - own, angles[2], 0.00501);
    within((end.compressionDeg! - own + 360) % 360, angles[3], 0.00501);
  });
}

describe("notching up with constant lead, lap 1.5, lead 0.25, rod ratio 7, by the equivalent eccentric", () => {
  const gear = eccentric({ travel: 7.5, lap: 1.5, lead: 0.25, width: 2 });
  const rows: readonly Row[] = [
    [15, 3.58, [16.8, 64.2, 57.3], [13.2, 57.3, 64.2], [-20.75, 45.57, 102.41, 282.41]],
    [20, 3.68, [22.3, 68.6, 62], [17.7, 62, 68.6], [-17.49, 53.13, 107.82, 287.82]],
    [25, 3.79, [27.7, 72.1, 66], [22.3, 66, 72.1], [-15.18, 60, 112.41, 292.41]],
    [40, 4.21, [43.4, 80.3, 75.4], [36.6, 75.4, 80.3], [-10.76, 78.46, 123.85, 303.85]],
    [50, 4.61, [53.6, 84.6, 80.5], [46.4, 80.5, 84.6], [-8.8, 90, 130.6, 310.6]],
    [60, 5.15, [63.4, 88.3, 85], [56.6, 85, 88.3], [-7.19, 101.54, 137.17, 317.17]],
    [75, 6.51, [77.7, 93.2, 91.1], [72.3, 91.1, 93.2], [-5.09, 120, 147.46, 327.46]],
    [80, 7.27, [82.3, 94.7, 93], [77.7, 93, 94.7], [-4.41, 126.87, 151.23, 331.23]],
  ];

  it.each(rows)("%i % cut-off has a travel of %f in and the events of its row, at both ends", (...row) => {
    const [cutoff, travel] = row;
    const valve = valveDimensions(gear);
    const throwM = Math.hypot(deadCentreThrowM(valve), quarterThrowM(valve, cutoff / 100));
    within((2 * throwM) / INCH_M, travel, 0.00501);
    holdsRow(found(gear, 7, cutoff / 100), row);
  });

  it("makes the beat about 35 degrees earlier from 75 % to 25 %", () => {
    within(found(gear, 7, 0.75)[0].releaseDeg! - found(gear, 7, 0.25)[0].releaseDeg!, 35, 0.1);
  });
});

describe("notching up with growing lead, travel 5, lap 1, lead 1/16 to 3/8, rod ratio 85/12, by Zeuner's parabola", () => {
  // Zeuner's parabola for open rods: A = A_fg + (lead_mid - lead_fg)(1 - u^2), B = u B_fg; u is solved for the cut-off.
  const fullDeadCentre = 1 + 1 / 16;
  const fullQuarter = Math.sqrt(2.5 * 2.5 - fullDeadCentre * fullDeadCentre);
  const deadCentre = (u: number) => fullDeadCentre + (3 / 8 - 1 / 16) * (1 - u * u);
  const linkFor = (cutoff: number) => {
    const angle = Math.acos(1 - 2 * cutoff);
    let low = 0;
    let high = 1;
    for (let i = 0; i < 60; i++) {
      const u = 0.5 * (low + high);
      if (deadCentre(u) * Math.cos(angle) + u * fullQuarter * Math.sin(angle) > 1) high = u;
      else low = u;
    }
    return low;
  };
  const gearAt = (u: number) =>
    eccentric({ travel: 2 * Math.hypot(deadCentre(u), u * fullQuarter), lap: 1, lead: deadCentre(u) - 1 });
  const rows: readonly (readonly [...Row, number, number])[] = [
    [25, 2.83, [27.7, 66.2, 59.6], [22.3, 59.6, 66.2], [-30.05, 60, 104.97, 284.97], 0.162, 0.367],
    [30, 2.9, [33, 70.3, 64.1], [27, 64.1, 70.3], [-26.23, 66.42, 110.1, 290.1], 0.22, 0.36],
    [40, 3.07, [43.4, 77, 71.6], [36.6, 71.6, 77], [-20.23, 78.46, 119.12, 299.12], 0.33, 0.341],
    [50, 3.3, [53.5, 82.5, 78], [46.5, 78, 82.5], [-15.45, 90, 127.27, 307.27], 0.442, 0.314],
    [75, 4.35, [77.7, 93.1, 91.1], [72.3, 91.1, 93.1], [-5.19, 120, 147.4, 327.4], 0.809, 0.171],
    [80, 4.72, [82.3, 94.9, 93.3], [77.7, 93.3, 94.9], [-2.99, 126.87, 151.94, 331.94], 0.92, 0.11],
  ];

  it.each(rows)("%i % cut-off has a travel of %f in and the events of its row, at both ends", (...row) => {
    const [cutoff, travel, head, crank, angles, link, lead] = row;
    const u = linkFor(cutoff / 100);
    within(u, link, 0.000501);
    within(deadCentre(u) - 1, lead, 0.000501);
    const gear = gearAt(u);
    within(gear.travelM / INCH_M, travel, 0.00501);
    holdsRow(found(gear, 85 / 12), [cutoff, travel, head, crank, angles]);
  });

  it("makes the beat about 42 degrees earlier from 75 % to 25 %", () => {
    const release = (cutoff: number) => found(gearAt(linkFor(cutoff)), 85 / 12)[0].releaseDeg!;
    within(release(0.75) - release(0.25), 42, 0.5);
  });
});
