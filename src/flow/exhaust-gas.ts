import type { PipeGas } from "../steam/pipe-gas.js";

/**
 * The gas in the exhaust pipes and its bargain with the real fluid in the cylinders.
 *
 * The pipes carry one calorically perfect gas. What enters them is given the temperature at which that gas has the real
 * fluid's specific volume after throttling to the pipe's pressure (wet steam: the mixture's), so density and wave speed
 * are right both for dry and for wet exhaust. The rest of the real enthalpy travels as a latent share, well mixed over the
 * network: what crosses a port or a mouth carries the real enthalpy, and energy closes exactly.
 */
export class ExhaustGas {
  readonly gas: PipeGas;
  /** Latent energy per unit mass now in the network, J/kg. Kept by the network. */
  latentJPerKg = 0;
  /** How many enthalpies lay beyond the table. Anyone may set it back to 0. */
  outOfRangeCount = 0;
  private readonly pipeEnthalpyJPerKg: Float64Array;
  private readonly firstJPerKg: number;
  private readonly perStep: number;

  /**
   * @param specificWorkAt pressure x specific volume, J/kg, of the real fluid at the pipe's mean pressure and a real
   * enthalpy in J/kg; called at set-up only, with `enthalpyCount` values from `firstJPerKg` to `lastJPerKg`
   */
  constructor(
    gas: PipeGas,
    specificWorkAt: (enthalpyJPerKg: number) => number,
    firstJPerKg: number,
    lastJPerKg: number,
    enthalpyCount: number,
  ) {
    this.gas = gas;
    this.firstJPerKg = firstJPerKg;
    this.perStep = (enthalpyCount - 1) / (lastJPerKg - firstJPerKg);
    this.pipeEnthalpyJPerKg = new Float64Array(enthalpyCount);
    const scale = gas.isentropicExponent / (gas.isentropicExponent - 1);
    for (let i = 0; i < enthalpyCount; i++) {
      this.pipeEnthalpyJPerKg[i] = scale * specificWorkAt(firstJPerKg + i / this.perStep);
    }
  }

  /** Stagnation enthalpy that the pipe gas is given for a real one, J/kg; held at the ends of the table. */
  pipeEnthalpyFor(enthalpyJPerKg: number): number {
    const table = this.pipeEnthalpyJPerKg;
    const at = (enthalpyJPerKg - this.firstJPerKg) * this.perStep;
    const last = table.length - 1;
    if (!(at > 0 && at < last)) {
      this.outOfRangeCount++;
      return at >= last ? table[last]! : table[0]!;
    }
    const i = at | 0;
    const low = table[i]!;
    return low + (at - i) * (table[i + 1]! - low);
  }
}
