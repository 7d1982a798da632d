import { criticalPressureRatio } from "./orifice.js";

/**
 * How hard gas rushes through an opening: the velocity head at its throat, the speed there, and that of the jet once it has
 * come to the pressure beyond. An owner sets the fields and calls `measure`; nothing takes room on the heap.
 *
 * Head: the fall of pressure, less what the gas thins on its way, at most the head of a choked throat. Jet: from the balance of momentum, which what is left
 * of the pressure at a choked throat goes on pushing. [source: gas-dynamics textbook forms]
 */
export class Rush {
  upstreamPa = 0.5;
  downstreamPa = 0.5;
  /** Mass flow over effective area, above 0. */
  fluxKgPerSM2 = 0.5;
  /** Results. */
  headPa = 0.5;
  throatMPerS = 0.5;
  jetMPerS = 0.5;

  private readonly criticalRatio: number;
  private readonly greatestHeadRatio: number;
  private readonly thinning: number;

  /** @param isentropicExponent of the gas, above 1 */
  constructor(isentropicExponent: number) {
    this.criticalRatio = criticalPressureRatio(isentropicExponent);
    // rho c^2 / 2 at the throat = exponent x throat pressure / 2.
    this.greatestHeadRatio = 0.5 * isentropicExponent * this.criticalRatio;
    // Head = fall x (1 - thinning x fall / pressure before) meets that of the choked throat; the isentropic head between is
    // within 2 % of it.
    const greatestFall = 1 - this.criticalRatio;
    this.thinning = (1 - this.greatestHeadRatio / greatestFall) / greatestFall;
    this.headPa = this.throatMPerS = this.jetMPerS = 0;
  }

  /** Fills the results from the other fields; all 0 where nothing flows. */
  measure(): void {
    const flux = this.fluxKgPerSM2;
    const drop = this.upstreamPa - this.downstreamPa;
    if (!(flux > 0 && drop > 0)) {
      this.headPa = this.throatMPerS = this.jetMPerS = 0;
      return;
    }
    const excess = this.criticalRatio * this.upstreamPa - this.downstreamPa;
    const head =
      excess > 0 ? this.greatestHeadRatio * this.upstreamPa : drop * (1 - (this.thinning * drop) / this.upstreamPa);
    const throat = (2 * head) / flux;
    this.headPa = head;
    this.throatMPerS = throat;
    this.jetMPerS = excess > 0 ? throat + excess / flux : throat;
  }
}
