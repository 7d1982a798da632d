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
