import { BOUNDARY_23_COEFFICIENTS, REGION_4_COEFFICIENTS } from "./if97-coefficients.js";
import { liquidEquation, vapourEquation } from "./if97-equations.js";
import type { WaterProperties } from "./if97-equations.js";
import { requireBetween } from "./require-between.js";

/** Lowest temperature of the formulation. [source: IAPWS R7-97(2012), section 1] */
export const LOWEST_WATER_TEMPERATURE_K = 273.15;

/** Where region 1 ends and region 3 begins. [source: IAPWS R7-97(2012), section 3] */
export const HIGHEST_LIQUID_TEMPERATURE_K = 623.15;

/** Where region 2 ends and region 5 begins. [source: IAPWS R7-97(2012), section 3] */
export const HIGHEST_VAPOUR_TEMPERATURE_K = 1073.15;

/** Critical temperature, upper end of the saturation line. [source: IAPWS R7-97(2012), eq. 2] */
export const CRITICAL_TEMPERATURE_K = 647.096;

/** Critical pressure, upper end of the saturation line. [source: IAPWS R7-97(2012), eq. 3] */
export const CRITICAL_PRESSURE_PA = 22.064e6;

/** Highest pressure of regions 1 and 2. [source: IAPWS R7-97(2012), section 1] */
export const HIGHEST_WATER_PRESSURE_PA = 100e6;

/** Saturation pressure at the lowest temperature, Pa. [source: IAPWS R7-97(2012), section 8.2] */
export const LOWEST_SATURATION_PRESSURE_PA = 611.213;

const [n1, n2, n3, n4, n5, n6, n7, n8, n9, n10] = REGION_4_COEFFICIENTS;

/**
 * Pressure at which water of this temperature boils. IF97 region 4.
 *
 * @param temperatureK 273.15 to 647.096 K; outside: RangeError
 * @returns Pa, absolute
 * [source: IAPWS R7-97(2012), eq. 30]
 */
export function saturationPressurePa(temperatureK: number): number {
  const hint = "Above the critical temperature there is no boiling; use vapourProperties.";
  requireBetween(
    "saturationPressurePa",
    "temperatureK",
    temperatureK,
    LOWEST_WATER_TEMPERATURE_K,
    CRITICAL_TEMPERATURE_K,
    "K",
    hint,
  );
  return saturationEquation(temperatureK);
}

/** The saturation line with no range check: a few kelvins below 273.15 K it still runs on smoothly. K to Pa. */
export function saturationEquation(temperatureK: number): number {
  const theta = temperatureK + n9 / (temperatureK - n10);
  const a = theta * theta + n1 * theta + n2;
  const b = n3 * theta * theta + n4 * theta + n5;
  const c = n6 * theta * theta + n7 * theta + n8;
  const root = (2 * c) / (-b + Math.sqrt(b * b - 4 * a * c));
  return 1e6 * root * root * (root * root);
}

/**
 * Temperature at which water boils under this pressure. IF97 region 4.
 *
 * @param pressurePa absolute, 611.213 Pa to 22.064 MPa; outside: RangeError
 * @returns K
 * [source: IAPWS R7-97(2012), eq. 31]
 */
export function saturationTemperatureK(pressurePa: number): number {
  const hint = "Is it an absolute pressure in pascals?";
  requireBetween(
    "saturationTemperatureK",
    "pressurePa",
    pressurePa,
    LOWEST_SATURATION_PRESSURE_PA,
    CRITICAL_PRESSURE_PA,
    "Pa",
    hint,
  );
  const beta2 = Math.sqrt(pressurePa / 1e6);
  const beta = Math.sqrt(beta2);
  const e = beta2 + n3 * beta + n6;
  const f = n1 * beta2 + n4 * beta + n7;
  const g = n2 * beta2 + n5 * beta + n8;
  const d = (2 * g) / (-f - Math.sqrt(f * f - 4 * e * g));
  const sum = n10 + d;
  return 0.5 * (sum - Math.sqrt(sum * sum - 4 * (n9 + n10 * d)));
}

// Both ways across the line agree to about 1e-9; a state put on it must not fall off by rounding.
const LINE_TOLERANCE_RATIO = 1e-7;

/**
 * Liquid water, IF97 region 1.
 *
 * @param temperatureK 273.15 to 623.15 K
 * @param pressurePa absolute, from the saturation pressure to 100 MPa; outside: RangeError
 */
export function liquidProperties(temperatureK: number, pressurePa: number): WaterProperties {
  const where = "liquidProperties";
  requireBetween(
    where,
    "temperatureK",
    temperatureK,
    LOWEST_WATER_TEMPERATURE_K,
    HIGHEST_LIQUID_TEMPERATURE_K,
    "K",
    "Hotter water is region 3, which is not built in.",
  );
  const lowest = saturationPressurePa(temperatureK) * (1 - LINE_TOLERANCE_RATIO);
  const hint = "Below the saturation pressure it is vapour; use vapourProperties.";
  requireBetween(where, "pressurePa", pressurePa, lowest, HIGHEST_WATER_PRESSURE_PA, "Pa", hint);
  return liquidEquation(temperatureK, pressurePa);
}

/**
 * Dry vapour, saturated or superheated, IF97 region 2.
 *
 * @param temperatureK 273.15 to 1073.15 K
 * @param pressurePa absolute, above 0, up to the saturation pressure (to 623.15 K), the border of region 3 (above it)
 *   and 100 MPa; outside: RangeError
 */
export function vapourProperties(temperatureK: number, pressurePa: number): WaterProperties {
  const where = "vapourProperties";
  requireBetween(
    where,
    "temperatureK",
    temperatureK,
    LOWEST_WATER_TEMPERATURE_K,
    HIGHEST_VAPOUR_TEMPERATURE_K,
    "K",
    "Is it in kelvin?",
  );
  const highest =
    temperatureK <= HIGHEST_LIQUID_TEMPERATURE_K
      ? saturationPressurePa(temperatureK) * (1 + LINE_TOLERANCE_RATIO)
      : Math.min(HIGHEST_WATER_PRESSURE_PA, region3BoundaryPa(temperatureK));
  const hint = "Above the saturation pressure it is liquid; use liquidProperties.";
  requireBetween(where, "pressurePa", pressurePa, Number.MIN_VALUE, highest, "Pa", hint);
  return vapourEquation(temperatureK, pressurePa);
}

/** Pressure above which steam hotter than 623.15 K is region 3. K to Pa. [source: IAPWS R7-97(2012), eq. 5] */
export function region3BoundaryPa(temperatureK: number): number {
  const [a, b, c] = BOUNDARY_23_COEFFICIENTS;
  return 1e6 * (a + temperatureK * (b + temperatureK * c));
}

/** Water just boiling under this pressure. @param pressurePa absolute, 611.213 Pa to 16.529 MPa; outside: RangeError */
export function saturatedLiquid(pressurePa: number): WaterProperties {
  return liquidProperties(saturationTemperatureK(pressurePa), pressurePa);
}

/** Dry saturated steam of this pressure. @param pressurePa absolute, 611.213 Pa to 16.529 MPa; outside: RangeError */
export function saturatedVapourProperties(pressurePa: number): WaterProperties {
  return vapourProperties(saturationTemperatureK(pressurePa), pressurePa);
}
