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
  // One place a branch, the outgoing pipe last; flows are positive towards the junction.
  private readonly areaM2: Float64Array;
  private readonly arrivalPa: Float64Array;
  private readonly density: Float64Array;
  private readonly admittance: Float64Array;
  private readonly enthalpy: Float64Array;

  constructor(
    private readonly incoming: readonly FiniteVolumePipe[],
    private readonly outgoing: FiniteVolumePipe,
    private readonly gas: PipeGas,
  ) {
    const count = incoming.length + 1;
    this.areaM2 = Float64Array.from([...incoming.map((pipe) => pipe.rightAreaM2), outgoing.leftAreaM2]);
    this.arrivalPa = new Float64Array(count);
    this.density = new Float64Array(count);
    this.admittance = new Float64Array(count);
    this.enthalpy = new Float64Array(count);
  }

  /** State only: settled at the outgoing pipe's pressure and temperature. */
  reset(): void {
    this.pressurePa = this.outgoing.leftPressurePa;
    const g = this.gas.isentropicExponent;
    this.mixedEnthalpy = ((g / (g - 1)) * this.outgoing.leftPressurePa) / this.outgoing.leftDensity;
  }

  /** Solves the junction and closes every branch end. */
  process(): void {
    const { incoming, outgoing, areaM2, arrivalPa, density, admittance, enthalpy } = this;
    const last = incoming.length;
    const g = this.gas.isentropicExponent;
    const gOverGm1 = g / (g - 1);
    const before = this.pressurePa;
    const mixedDensity = (before * gOverGm1) / this.mixedEnthalpy;
    let weighted = 0;
    let sum = 0;
    for (let i = 0; i < last; i++) {
      const pipe = incoming[i]!;
      const arrival = pipe.rightArrivalPa;
      const branchDensity = arrival > before ? pipe.rightDensity : mixedDensity;
      const y = (branchDensity * areaM2[i]!) / pipe.rightImpedance;
      arrivalPa[i] = arrival;
      density[i] = branchDensity;
      admittance[i] = y;
      weighted += y * arrival;
      sum += y;
    }
    const outArrival = outgoing.leftArrivalPa;
    const outDensity = outArrival > before ? outgoing.leftDensity : mixedDensity;
    const outY = (outDensity * areaM2[last]!) / outgoing.leftImpedance;
    arrivalPa[last] = outArrival;
    density[last] = outDensity;
    admittance[last] = outY;
    const pressurePa = (weighted + outY * outArrival) / (sum + outY);

    let delivered = 0;
    let deliveredW = 0;
    let received = 0;
    for (let i = 0; i <= last; i++) {
      const flow = admittance[i]! * (arrivalPa[i]! - pressurePa);
      admittance[i] = flow;
      if (flow <= 0) {
        received -= flow;
        continue;
      }
      const isOut = i === last;
      const pipe = isOut ? outgoing : incoming[i]!;
      const cellDensity = isOut ? pipe.leftDensity : pipe.rightDensity;
      const cellPa = isOut ? pipe.leftPressurePa : pipe.rightPressurePa;
      const kappa = isOut ? pipe.leftCompressibility : pipe.rightCompressibility;
      const faceDensity = cellDensity + kappa * (pressurePa - cellPa);
      const least = 0.1 * cellDensity;
      const u = flow / (density[i]! * areaM2[i]!);
      const h = (gOverGm1 * pressurePa) / (faceDensity > least ? faceDensity : least) + 0.5 * u * u;
      enthalpy[i] = h;
      delivered += flow;
      deliveredW += flow * h;
    }
    // Rounding leaves what is delivered and what is received a few bits apart; the receivers take it exactly.
    const share = received > 0 ? delivered / received : 1;
    const mixed = delivered > 0 ? deliveredW / delivered : this.mixedEnthalpy;
    for (let i = 0; i <= last; i++) {
      let flow = admittance[i]!;
      let h = enthalpy[i]!;
      if (flow <= 0) {
        flow *= share;
        h = mixed;
      }
      const u = flow / (density[i]! * areaM2[i]!);
      if (i < last) incoming[i]!.closeRight(flow, u, pressurePa, flow * h);
      else outgoing.closeLeft(-flow, -u, pressurePa, -flow * h);
    }
    this.pressurePa = pressurePa;
    this.mixedEnthalpy = mixed;
  }
}
