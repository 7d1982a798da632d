import { describe, expect, it } from "vitest";
import { beatsOfTurn } from "../../src/gear/beats.js";
import { resolveCutoff } from "../../src/gear/equivalent-eccentric.js";
import type { EccentricGear, EventsGear, GearDescription, LaterStage } from "../../src/gear/gear-description.js";
import { Motion } from "../../src/gear/motion.js";
import { SWING_OVER_RATIO } from "../../src/gear/stage-valves.js";
import { lastStageOf, stageOf, stagesOf } from "../../src/gear/stages.js";
import { eventsOfTurn } from "../../src/gear/valve-events.js";

const high: EventsGear = {
  kind: "events",
  admission: "inside",
  fullGearCutoffRatio: 0.65,
  leadM: 0.003,
  releaseRad: 2.5,
  portLengthM: 0.4,
  portWidthM: 0.03,
};
const low: EccentricGear = {
  kind: "eccentric",
  admission: "outside",
  travelM: 0.16,
  steamLapM: 0.04,
  exhaustLapM: -0.002,
  leadM: 0.004,
  portLengthM: 0.7,
  portWidthM: 0.05,
};
const iron = {
  boreM: 0.33,
  strokeM: 0.7,
  acting: "double",
  connectingRodM: 1.45,
  pistonRodM: 0.07,
  clearanceRatio: 0.09,
} as const;
const cranksRad = [0, (2 * Math.PI) / 3, (4 * Math.PI) / 3];
const laterStages: LaterStage[] = [
  { cylinder: { ...iron, boreM: 0.53, clearanceRatio: 0.08 }, cylinderCount: 1, valveGear: high },
  { cylinder: { ...iron, boreM: 0.86, pistonRodM: 0.09, clearanceRatio: 0.06 }, cylinderCount: 1, valveGear: low },
];
const triple: GearDescription = {
  cylinder: iron,
  crankAnglesRad: cranksRad,
  valveGear: high,
  laterStages,
  faults: [
    { kind: "valveRodLength", cylinder: 3, byM: 0.002 },
    { kind: "portChoke", cylinder: 2, end: "crank", toRatio: 0.6 },
  ],
};
// Each cylinder as a machine of its own, its crank where it stands on the common shaft.
const alone = triple.crankAnglesRad.map((angleRad, k) => {
  const { cylinder, valveGear } = stageOf(triple, k);
  const faults = triple.faults.filter((fault) => fault.cylinder === k + 1).map((fault) => ({ ...fault, cylinder: 1 }));
  return { motion: new Motion({ cylinder, crankAnglesRad: [0], valveGear, faults }), angleRad };
});

// The closed forms of a simple machine, tested elsewhere against published dimensions, hold for every stage by itself.
describe("a cylinder of a compound moves as it would alone", () => {
  it("areas, volumes, slopes and sizes at every angle", () => {
    const motion = new Motion(triple);
    for (let shaftRad = -7; shaftRad < 7; shaftRad += 0.37) {
      motion.process(shaftRad);
      motion.processSlopes();
      alone.forEach(({ motion: own, angleRad }, k) => {
        own.process(shaftRad + angleRad);
        own.processSlopes();
        for (const end of [0, 1]) {
          const i = 2 * k + end;
          expect(motion.steamAreaM2[i]).toBeCloseTo(own.steamAreaM2[end], 12);
          expect(motion.exhaustAreaM2[i]).toBeCloseTo(own.exhaustAreaM2[end], 12);
          expect(motion.volumeM3[i]).toBeCloseTo(own.volumeM3[end], 12);
          expect(motion.pistonAreaM2[i]).toBe(own.pistonAreaM2[end]);
          expect(motion.portAreaMaxM2[i]).toBe(own.portAreaMaxM2[end]);
        }
        expect(motion.pistonMPerRad[k]).toBeCloseTo(own.pistonMPerRad[0], 12);
        expect(motion.valveMPerRad[k]).toBeCloseTo(own.valveMPerRad[0], 12);
        expect(motion.valvePositionM(k + 1, shaftRad)).toBeCloseTo(own.valvePositionM(1, shaftRad + angleRad), 12);
      });
    }
  });

  it("events of every end, both directions; the later gears stay in full gear while the first is linked up", () => {
    const motion = new Motion(triple);
    for (const direction of [1, -1] as const) {
      motion.setCutoff(direction * 0.4);
      alone[0].motion.setCutoff(direction * 0.4);
      for (const { motion: own } of alone.slice(1)) own.setCutoff(direction);
      const events = eventsOfTurn(motion, direction);
      alone.forEach(({ motion: own }, k) => {
        eventsOfTurn(own, direction).forEach((expected, end) => {
          const { cutoffDeg, releaseDeg, compressionDeg, maxSteamOpeningM, leadM } = events[2 * k + end];
          expect(cutoffDeg).toBeCloseTo(expected.cutoffDeg!, 6);
          expect(releaseDeg).toBeCloseTo(expected.releaseDeg!, 6);
          expect(compressionDeg).toBeCloseTo(expected.compressionDeg!, 6);
          expect(maxSteamOpeningM).toBeCloseTo(expected.maxSteamOpeningM, 9);
          expect(leadM).toBeCloseTo(expected.leadM, 9);
        });
      });
    }
    for (const { motion: own } of alone) own.setCutoff(1);
  });
});

