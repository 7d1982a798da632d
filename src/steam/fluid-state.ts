/** All that is wanted of one state at set-up time, per kilogram. */
export interface FluidState {
  readonly pressurePa: number;
  readonly temperatureK: number;
  readonly densityKgPerM3: number;
  readonly internalEnergyJPerKg: number;
  readonly enthalpyJPerKg: number;
  /** Steam: zero for liquid at the triple point. Air: zero at 273.15 K and 101 325 Pa. */
  readonly entropyJPerKgK: number;
  /** Mass of vapour to mass of all: 0 boiling liquid, 1 dry saturated; `null` off the saturation line, and for air. */
  readonly qualityRatio: number | null;
  /** Of wet steam: its droplets move with the wave but exchange no heat within it. */
  readonly soundSpeedMPerS: number;
}

/** Finds the temperature at which a rising property has a value: Newton, kept within a bracket that shrinks. */
export function solveTemperatureK(
  target: number,
  lowestK: number,
  highestK: number,
  startK: number,
  valueAt: (temperatureK: number) => number,
  slopeAt: (temperatureK: number) => number,
): number {
  let low = lowestK;
  let high = highestK;
  let temperatureK = Math.min(high, Math.max(low, startK));
  for (let k = 0; k < 60; k++) {
    const error = valueAt(temperatureK) - target;
    if (error > 0) high = temperatureK;
    else low = temperatureK;
    let next = temperatureK - error / slopeAt(temperatureK);
    if (!(next >= low && next <= high)) next = 0.5 * (low + high);
    const isSettled = Math.abs(next - temperatureK) < 1e-10 * temperatureK;
    temperatureK = next;
    if (isSettled) break;
  }
  return temperatureK;
}
