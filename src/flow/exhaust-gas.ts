import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K } from "../quantities/constants.js";
import { mixedAirEnthalpyJPerKg } from "../steam/mixed-air.js";
import type { PipeGas } from "../steam/pipe-gas.js";

// Less steam than this in air leaves no trace. [common practice]
const leastSteamRatio = 1e-6;

/**
 * The gas in the exhaust pipes and its bargain with the real fluid in the cylinders.
 *
 * The pipes carry one calorically perfect gas. What enters them is given the temperature at which that gas has the real
 * fluid's specific volume after throttling to the pipe's pressure (wet steam: the mixture's), so density and wave speed
 * are right both for dry and for wet exhaust. The rest of the real enthalpy travels as a latent share, well mixed over the
 * network: what crosses a port or a mouth carries the real enthalpy, and energy closes exactly. Air among the steam of a
 * steam machine goes from cell to cell with the gas.
 */
export class ExhaustGas {
  readonly gas: PipeGas;
  /** Latent energy per unit mass of the steam, or the only fluid, now in the network, J/kg. Kept by the network. */
  latentJPerKg = 0.5;
  /** By how much that of air among the steam is higher, J/kg. */
  airLatentRiseJPerKg = 0.5;
  /** What `mix` reads: real enthalpy, J/kg of all; temperature, K; share of air. */
  readonly mixtureQuery = new Float64Array(3);
  /** What `mix` writes: enthalpy that the pipe gas is given, J/kg. */
  readonly mixtureAnswer = new Float64Array(1);
  /** How many enthalpies lay beyond the table. Anyone may set it back to 0. */
  outOfRangeCount = 0;
  private readonly pipeEnthalpyJPerKg: Float64Array;
  private readonly firstJPerKg: number;
  private readonly perStep: number;
  private readonly perSpecificWork: number;

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
    const scale = (this.perSpecificWork = gas.isentropicExponent / (gas.isentropicExponent - 1));
    for (let i = 0; i < enthalpyCount; i++) {
      this.pipeEnthalpyJPerKg[i] = scale * specificWorkAt(firstJPerKg + i / this.perStep);
    }
    // Begun with halves, the fields hold doubles for good.
    this.latentJPerKg = this.airLatentRiseJPerKg = 0;
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

  /** The same for a place in an array, written to a place in another: a running owner hands over no number. */
  look(enthalpyJPerKg: Float64Array, from: number, pipeEnthalpyJPerKg: Float64Array, to: number): void {
    const table = this.pipeEnthalpyJPerKg;
    const at = (enthalpyJPerKg[from]! - this.firstJPerKg) * this.perStep;
    const last = table.length - 1;
    if (!(at > 0 && at < last)) {
      this.outOfRangeCount++;
      pipeEnthalpyJPerKg[to] = at >= last ? table[last]! : table[0]!;
      return;
    }
    const i = at | 0;
    pipeEnthalpyJPerKg[to] = table[i]! + (at - i) * (table[i + 1]! - table[i]!);
  }

  /** The same for air of a temperature: its specific volume does not change on throttling. */
  airPipeEnthalpy(temperatureK: number): number {
    return this.perSpecificWork * DRY_AIR_GAS_CONSTANT_J_PER_KG_K * temperatureK;
  }

  /** The same as `pipeEnthalpyFor` for the mixture of steam and air in `mixtureQuery`: each has the volume that it would have alone, side by side. */
  mix(): void {
    const query = this.mixtureQuery;
    const temperatureK = query[1]!;
    const air = query[2]!;
    if (!(air > 0)) {
      this.look(query, 0, this.mixtureAnswer, 0);
      return;
    }
    const steam = 1 - air;
    const airPart = air * this.perSpecificWork * DRY_AIR_GAS_CONSTANT_J_PER_KG_K * temperatureK;
    if (steam < leastSteamRatio) {
      this.mixtureAnswer[0] = airPart;
      return;
    }
    const enthalpy = (query[0]! - air * mixedAirEnthalpyJPerKg(temperatureK)) / steam;
    if (enthalpy > this.firstJPerKg) {
      query[0] = enthalpy;
      this.look(query, 0, this.mixtureAnswer, 0);
      this.mixtureAnswer[0] = airPart + steam * this.mixtureAnswer[0]!;
      return;
    }
    // Beside air there may be much water: it goes on down the line, to where no steam is left.
    const table = this.pipeEnthalpyJPerKg;
    const wet = table[0]! + (enthalpy - this.firstJPerKg) * this.perStep * (table[1]! - table[0]!);
    this.mixtureAnswer[0] = airPart + (wet > 0 ? steam * wet : 0);
  }
}
