import { airFromPressureEnthalpy, airFromPressureEntropy, airFromPressureTemperature } from "./air-states.js";
import type { FluidState } from "./fluid-state.js";
import { steamFromPressureEnthalpy, steamFromPressureEntropy, steamFromPressureTemperature } from "./steam-states.js";

/** What these functions must know of a fluid; every `WorkingFluid` is one. */
export interface NamedFluid {
  readonly name: "steam" | "air";
}

/**
 * The state of a pressure and temperature. Steam colder than boiling is liquid water; on the line, dry saturated.
 * For set-up: allocates. Pa absolute, K; outside the fluid's range: RangeError.
 */
export function stateFromPressureTemperature(fluid: NamedFluid, pressurePa: number, temperatureK: number): FluidState {
  return fluid.name === "steam"
    ? steamFromPressureTemperature(pressurePa, temperatureK)
    : airFromPressureTemperature(pressurePa, temperatureK);
}

/** The state of a pressure and enthalpy, wet steam included. For set-up. Pa absolute, J/kg; out of range: RangeError. */
export function stateFromPressureEnthalpy(fluid: NamedFluid, pressurePa: number, enthalpyJPerKg: number): FluidState {
  return fluid.name === "steam"
    ? steamFromPressureEnthalpy(pressurePa, enthalpyJPerKg)
    : airFromPressureEnthalpy(pressurePa, enthalpyJPerKg);
}

/** The state of a pressure and entropy, wet steam included. For set-up. Pa absolute, J/(kg K); out of range: RangeError. */
export function stateFromPressureEntropy(fluid: NamedFluid, pressurePa: number, entropyJPerKgK: number): FluidState {
  return fluid.name === "steam"
    ? steamFromPressureEntropy(pressurePa, entropyJPerKgK)
    : airFromPressureEntropy(pressurePa, entropyJPerKgK);
}

export { saturatedVapour } from "./steam-states.js";
