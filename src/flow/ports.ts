/** What stands behind valve-controlled ports and what passes them: one place a port in every array. */
export interface Ports {
  /** Effective area: discharge coefficient x geometric. */
  readonly areaM2: Float64Array;
  /** Length of the slit that the valve's edge opens; 0 where the port is round. */
  readonly slitM: Float64Array;
  /** State of the cylinder end behind each port. Enthalpy is the real fluid's. */
  readonly pressurePa: Float64Array;
  readonly densityKgPerM3: Float64Array;
  readonly enthalpyJPerKg: Float64Array;
  readonly massKg: Float64Array;
  /** Temperature there, and share of air in its steam, 0 to 1; 0 where air is the working fluid. */
  readonly temperatureK: Float64Array;
  readonly airRatio: Float64Array;
  /** Result: flow out of the cylinder end into the pipe, the real enthalpy it carries, and the air in it. */
  readonly massFlowKgPerS: Float64Array;
  readonly enthalpyFlowW: Float64Array;
  readonly airFlowKgPerS: Float64Array;
}

/** Ports with arrays of their own. */
export function makePorts(count: number): Ports {
  const array = () => new Float64Array(count);
  return {
    areaM2: array(),
    slitM: array(),
    pressurePa: array(),
    densityKgPerM3: array(),
    enthalpyJPerKg: array(),
    massKg: array(),
    temperatureK: array(),
    airRatio: array(),
    massFlowKgPerS: array(),
    enthalpyFlowW: array(),
    airFlowKgPerS: array(),
  };
}
