import type { PipeGas } from "../steam/pipe-gas.js";
import type { FiniteVolumePipe } from "./finite-volume-pipe.js";

/**
 * Where the passages' right ends meet the blast pipe's left end: one pressure, mass closed exactly, and whoever receives
 * gas receives the mixed stagnation enthalpy of those who deliver.
 */
export class Junction {
  /** Junction pressure of the last tick. */
  pressurePa = 0;

  private mixedEnthalpy = 0;
  private readonly admittance: Float64Array;
  private readonly arrivalPa: Float64Array;
  private readonly flow: Float64Array;
  private readonly branchDensity: Float64Array;
  private readonly areaM2: Float64Array;

  constructor(
    private readonly incoming: readonly FiniteVolumePipe[],
    private readonly outgoing: FiniteVolumePipe,
    private readonly gas: PipeGas,
  ) {
    const n = incoming.length + 1;
    this.admittance = new Float64Array(n);
    this.arrivalPa = new Float64Array(n);
    this.flow = new Float64Array(n);
    this.branchDensity = new Float64Array(n);
    this.areaM2 = new Float64Array(n);
    for (let i = 0; i < n - 1; i++) this.areaM2[i] = incoming[i]!.rightAreaM2;
    this.areaM2[n - 1] = outgoing.leftAreaM2;
  }

  /** State only: settled at the outgoing pipe's pressure and temperature. */
  reset(): void {
    this.pressurePa = this.outgoing.leftPressurePa;
    const g = this.gas.isentropicExponent;
    this.mixedEnthalpy = ((g / (g - 1)) * this.outgoing.leftPressurePa) / this.outgoing.leftDensity;
  }

  /** Solves the junction and closes every branch end. */
  process(): void {
    const last = this.incoming.length;
    const g = this.gas.isentropicExponent;
    const mixedDensity = (this.pressurePa * g) / ((g - 1) * this.mixedEnthalpy);
    let weighted = 0;
    let sum = 0;
    for (let i = 0; i <= last; i++) {
      const pipe = i < last ? this.incoming[i]! : this.outgoing;
      const arrival = i < last ? pipe.rightArrivalPa : pipe.leftArrivalPa;
      const z = i < last ? pipe.rightImpedance : pipe.leftImpedance;
      const own = i < last ? pipe.rightDensity : pipe.leftDensity;
      const density = arrival > this.pressurePa ? own : mixedDensity;
      const y = (density * this.areaM2[i]!) / z;
      this.branchDensity[i] = density;
      this.arrivalPa[i] = arrival;
      this.admittance[i] = y;
      weighted += y * arrival;
      sum += y;
    }
    const pressurePa = weighted / sum;
    const gOverGm1 = g / (g - 1);
    let delivered = 0;
    let deliveredW = 0;
    let received = 0;
    for (let i = 0; i <= last; i++) {
      const flow = this.admittance[i]! * (this.arrivalPa[i]! - pressurePa);
      this.flow[i] = flow;
      if (flow > 0) {
        delivered += flow;
        deliveredW += flow * this.deliveredEnthalpy(i, pressurePa, flow, gOverGm1);
      } else received -= flow;
    }
    // Rounding leaves what is delivered and what is received a few bits apart; the receivers take it exactly.
    const share = received > 0 ? delivered / received : 1;
    const mixed = delivered > 0 ? deliveredW / delivered : this.mixedEnthalpy;
    for (let i = 0; i <= last; i++) {
      const area = this.areaM2[i]!;
      let flow = this.flow[i]!;
      let energyW: number;
      if (flow > 0) energyW = flow * this.deliveredEnthalpy(i, pressurePa, flow, gOverGm1);
      else {
        flow *= share;
        energyW = flow * mixed;
      }
      const u = flow / (this.branchDensity[i]! * area);
      if (i < last) this.incoming[i]!.closeRight(flow, u, pressurePa, energyW);
      else this.outgoing.closeLeft(-flow, -u, pressurePa, -energyW);
    }
    this.pressurePa = pressurePa;
    if (delivered > 0) this.mixedEnthalpy = mixed;
  }

  private deliveredEnthalpy(i: number, pressurePa: number, flow: number, gOverGm1: number): number {
    const isIncoming = i < this.incoming.length;
    const pipe = isIncoming ? this.incoming[i]! : this.outgoing;
    const cellDensity = isIncoming ? pipe.rightDensity : pipe.leftDensity;
    const cellPa = isIncoming ? pipe.rightPressurePa : pipe.leftPressurePa;
    const kappa = isIncoming ? pipe.rightCompressibility : pipe.leftCompressibility;
    const density = Math.max(cellDensity + kappa * (pressurePa - cellPa), 0.1 * cellDensity);
    const u = flow / (this.branchDensity[i]! * this.areaM2[i]!);
    return gOverGm1 * (pressurePa / density) + 0.5 * u * u;
  }
}
