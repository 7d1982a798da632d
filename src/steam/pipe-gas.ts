/**
 * The calorically perfect gas that fills the exhaust pipes of one machine: pressure = density R T,
 * enthalpy = cp T + offset, and an exponent of its own, which sets the speed of sound sqrt(k R T).
 */
export interface PipeGas {
  readonly gasConstantJPerKgK: number;
  readonly isentropicExponent: number;
  /** At constant pressure. */
  readonly specificHeatJPerKgK: number;
  /** Added to cp T, it gives the enthalpy of the working-fluid tables. */
  readonly enthalpyOffsetJPerKg: number;
}
