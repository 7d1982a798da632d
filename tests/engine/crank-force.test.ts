import { describe, expect, it } from "vitest";
import { CrankForce } from "../../src/engine/crank-force.js";
import { CylinderEnds } from "../../src/engine/cylinder-ends.js";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { makeFluid } from "../../src/engine/engine-fluid.js";
import { Shaft } from "../../src/engine/shaft.js";
import { VoiceRecord } from "../../src/engine/voice-record.js";
import { Motion } from "../../src/gear/motion.js";
import { stateFromPressureTemperature } from "../../src/steam/state-from.js";
import {
  airModel,
  locomotive,
  millEngine,
  oscillating12mm,
  presetMachine,
  slideValve12mm,
  withCylinder,
  withGear,
} from "./descriptions.js";
import { Turning } from "./turning.js";

const airPa = 101_325;

/** Pistons whose ends hold given pressures above the air: the driving one, and none behind it. */
function underPressure(description: EngineDescription, pressurePa: number, reciprocatingKg = 0) {
  const { gear } = description;
  const motion = new Motion(gear);
  const ends = new CylinderEnds(motion.ends.length, makeFluid("air"));
  const voice = new VoiceRecord(ends.count, gear.crankAnglesRad.length);
  const force = new CrankForce({ motion, ends }, gear, reciprocatingKg, airPa, voice);
  const isDouble = gear.cylinder.acting === "double";
  const at = (rad: number) => {
    motion.process(rad);
    motion.processSlopes();
    for (let k = 0; k < gear.crankAnglesRad.length; k++) {
      const goesOut = motion.pistonMPerRad[k] > 0;
      const head = isDouble ? 2 * k : k;
      ends.reachedPa[head] = airPa + (goesOut ? pressurePa : 0);
      if (isDouble) ends.reachedPa[head + 1] = airPa + (goesOut ? 0 : pressurePa);
    }
    force.measure();
    return force.torqueNm;
  };
  return { at, force, motion, ends, voice };
}

/** Work of a turn, and what of it a flywheel stores and gives back at most, at even load. */
function overTurn(at: (rad: number) => number) {
  const count = 7200;
  const torque = Array.from({ length: count }, (_, i) => at(((i + 0.5) * 2 * Math.PI) / count));
  const mean = torque.reduce((sum, each) => sum + each, 0) / count;
  let stored = 0;
  let low = 0;
  let high = 0;
  for (const each of torque) {
    stored += ((each - mean) * 2 * Math.PI) / count;
    low = Math.min(low, stored);
    high = Math.max(high, stored);
  }
  return { mean, peak: Math.max(...torque), swing: (high - low) / (2 * Math.PI * mean) };
}

const layout = (angles: readonly number[], n: number, acting: "single" | "double" = "double") =>
  withGear(withCylinder(locomotive(), { connectingRodM: n * 12 * 0.0254, pistonRodM: 0, acting }), {
    crankAnglesRad: angles,
  });
const third = (2 * Math.PI) / 3;

describe("effort at the crank under even pressure over the whole stroke (checks, sections 3.3 and 4)", () => {
  it("the mean of one long-rodded piston is 0.6366 of its peak", () => {
    const { mean, peak } = overTurn(underPressure(layout([0], Infinity), 5e5).at);
    expect(Math.abs(mean / peak - 0.6366)).toBeLessThan(1e-4);
  });

  it("17 by 24 in cylinders at 80 lb/in2 mean pull 8160 lbf at 68 in wheels (Pambour's rule in Sinclair, T = d2 L p / D)", () => {
    const { mean } = overTurn(underPressure(layout([0, Math.PI / 2], 6), 80 * 6894.757293).at);
    expect(mean / (34 * 0.0254) / 4.4482216152605 / 8160).toBeCloseTo(1, 4);
  });

  it.each([
    ["one double-acting cylinder, rod without end", layout([0], Infinity), 0.10526],
    ["one double-acting cylinder, n = 6", layout([0], 6), 0.1245],
    ["two at 90 degrees, rods without end", layout([0, Math.PI / 2], Infinity), 0.01054],
    ["two at 90 degrees, n = 6", layout([0, Math.PI / 2], 6), 0.0315],
    ["three at 120 degrees, rods without end", layout([0, third, 2 * third], Infinity), 0.00301],
    ["three at 120 degrees, n = 6", layout([0, third, 2 * third], 6), 0.0085],
    ["one single-acting cylinder", layout([0], Infinity, "single"), 0.5511],
  ])("%s swings a flywheel's energy by the tabled share of a turn's work", (_, description, share) => {
    expect(Math.abs(overTurn(underPressure(description, 5e5).at).swing - share)).toBeLessThan(1e-4);
  });
});

