import {
  DRY_AIR_GAS_CONSTANT_J_PER_KG_K,
  DRY_AIR_ISENTROPIC_EXPONENT,
  ZERO_CELSIUS_K,
} from "../quantities/constants.js";
import { exp } from "../quantities/portable-maths.js";

interface Ambient {
  readonly pressurePa: number;
  readonly temperatureK: number;
  readonly humidityRatio: number;
}

const vapourGasConstant = 461.5; // [source: IAPWS R7-97, J/(kg K)]

/** Density of the outside air with its moisture, kg/m3. */
export function airDensityKgPerM3(ambient: Ambient): number {
  const vapourPa = vapourPressurePa(ambient);
  return (
    (ambient.pressurePa - vapourPa) / (DRY_AIR_GAS_CONSTANT_J_PER_KG_K * ambient.temperatureK) +
    vapourPa / (vapourGasConstant * ambient.temperatureK)
  );
}

/** Speed of sound of the outside air, m/s; moisture changes it by less than 0.4 % and is left out. */
export function airSoundSpeedMPerS(ambient: Ambient): number {
  return Math.sqrt(DRY_AIR_ISENTROPIC_EXPONENT * DRY_AIR_GAS_CONSTANT_J_PER_KG_K * ambient.temperatureK);
}

// [source: Magnus formula, WMO No. 8, from memory]
function vapourPressurePa(ambient: Ambient): number {
  const celsius = ambient.temperatureK - ZERO_CELSIUS_K;
  const saturation = 611.2 * exp((17.62 * celsius) / (243.12 + celsius));
  return Math.min(ambient.humidityRatio * saturation, 0.5 * ambient.pressurePa);
}
