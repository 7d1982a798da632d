import { log } from "../quantities/portable-maths.js";
import {
  REGION_1_REDUCING,
  REGION_1_TERMS,
  REGION_2_IDEAL_TERMS,
  REGION_2_REDUCING,
  REGION_2_RESIDUAL_TERMS,
  WATER_GAS_CONSTANT_J_PER_KG_K as R,
} from "./if97-coefficients.js";

/** Properties of water or steam at one pressure and temperature, per kilogram. */
export interface WaterProperties {
  readonly temperatureK: number;
  readonly pressurePa: number;
  readonly volumeM3PerKg: number;
  readonly enthalpyJPerKg: number;
  readonly internalEnergyJPerKg: number;
  readonly entropyJPerKgK: number;
  /** At constant pressure. */
  readonly specificHeatJPerKgK: number;
  /** At constant volume. */
  readonly isochoricHeatJPerKgK: number;
  readonly soundSpeedMPerS: number;
  /** (dv/dp) at constant temperature, m3/(kg Pa). */
  readonly volumePerPressure: number;
  /** (dv/dT) at constant pressure, m3/(kg K). */
  readonly volumePerTemperature: number;
}

// The powers that the terms of both regions need; written afresh by each evaluation.
const LOWEST_POWER = -41;
const HIGHEST_POWER = 58;
const HIGHEST_POWER_OF_X = 32;
const powersOfX = new Float64Array(HIGHEST_POWER_OF_X + 1);
const powersOfY = new Float64Array(HIGHEST_POWER - LOWEST_POWER + 1);
// The last sum s and s_x, s_xx, s_y, s_yy, s_xy.
const sums = new Float64Array(6);

function fillPowers(table: Float64Array, x: number, lowest: number, highest: number): void {
  const zero = -lowest;
  table[zero] = 1;
  for (let k = 1; k <= highest; k++) table[zero + k] = table[zero + k - 1]! * x;
  for (let k = 1; k <= zero; k++) table[zero - k] = table[zero - k + 1]! / x;
}

/** Sum of n x^I y^J and its derivatives, into `sums`. */
function sumTerms(terms: readonly number[], x: number, y: number): void {
  fillPowers(powersOfX, x, 0, HIGHEST_POWER_OF_X);
  fillPowers(powersOfY, y, LOWEST_POWER, HIGHEST_POWER);
  let s = 0;
  let sx = 0;
  let sxx = 0;
  let sy = 0;
  let syy = 0;
  let sxy = 0;
  for (let k = 0; k < terms.length; k += 3) {
    const i = terms[k]!;
    const j = terms[k + 1]!;
    const term = terms[k + 2]! * powersOfX[i]! * powersOfY[j - LOWEST_POWER]!;
    s += term;
    sx += i * term;
    sxx += i * (i - 1) * term;
    sy += j * term;
    syy += j * (j - 1) * term;
    sxy += i * j * term;
  }
  sums[0] = s;
  sums[1] = sx / x;
  sums[2] = sxx / (x * x);
  sums[3] = sy / y;
  sums[4] = syy / (y * y);
  sums[5] = sxy / (x * y);
}

function propertiesFromGibbs(
  temperatureK: number,
  pressurePa: number,
  reducing: { readonly pressurePa: number; readonly temperatureK: number },
  g: number,
  gp: number,
  gpp: number,
  gt: number,
  gtt: number,
  gpt: number,
): WaterProperties {
  const tau = reducing.temperatureK / temperatureK;
  const rOverP = R / reducing.pressurePa;
  const volume = rOverP * temperatureK * gp;
  const enthalpy = R * reducing.temperatureK * gt;
  const cp = -R * tau * tau * gtt;
  const volumePerPressure = (rOverP * temperatureK * gpp) / reducing.pressurePa;
  const volumePerTemperature = rOverP * (gp - tau * gpt);
  const cv = cp + (temperatureK * volumePerTemperature * volumePerTemperature) / volumePerPressure;
  return {
    temperatureK,
    pressurePa,
    volumeM3PerKg: volume,
    enthalpyJPerKg: enthalpy,
    internalEnergyJPerKg: enthalpy - pressurePa * volume,
    entropyJPerKgK: R * (tau * gt - g),
    specificHeatJPerKgK: cp,
    isochoricHeatJPerKgK: cv,
    soundSpeedMPerS: volume * Math.sqrt(-cp / (cv * volumePerPressure)),
    volumePerPressure,
    volumePerTemperature,
  };
}

/** The region 1 equation (liquid) with no range check, for solvers whose steps may stray. K, Pa. */
export function liquidEquation(temperatureK: number, pressurePa: number): WaterProperties {
  const pi = pressurePa / REGION_1_REDUCING.pressurePa;
  const tau = REGION_1_REDUCING.temperatureK / temperatureK;
  sumTerms(REGION_1_TERMS, 7.1 - pi, tau - 1.222);
  // x falls as pi rises, so the odd derivatives change sign.
  return propertiesFromGibbs(
    temperatureK,
    pressurePa,
    REGION_1_REDUCING,
    sums[0]!,
    -sums[1]!,
    sums[2]!,
    sums[3]!,
    sums[4]!,
    -sums[5]!,
  );
}

/** The region 2 equation (vapour) with no range check, for solvers whose steps may stray. K, Pa, pressure above 0. */
export function vapourEquation(temperatureK: number, pressurePa: number): WaterProperties {
  const pi = pressurePa / REGION_2_REDUCING.pressurePa;
  const tau = REGION_2_REDUCING.temperatureK / temperatureK;
  sumTerms(REGION_2_RESIDUAL_TERMS, pi, tau - 0.5);
  const tau2 = tau * tau;
  const inverse2 = 1 / tau2;
  const powers = [
    (inverse2 * inverse2) / tau,
    inverse2 * inverse2,
    inverse2 / tau,
    inverse2,
    1 / tau,
    1,
    tau,
    tau2,
    tau2 * tau,
  ];
  let g = log(pi);
  let gt = 0;
  let gtt = 0;
  for (let k = 0; k < REGION_2_IDEAL_TERMS.length; k += 2) {
    const j = REGION_2_IDEAL_TERMS[k]!;
    const term = REGION_2_IDEAL_TERMS[k + 1]! * powers[j + 5]!;
    g += term;
    gt += j * term;
    gtt += j * (j - 1) * term;
  }
  return propertiesFromGibbs(
    temperatureK,
    pressurePa,
    REGION_2_REDUCING,
    g + sums[0]!,
    1 / pi + sums[1]!,
    -1 / (pi * pi) + sums[2]!,
    gt / tau + sums[3]!,
    gtt / tau2 + sums[4]!,
    sums[5]!,
  );
}