describe("rods and pistons", () => {
  it("the air behind a single-acting piston and on the rod's end counts", () => {
    const { force, ends } = underPressure(slideValve12mm(), 0);
    const bore = 0.25 * Math.PI * 0.012 ** 2;
    const rod = 0.25 * Math.PI * 0.003 ** 2;
    ends.reachedPa[0] = 3e5;
    ends.reachedPa[1] = 2e5;
    force.measure();
    // [source: statics: p A on both faces, the air on the rod's section]
    expect(force.gasN[0] / (3e5 * bore - 2e5 * (bore - rod) - airPa * rod)).toBeCloseTo(1, 9);
    const single = underPressure(oscillating12mm(), 0);
    single.ends.reachedPa[0] = 0.5e5;
    single.force.measure();
    expect(single.force.gasN[0] / ((0.5e5 - airPa) * bore)).toBeCloseTo(1, 9);
  });

  it("inertia pulls the rod at head-end dead centre and pushes it at the other, by m r w2 (1 +- 1/n)", () => {
    // [source: textbook slider-crank: acceleration r w2 (cos t + cos 2t / n), exact at the dead centres]
    const description = layout([0], 6);
    const { force, at, voice } = underPressure(description, 0, 250);
    const r = 12 * 0.0254;
    force.speedRadPerS = 20;
    force.accelerationRadPerS2 = 3;
    at(0);
    force.record();
    expect(voice.rodForceN[0] / (-250 * r * 400 * (1 + 1 / 6))).toBeCloseTo(1, 9);
    expect(voice.pistonMPerS[0]).toBeCloseTo(0, 12);
    at(Math.PI);
    force.record();
    expect(voice.rodForceN[0] / (250 * r * 400 * (1 - 1 / 6))).toBeCloseTo(1, 9);
  });

  it("the rods' forces at a steady turn leave the work of the gas as it is", () => {
    // [source: conservation of energy: masses that come back give back]
    const { force, at, voice, motion } = underPressure(layout([0], 5), 4e5, 250);
    force.speedRadPerS = 25;
    force.accelerationRadPerS2 = 0;
    let rods = 0;
    let gas = 0;
    for (let i = 0; i < 3600; i++) {
      gas += at(((i + 0.5) * 2 * Math.PI) / 3600);
      force.record();
      rods += voice.rodForceN[0] * motion.pistonMPerRad[0];
    }
    expect(rods / gas).toBeCloseTo(1, 9);
  });
});

describe("torque and the gas's own account", () => {
  it.each([
    ["the locomotive at 60 rpm", locomotive(), 60, 6],
    ["the locomotive at 220 rpm", locomotive(), 220, 6],
    ["the mill engine", millEngine(), 80, 4],
    ["the 12 mm slide-valve model", slideValve12mm(), 600, 8],
    ["the air model at 2000 rpm", airModel(), 2000, 12],
    ["the oscillating model", oscillating12mm(), 700, 8],
    ["the shipped condensing engine", presetMachine("lingmere-condensing").description, null, 4],
  ] as const)("%s: torque over the angle is the gas's work within 1e-3", (_, description, speedRpm, settle) => {
    const turning = new Turning(description, speedRpm === null ? {} : { speedRpm }).settle(settle);
    const { engine } = turning;
    const voice = new VoiceRecord(engine.ends.count, description.gear.crankAnglesRad.length);
    const force = new CrankForce(engine, description.gear, 0, airPa, voice);
    force.measure();
    let lastNm = force.torqueNm;
    let lastRad = engine.motion.shaftRad[0];
    let torqueJ = 0;
    const { workJ } = turning.turns(2, () => {
      force.measure();
      const rad = engine.motion.shaftRad[0];
      // The run counts its angle on from a full turn less the last tick.
      torqueJ += 0.5 * (lastNm + force.torqueNm) * (rad - lastRad);
      lastNm = force.torqueNm;
      lastRad = rad;
    });
    const gasJ = workJ.reduce((sum, each) => sum + each, 0);
    expect(Math.abs(torqueJ / gasJ - 1)).toBeLessThan(1e-3);
  });
});

