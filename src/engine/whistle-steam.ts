import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import { Rush } from "../flow/rush.js";
import type { WhistleDescription } from "./fittings-description.js";

/** Valve full open, over the slits of all bells: the whole travel of the lever can be played. [common practice] */
export const WHISTLE_VALVE_OVER_SLITS = 1.25;

const halvings = 24;

/** Area of one bell's slit, m2: a ring as wide as its bore. */
export function slitAreaM2(boreM: number, slitM: number): number {
  return Math.PI * boreM * slitM;
}

/**
 * Steam that a whistle draws: through its valve, as far as it is open, and on through the slits of its bells to the air. What
 * passes settles the pressure between. Throttling keeps the temperature, as of an ideal gas.
 *
 * @example
 * const steam = new WhistleSteam(whistle, 1.3, 101_325);
 * steam.boilerPa = 900_000;
 * steam.gasJPerKg = 461.5 * 448;
 * steam.openRatio = 0.5;
 * steam.measure(); // steam.massFlowKgPerS
 */
export class WhistleSteam {
  /** Absolute pressure and R T of the steam before the valve, and the valve, 0 shut to 1 open. */
  boilerPa = 0.5;
  gasJPerKg = 0.5;
  openRatio = 0.5;
  /** Results: drawn in all; below the slits; of the sheets that come out, once expanded. All 0 (the pressure that of the air) where nothing flows. */
  massFlowKgPerS = 0.5;
  slitPa = 0.5;
  jetMPerS = 0.5;
  /** Area of all slits. */
  readonly slitsM2: number;
  private readonly opening: Opening;
  private readonly rush: Rush;
  private readonly flowFactor: number;

  /** @param isentropicExponent of the steam, above 1 @param airPa absolute pressure outside */
  constructor(
    whistle: WhistleDescription,
    isentropicExponent: number,
    private readonly airPa: number,
  ) {
    let slitsM2 = 0;
    for (const { boreM } of whistle.bells) slitsM2 += slitAreaM2(boreM, whistle.slitM);
    this.slitsM2 = slitsM2;
    this.opening = new Opening(criticalPressureRatio(isentropicExponent));
    this.rush = new Rush(isentropicExponent);
    this.flowFactor = chokedFlowFactor(isentropicExponent);
    this.boilerPa = this.gasJPerKg = this.openRatio = 0;
    this.massFlowKgPerS = this.jetMPerS = 0;
    this.slitPa = airPa;
  }

  /** Fills the results from the other fields. */
  measure(): void {
    const { boilerPa, gasJPerKg, airPa, slitsM2, opening, rush, flowFactor } = this;
    const open = this.openRatio < 1 ? this.openRatio : 1;
    this.massFlowKgPerS = this.jetMPerS = 0;
    this.slitPa = airPa;
    if (!(open > 0 && boilerPa > airPa && boilerPa < Infinity && gasJPerKg > 0 && gasJPerKg < Infinity)) return;
    const fluxPerPa = flowFactor / Math.sqrt(gasJPerKg);
    const valveKgPerS = open * WHISTLE_VALVE_OVER_SLITS * slitsM2 * fluxPerPa * boilerPa;
    opening.impedancePaSPerKg = 0;
    let low = airPa;
    let high = boilerPa;
    let flow = 0;
    let between = airPa;
    for (let k = 0; k < halvings; k++) {
      between = 0.5 * (low + high);
      opening.upstreamPa = boilerPa;
      opening.downstreamPa = between;
      opening.chokedKgPerS = valveKgPerS;
      opening.solve();
      const inKgPerS = opening.flowKgPerS;
      opening.upstreamPa = between;
      opening.downstreamPa = airPa;
      opening.chokedKgPerS = slitsM2 * fluxPerPa * between;
      opening.solve();
      flow = opening.flowKgPerS;
      if (inKgPerS > flow) low = between;
      else high = between;
    }
    if (!(flow > 0)) return;
    this.massFlowKgPerS = flow;
    this.slitPa = between;
    rush.upstreamPa = between;
    rush.downstreamPa = airPa;
    rush.fluxKgPerSM2 = flow / slitsM2;
    rush.measure();
    this.jetMPerS = rush.jetMPerS;
  }
}
