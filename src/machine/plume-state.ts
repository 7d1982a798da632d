import {
  DRY_AIR_GAS_CONSTANT_J_PER_KG_K as airR,
  DRY_AIR_ISENTROPIC_EXPONENT as airExponent,
} from "../quantities/constants.js";
import { saturatedLiquid, saturationPressurePa } from "../steam/if97.js";
import { mixedAirEnthalpyJPerKg } from "../steam/mixed-air.js";
import { saturatedVapour, stateFromPressureEnthalpy, stateFromPressureTemperature } from "../steam/state-from.js";

const vapourR = 461.526; // [source: IAPWS R7-97, J/(kg K)]
const tripleK = 273.16; // [source: IAPWS R7-97]
const hottestK = 1073;
// Enthalpies of steam and water beyond these are none of an exhaust's. [common practice: 0.5 to 800 degrees at one bar]
const leastJPerKg = 2e3;
const mostJPerKg = 4.1e6;
// Less of the one in the other leaves no trace in a plume. [common practice]
const leastShare = 1e-4;
const halvings = 40;

/** Temperature, and the share of the steam that is water: 0 none, 1 all. */
export interface PlumeState {
  readonly temperatureK: number;
  readonly waterRatio: number;
}

/**
 * Steam, wet or not, with or without air among it, in equilibrium (Gibbs and Dalton).
 *
 * @param enthalpyJPerKg of both, air counted as `mixedAirEnthalpyJPerKg` does
 * @param airRatio share of the mass, 0 to 1
 */
export function steamPlumeState(pressurePa: number, enthalpyJPerKg: number, airRatio: number): PlumeState {
  if (!(airRatio > leastShare)) {
    const held = Math.min(mostJPerKg, Math.max(leastJPerKg, enthalpyJPerKg));
    const state = stateFromPressureEnthalpy({ name: "steam" }, pressurePa, held);
    const isLiquid = state.qualityRatio === null && state.densityKgPerM3 > 100;
    return { temperatureK: state.temperatureK, waterRatio: isLiquid ? 1 : 1 - (state.qualityRatio ?? 1) };
  }
  const steamRatio = 1 - airRatio;
  if (steamRatio < leastShare) {
    const rise = enthalpyJPerKg - mixedAirEnthalpyJPerKg(tripleK);
    return { temperatureK: tripleK + rise * ((airExponent - 1) / (airExponent * airR)), waterRatio: 0 };
  }
  let cold = tripleK;
  let hot = hottestK;
  for (let k = 0; k < halvings; k++) {
    const middle = 0.5 * (cold + hot);
    if (plumeEnthalpyJPerKg(pressurePa, middle, airRatio) < enthalpyJPerKg) cold = middle;
    else hot = middle;
  }
  const temperatureK = 0.5 * (cold + hot);
  return { temperatureK, waterRatio: 1 - vapourKgPerKg(pressurePa, temperatureK, airRatio) / steamRatio };
}

/** Enthalpy of steam and air together at a temperature, J/kg of both. */
export function plumeEnthalpyJPerKg(pressurePa: number, temperatureK: number, airRatio: number): number {
  const steamRatio = 1 - airRatio;
  const vapour = vapourKgPerKg(pressurePa, temperatureK, airRatio);
  const air = airRatio * mixedAirEnthalpyJPerKg(temperatureK);
  if (vapour < steamRatio) {
    const linePa = saturationPressurePa(temperatureK);
    const wet = (steamRatio - vapour) * saturatedLiquid(linePa).enthalpyJPerKg;
    return air + vapour * saturatedVapour(linePa).enthalpyJPerKg + wet;
  }
  const vapourPa = (pressurePa * vapour * vapourR) / (vapour * vapourR + airRatio * airR);
  return air + vapour * stateFromPressureTemperature({ name: "steam" }, vapourPa, temperatureK).enthalpyJPerKg;
}

// Vapour that the air can hold, or all the steam there is, in kg to a kilogram of both.
function vapourKgPerKg(pressurePa: number, temperatureK: number, airRatio: number): number {
  const steamRatio = 1 - airRatio;
  const boilingK = 647;
  if (temperatureK > boilingK) return steamRatio;
  const linePa = saturationPressurePa(temperatureK);
  if (linePa >= pressurePa) return steamRatio;
  return Math.min(steamRatio, (airRatio * airR * linePa) / (vapourR * (pressurePa - linePa)));
}
