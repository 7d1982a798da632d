import { liquidEquation, vapourEquation } from "./if97-equations.js";
import type { WaterProperties } from "./if97-equations.js";
import { saturationEquation } from "./if97.js";

export interface Saturation {
  readonly liquid: WaterProperties;
  readonly vapour: WaterProperties;
}

/** Boiling water and dry steam at a temperature, K. */
export function saturationAt(temperatureK: number): Saturation {
  const pressurePa = saturationEquation(temperatureK);
  return { liquid: liquidEquation(temperatureK, pressurePa), vapour: vapourEquation(temperatureK, pressurePa) };
}

/** Dry saturated vapour of a density; Newton along the line, whose slope dp/dT is Clapeyron's. */
export function dryStateOnLine(volume: number, startK: number): WaterProperties {
  let temperatureK = startK;
  for (let k = 0; k < 30; k++) {
    const { liquid, vapour } = saturationAt(temperatureK);
    const slope = (vapour.entropyJPerKgK - liquid.entropyJPerKgK) / (vapour.volumeM3PerKg - liquid.volumeM3PerKg);
    const error = vapour.volumeM3PerKg - volume;
    if (Math.abs(error) < 1e-11 * volume) return vapour;
    temperatureK -= error / (vapour.volumePerTemperature + vapour.volumePerPressure * slope);
  }
  return saturationAt(temperatureK).vapour;
}

/** Vapour of a density at a temperature. */
export function dryStateAtTemperature(volume: number, temperatureK: number, startPa: number): WaterProperties {
  let state = vapourEquation(temperatureK, startPa);
  for (let k = 0; k < 30 && Math.abs(state.volumeM3PerKg - volume) > 1e-12 * volume; k++) {
    const pressurePa = state.pressurePa - (state.volumeM3PerKg - volume) / state.volumePerPressure;
    state = vapourEquation(temperatureK, Math.max(pressurePa, 0.5 * state.pressurePa));
  }
  return state;
}

/**
 * Vapour of a density and internal energy, from a state nearby. Writes pressure and temperature to `found`; returns the
 * last state worked out, to start the next search from. Newton squares the error, so the last step needs no look back.
 */
export function findDryState(
  volume: number,
  energy: number,
  start: WaterProperties,
  found: Float64Array,
): WaterProperties {
  let state = start;
  for (let k = 0; k < 30; k++) {
    const { temperatureK: t, pressurePa: p, volumePerTemperature: vT, volumePerPressure: vP } = state;
    const uT = state.specificHeatJPerKgK - p * vT;
    const uP = -t * vT - p * vP;
    const dv = volume - state.volumeM3PerKg;
    const du = energy - state.internalEnergyJPerKg;
    const determinant = vP * uT - vT * uP;
    found[0] = p + (uT * dv - vT * du) / determinant;
    found[1] = t + (vP * du - uP * dv) / determinant;
    if (Math.abs(dv) < 3e-5 * volume && Math.abs(du) < 30) break;
    state = vapourEquation(found[1], found[0]);
  }
  return state;
}