describe("the gears of a compound go over together", () => {
  it("in mid gear all stand in mid gear, and the ports move without a jump as the reverser crosses it", () => {
    const motion = new Motion(triple);
    let before = Float64Array.from(motion.steamAreaM2);
    const steps = 2000;
    for (let i = 0; i <= steps; i++) {
      motion.setCutoff(0.65 - (1.3 * i) / steps);
      motion.process(1);
      if (i > 0) {
        motion.steamAreaM2.forEach((areaM2, end) => {
          expect(Math.abs(areaM2 - before[end])).toBeLessThan(0.05 * motion.portAreaMaxM2[end]);
        });
      }
      before = Float64Array.from(motion.steamAreaM2);
    }
    // Mid gear opens by the lead alone, at both dead centres alike, in every cylinder: constant lead. [common practice]
    motion.setCutoff(0);
    for (const { leadM, maxSteamOpeningM, cylinder } of eventsOfTurn(motion, 1)) {
      if (cylinder !== 3) expect(maxSteamOpeningM).toBeCloseTo(leadM, 6);
    }
    expect(SWING_OVER_RATIO).toBeLessThan(0.5);
  });
});

describe("only the last stage makes beats", () => {
  // Two to a turn for a double-acting cylinder. [common practice]
  it.each([
    ["cross compound of two double-acting cylinders: 2", [laterStages[1]], [0, Math.PI / 2], 2],
    ["triple expansion: 2", laterStages, cranksRad, 2],
    ["two low pressures at a quarter turn: 4", [{ ...laterStages[1], cylinderCount: 2 }], [0, Math.PI / 2, Math.PI], 4],
  ] as const)("%s a turn", (_name, stages, crankAnglesRad, beatCount) => {
    const gear: GearDescription = { ...triple, crankAnglesRad, laterStages: stages, faults: [] };
    const motion = new Motion(gear);
    motion.setCutoff(resolveCutoff(gear, null).cutoffRatio!);
    const { beats, beatsPerTurn } = beatsOfTurn(motion, eventsOfTurn(motion, 1), 1);
    expect(beatsPerTurn).toBe(beatCount);
    const { firstCylinder } = lastStageOf(gear);
    expect(beats.every(({ cylinder }) => cylinder > firstCylinder)).toBe(true);
    expect(beats.length).toBe(beatCount);
  });

  it("counts cylinders and ends on from stage to stage", () => {
    expect(stagesOf(triple).map(({ firstCylinder, firstEnd }) => [firstCylinder, firstEnd])).toEqual([
      [0, 0],
      [1, 2],
      [2, 4],
    ]);
    expect(new Motion(triple).firstOutEnd).toBe(4);
    expect(() => new Motion({ ...triple, faults: [{ kind: "quartering", cylinder: 4, byRad: 0.1 }] })).toThrow(
      /cylinder must be from 1 to 3, got 4/,
    );
  });
});
