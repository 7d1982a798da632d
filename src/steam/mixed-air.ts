import {
  DRY_AIR_GAS_CONSTANT_J_PER_KG_K as R,
  DRY_AIR_ISENTROPIC_EXPONENT as k,
  STANDARD_ATMOSPHERE_PA,
  ZERO_CELSIUS_K,
} from "../quantities/constants.js";
import { log } from "../quantities/portable-maths.js";
import type { FluidState } from "./fluid-state.js";
import { TRIPLE_POINT_K } from "./steam-table.js";

// Air that is mixed with steam. Its energy is counted from that of dry saturated steam at the triple point, which is free to
// choose since air does not turn into steam: so a little of it may count as steam, and steam in air as air, with hardly an
// error; and what comes back from pipes of well mixed gas has about its own energy whichever of the two it was.

/** Specific heat at constant volume, J/(kg K): perfect gas of exponent 1.4. [source: ISO 2533:1975, 2.1; R / (k - 1)] */
export const MIXED_AIR_HEAT_J_PER_KG_K = R / (k - 1);

/** Internal energy of mixed air at the triple point of water. [source: IAPWS R7-97, dry saturated steam at 273.16 K, 2374.9 kJ/kg] */
export const MIXED_AIR_ENERGY_J_PER_KG = 2.3749e6;

/** Internal energy of the air in a mixture with steam, J/kg. */
export function mixedAirEnergyJPerKg(temperatureK: number): number {
  return MIXED_AIR_ENERGY_J_PER_KG + MIXED_AIR_HEAT_J_PER_KG_K * (temperatureK - TRIPLE_POINT_K);
}

/** Enthalpy of the air in a mixture with steam, J/kg: what every flow of air in a steam machine carries. */
export function mixedAirEnthalpyJPerKg(temperatureK: number): number {
  return mixedAirEnergyJPerKg(temperatureK) + R * temperatureK;
}

/** Air as a steam machine draws it in, energies counted as in its mixtures with steam; entropy as that of air. For set-up. */
export function mixedAirState(pressurePa: number, temperatureK: number): FluidState {
  return {
    pressurePa,
    temperatureK,
    densityKgPerM3: pressurePa / (R * temperatureK),
    internalEnergyJPerKg: mixedAirEnergyJPerKg(temperatureK),
    enthalpyJPerKg: mixedAirEnthalpyJPerKg(temperatureK),
    entropyJPerKgK:
      (k / (k - 1)) * R * log(temperatureK / ZERO_CELSIUS_K) - R * log(pressurePa / STANDARD_ATMOSPHERE_PA),
    qualityRatio: null,
    soundSpeedMPerS: Math.sqrt(k * R * temperatureK),
  };
}
