import { describe, expect, it } from "vitest";
import { CylinderEnds } from "../../src/engine/cylinder-ends.js";
import { makeFluid } from "../../src/engine/engine-fluid.js";
import { Motion } from "../../src/gear/motion.js";
import type { FluidState } from "../../src/steam/fluid-state.js";
import {
  saturatedVapour,
  stateFromPressureEnthalpy,
  stateFromPressureEntropy,
  stateFromPressureTemperature,
} from "../../src/steam/state-from.js";
import { locomotive } from "./descriptions.js";

const stepS = 1 / 12_000;

/** Both ends of one cylinder, shut, turned by the crank from a shaft angle at which they hold gas of a state. */
function closed(fluidName: "steam" | "air", state: FluidState, fromRad: number, speedRpm: number) {
  const fluid = makeFluid(fluidName);
  const gear = { ...locomotive().gear, crankAnglesRad: [0] };
  const motion = new Motion(gear);
  const ends = new CylinderEnds(motion.ends.length, fluid);
  motion.process(fromRad);
  for (let i = 0; i < ends.count; i++) {
    ends.reset(i, motion.volumeM3[i], state.densityKgPerM3, state.internalEnergyJPerKg);
  }
  const ticks = Math.round(60 / speedRpm / stepS);
  const turn = (note: (tick: number) => void) => {
    for (let i = 1; i <= ticks; i++) {
      ends.observe();
      note(i - 1);
      motion.process(fromRad + (2 * Math.PI * i) / ticks);
      ends.integrate(stepS, motion.volumeM3);
    }
    ends.observe();
    note(ticks);
  };
  return { ends, motion, turn, fluid };
}

/** Pressure of an isentrope at a density. */
function isentropePa(fluidName: "steam" | "air", entropy: number, density: number, nearPa: number): number {
  let low = Math.log(0.8 * nearPa);
  let high = Math.log(1.25 * nearPa);
  for (let i = 0; i < 50; i++) {
    const middle = 0.5 * (low + high);
    if (stateFromPressureEntropy({ name: fluidName }, Math.exp(middle), entropy).densityKgPerM3 > density)
      high = middle;
    else low = middle;
  }
  return Math.exp(0.5 * (low + high));
}

const steam = { name: "steam" } as const;
const wetOneBar = (quality: number) => {
  const dry = saturatedVapour(1e5);
  // Heat of evaporation at 1 bar, 2257.5 kJ/kg. [source: IAPWS-IF97, saturation at 1 bar, from memory]
  return stateFromPressureEnthalpy(steam, 1e5, dry.enthalpyJPerKg - (1 - quality) * 2_257_500);
};

// Volumes run from the clearance to thirteen times it: from 1 bar at mid stroke both to pressure and to vacuum.
const gases: readonly (readonly [string, "steam" | "air", () => FluidState])[] = [
  ["steam superheated by 100 K", "steam", () => stateFromPressureTemperature(steam, 1e5, 473)],
  ["steam dry at 1 bar", "steam", () => saturatedVapour(1e5)],
  ["steam of 90 % dryness", "steam", () => wetOneBar(0.9)],
  ["steam of 70 % dryness", "steam", () => wetOneBar(0.7)],
  ["air at 1 bar", "air", () => stateFromPressureTemperature({ name: "air" }, 1e5, 330)],
];

describe("a closed cylinder compresses, draws a vacuum and bounces", () => {
  // [source: isentropes of IAPWS-IF97; of air as an ideal gas with its real heats]
  it.each(gases)("%s follows its isentrope and is back where it was after a turn", (name, fluidName, make) => {
    for (const speedRpm of [30, 300]) {
      const state = make();
      const { ends, turn } = closed(fluidName, state, Math.PI / 2, speedRpm);
      let lowest = Infinity;
      let highest = 0;
      let worst = 0;
      let firstPa = 0;
      let turnTick = 0;
      turn((tick) => {
        const pa = ends.pressurePa[0];
        if (tick === 0) firstPa = pa;
        lowest = Math.min(lowest, pa);
        highest = Math.max(highest, pa);
        if (tick % 97 === 0) {
          const exact = isentropePa(fluidName, state.entropyJPerKgK, ends.densityKgPerM3[0], pa);
          if (Math.abs(pa / exact - 1) > worst) {
            worst = Math.abs(pa / exact - 1);
            turnTick = tick;
          }
        }
      });
      const back = ends.pressurePa[0] / firstPa - 1;
      const workShare = Math.abs(ends.workJ[0]) / (ends.massKg[0] * state.internalEnergyJPerKg);
      console.log(
        `${name}, ${speedRpm} rpm: ${(lowest / 1e5).toFixed(3)} to ${(highest / 1e5).toFixed(2)} bar, off the isentrope by at most ` +
          `${(100 * worst).toFixed(3)} % (tick ${turnTick}); after a turn ${(100 * back).toExponential(1)} %, work ${workShare.toExponential(1)} of the energy`,
      );
      expect(lowest).toBeLessThan(0.6e5);
      expect(highest).toBeGreaterThan(5e5);
      expect(worst).toBeLessThan(0.001);
      expect(Math.abs(back)).toBeLessThan(1e-4);
    }
  });

  it("what the gas loses the piston gains, to the last digits", () => {
    const { ends, turn } = closed("steam", saturatedVapour(1e5), Math.PI / 2, 120);
    const before = Array.from(ends.energyJ);
    const masses = Array.from(ends.massKg);
    turn(() => {
      for (let i = 0; i < 2; i++) {
        expect(Math.abs(ends.energyJ[i] + ends.workJ[i] - before[i])).toBeLessThan(1e-11 * before[i]);
        expect(ends.massKg[i]).toBe(masses[i]);
      }
    });
  });

  it("the two ends bounce against each other: when one is compressed, the other draws a vacuum", () => {
    const { ends, turn } = closed("air", stateFromPressureTemperature({ name: "air" }, 1e5, 330), Math.PI / 2, 120);
    const head: number[] = [];
    const crank: number[] = [];
    turn(() => {
      head.push(ends.pressurePa[0]);
      crank.push(ends.pressurePa[1]);
    });
    const headLowest = head.indexOf(Math.min(...head));
    const crankHighest = crank.indexOf(Math.max(...crank));
    expect(Math.abs(headLowest - crankHighest)).toBeLessThanOrEqual(1);
  });
});