describe("a closed engine", () => {
  /** Air of 3 bar shut into both ends at mid stroke, and a flywheel let go near it. */
  function bounce(
    description: EngineDescription,
    flywheelKgM2: number,
    tickS: number,
    speedRadPerS: number,
    ticks: number,
  ) {
    const { gear } = description;
    const motion = new Motion(gear);
    const ends = new CylinderEnds(motion.ends.length, makeFluid("air"));
    const state = stateFromPressureTemperature({ name: "air" }, 3e5, 330);
    motion.process(Math.PI / 2);
    for (let i = 0; i < ends.count; i++) {
      ends.reset(i, motion.volumeM3[i], state.densityKgPerM3, state.internalEnergyJPerKg);
    }
    const voice = new VoiceRecord(ends.count, gear.crankAnglesRad.length);
    const force = new CrankForce({ motion, ends }, gear, 0.01 * flywheelKgM2, airPa, voice);
    const shaft = new Shaft(tickS, flywheelKgM2);
    force.measure();
    shaft.addedKgM2 = force.inertiaKgM2;
    shaft.reset(Math.PI / 2, speedRadPerS);
    const rodM2 = motion.pistonAreaM2[0] - motion.pistonAreaM2[1];
    // Of iron between its two half ticks, gas, and of the air that the rod drives out.
    const energy = () =>
      0.5 * shaft.inertiaKgM2 * shaft.beforeRadPerS * shaft.speedRadPerS +
      ends.energyJ.reduce((sum, each) => sum + each, 0) +
      airPa * rodM2 * gear.cylinder.strokeM * motion.pistonPositionRatio(1, motion.shaftRad[0]);
    const greatest: number[] = [];
    let swing = 0;
    let turnedBack = 0;
    let start = 0;
    const kinetic = shaft.energyJ;
    let worst = 0;
    for (let i = 0; i < ticks; i++) {
      force.measure();
      shaft.addedKgM2 = force.inertiaKgM2;
      shaft.addedKgM2PerRad = force.inertiaKgM2PerRad;
      shaft.driveNm = force.torqueNm;
      const before = shaft.speedRadPerS;
      shaft.advance();
      if (i === 0) start = energy();
      worst = Math.max(worst, Math.abs(energy() - start) / kinetic);
      if (before * shaft.speedRadPerS < 0) {
        turnedBack++;
        greatest.push(swing);
        swing = 0;
      }
      swing = Math.max(swing, Math.abs(shaft.angleRad - Math.PI / 2));
      ends.observe();
      motion.process(shaft.angleRad);
      ends.integrate(tickS, motion.volumeM3);
    }
    return { turnedBack, greatest, worst };
  }

  it.each([
    ["a 12 mm model", slideValve12mm(), 3e-6, 8, 48_000],
    ["a mill engine", millEngine(), 4000, 2, 480_000],
  ])(
    "%s bounces on what is shut in: no swing gains, none loses more than 5e-5",
    (_, description, flywheelKgM2, speed, ticks) => {
      const { turnedBack, greatest, worst } = bounce(description, flywheelKgM2, 1 / 12_000, speed, ticks);
      expect(turnedBack).toBeGreaterThan(20);
      // Every second swing goes the same way.
      const swings = greatest.filter((_, i) => i > 1 && i % 2 === 0);
      const changePerSwing = Math.log(swings[swings.length - 1] / swings[0]) / (swings.length - 1);
      expect(changePerSwing).toBeLessThan(1e-7);
      expect(changePerSwing).toBeGreaterThan(-5e-5);
      // Of the energy of the swing, over some hundred of them.
      expect(worst).toBeLessThan(0.05);
    },
  );
});
