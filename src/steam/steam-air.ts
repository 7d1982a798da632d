import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K as AIR_R } from "../quantities/constants.js";
import { HIGHEST_VAPOUR_TEMPERATURE_K } from "./if97.js";
import { TRIPLE_POINT_K } from "./steam-table.js";
import { MIXED_AIR_ENERGY_J_PER_KG, MIXED_AIR_HEAT_J_PER_KG_K as AIR_HEAT } from "./mixed-air.js";
import type { WorkingFluid } from "./working-fluid.js";

/**
 * Air up to this share of the mass counts as steam wherever a state is looked up, in purer mixtures and in airier ones:
 * pressures are low or high by at most 2e-4, nothing jumps, and a machine at work pays nothing for the air it might hold.
 * [tuned: steam alone looks up as quickly as ever; pressure error 1e-4, 2026-11-25]
 */
export const UNCOUNTED_AIR_RATIO = 3e-4;

/** A share of air below this is none: the rounding of the mass it is part of. [source: IEEE 754-2019, 2^-52 is 2.2e-16] */
export const LEAST_AIR_RATIO = 1e-15;

/** Share of air that counts as such in a look-up: 0 up to `UNCOUNTED_AIR_RATIO`, from there to 1. */
export function countedAirRatio(airRatio: number): number {
  return airRatio > UNCOUNTED_AIR_RATIO ? (airRatio - UNCOUNTED_AIR_RATIO) / (1 - UNCOUNTED_AIR_RATIO) : 0;
}

// Steam thinner than this has energies like it, so its pressure is in proportion. [common practice: 250 Pa at 0 degC]
const thinnestKgPerM3 = 0.002;
// Less steam than this in air is taken as air too.
const leastSteamRatio = 1e-6;
// Heat that a kilogram of steam takes up beyond its tables: ice below, the last row above. [common practice: ice 2.05, steam at
// 1073 K about 2.0 kJ/(kg K) at constant volume]
const beyondJPerKgK = 2000;
// A step this small is right to a millionth of the pressure, even across the saturation line.
const smallestStepK = 1e-3;
const mostSteps = 40;
// No gas of a machine comes near this. [common practice]
const hottestK = 5000;

/**
 * Pressure and temperature of steam and air mixed in one volume, each as if it filled the room alone (Gibbs and Dalton). Both
 * have one temperature, found by Newton's rule from the last one: in the tables temperature is straight in energy within a
 * cell, so two looks are the rule. Wet mixtures hold water, saturated steam and air. Steam below 272.5 K is taken as ice
 * whose vapour keeps at most 600 Pa. Up to `UNCOUNTED_AIR_RATIO` steam's own `look` does.
 *
 * An owner fills `query` and calls `look`; nothing is handed over that would take room on the heap.
 */
export class SteamAir {
  /** Density of both together, kg/m3; their internal energy, J/kg of both; share of air; a temperature nearby, K. */
  readonly query = new Float64Array(4);

  /** @param steam as it does itself, `look` answers in its `answer`: energy short of dry saturation is per kilogram of both */
  constructor(private readonly steam: WorkingFluid) {}

  /** Answers the state in `query`. Any number is legal, NaN included. */
  look(): void {
    const { query, steam } = this;
    const { query: steamQuery, answer } = steam;
    const density = query[0]!;
    const energy = query[1]!;
    const air = countedAirRatio(query[2]!);
    const share = 1 - air;
    if (share < leastSteamRatio) {
      const t = TRIPLE_POINT_K + (energy - MIXED_AIR_ENERGY_J_PER_KG) / AIR_HEAT;
      answer[0] = density * AIR_R * t;
      answer[1] = t;
      answer[2] = 0;
      steam.isWet = 0;
      return;
    }
    const rangeCount = steam.outOfRangeCount;
    const steamDensity = density * share;
    const thinness = steamDensity < thinnestKgPerM3 ? steamDensity / thinnestKgPerM3 : 1;
    const perSteam = air / share;
    const airHeat = perSteam * AIR_HEAT;
    const steamEnergy = energy / share - perSteam * (MIXED_AIR_ENERGY_J_PER_KG - AIR_HEAT * TRIPLE_POINT_K);
    steamQuery[0] = thinness < 1 ? thinnestKgPerM3 : steamDensity;
    steam.hasSlopes = 1;
    let temperatureK = query[3]!;
    let stepK = 0;
    // Warmer air means colder steam, so the answer lies between the warmest guess that was too cold and the coldest too warm.
    let tooColdK = 0;
    let tooWarmK = hottestK;
    for (let k = 0; k < mostSteps; k++) {
      steamQuery[1] = steamEnergy - airHeat * temperatureK;
      answer[5] = 0;
      steam.look();
      const beyond = answer[5];
      const rise = beyond === 0 ? answer[3]! : 1 / beyondJPerKgK;
      stepK = (answer[1]! + beyond * rise - temperatureK) / (1 + airHeat * rise);
      if (!(stepK > smallestStepK || stepK < -smallestStepK)) {
        temperatureK += stepK;
        break;
      }
      if (stepK > 0) tooColdK = temperatureK;
      else tooWarmK = temperatureK;
      const next = temperatureK + stepK;
      temperatureK = next > tooColdK && next < tooWarmK ? next : 0.5 * (tooColdK + tooWarmK);
    }
    steam.hasSlopes = 0;
    // What the last step still changes, straight within the cell; beyond the table in proportion to the temperature.
    const steamPa =
      answer[5]! !== 0 ? (answer[0]! * temperatureK) / answer[1]! : answer[0]! - answer[4]! * airHeat * stepK;
    answer[0] = thinness * steamPa + density * air * AIR_R * temperatureK;
    answer[1] = temperatureK;
    answer[2] = share * answer[2]!;
    // Cold is within the range of a mixture; heat above the tables is counted once, not once a step.
    steam.outOfRangeCount = temperatureK < HIGHEST_VAPOUR_TEMPERATURE_K ? rangeCount : rangeCount + 1;
  }
}
