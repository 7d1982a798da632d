import { stateFromPressureEnthalpy } from "./state-from.js";
import type { NamedFluid } from "./state-from.js";

// Between the densest dry steam (114 kg/m3 at 165 bar) and the lightest water (594 kg/m3 there).
const DENSITY_BETWEEN_PHASES = 300;

/**
 * The calorically perfect gas that fills the exhaust pipes of one machine: pressure = density R T,
 * enthalpy = cp T + offset, cp = R k / (k - 1), speed of sound = sqrt(k R T).
 */
export interface PipeGas {
  readonly gasConstantJPerKgK: number;
  readonly isentropicExponent: number;
  /** At constant pressure. */
  readonly specificHeatJPerKgK: number;
  /** Added to cp T, it gives the enthalpy of the working-fluid tables. */
  readonly enthalpyOffsetJPerKg: number;
}

/**
 * The perfect gas that equals the working fluid in density, temperature and enthalpy at one state, wet or dry.
 *
 * Its exponent is that of the dry vapour there: droplets move with the wave and exchange no heat within it. For
 * enthalpies 40 kJ/kg either way it departs from superheated steam and air by 0.01 % of density and under 1 K. Wet steam
 * keeps its temperature where the gas does not: 23 K and, since condensing takes volume less than cooling, 4.5 % of density.
 *
 * @param pressurePa absolute, the mean in the pipes
 * @param enthalpyJPerKg mean of what leaves the cylinders, as the working-fluid tables count it; liquid: RangeError
 */
export function fitPipeGas(fluid: NamedFluid, pressurePa: number, enthalpyJPerKg: number): PipeGas {
  const state = stateFromPressureEnthalpy(fluid, pressurePa, enthalpyJPerKg);
  if (fluid.name === "steam" && state.qualityRatio === null && state.densityKgPerM3 > DENSITY_BETWEEN_PHASES)
    throw new RangeError(
      `fitPipeGas: enthalpyJPerKg must be that of steam, got ${enthalpyJPerKg} J/kg at ${pressurePa} Pa, which is water. ` +
        "Was an enthalpy of the air given?",
    );
  const volume = 1 / state.densityKgPerM3;
  const gasConstant = (pressurePa * volume) / state.temperatureK;
  // Of wet steam the states' own speed of sound is already that of the dry vapour with idle droplets.
  const exponent = (state.soundSpeedMPerS * state.soundSpeedMPerS) / (pressurePa * volume);
  const specificHeat = (gasConstant * exponent) / (exponent - 1);
  return {
    gasConstantJPerKgK: gasConstant,
    isentropicExponent: exponent,
    specificHeatJPerKgK: specificHeat,
    enthalpyOffsetJPerKg: enthalpyJPerKg - specificHeat * state.temperatureK,
  };
}
