import type { Boiler } from "./boiler.js";
import { chokedFlowFactor, criticalPressureRatio, Opening } from "./orifice.js";
import { Rush } from "./rush.js";

/** An opening from a steam space to where it is colder: flow and jet. A loop sets the fields and calls `measure`. */
export class SteamOutlet {
  areaM2 = 0.5;
  gasPa = 0.5;
  gasKgPerM3 = 0.5;
  /** Of the gas. */
  volumeM3 = 0.5;
  /** Results, never negative. */
  flowKgPerS = 0.5;
  jetMPerS = 0.5;
  private readonly opening: Opening;
  private readonly rush: Rush;
  private readonly factor: number;

  constructor(
    private readonly exponent: number,
    private readonly outsidePa: number,
    /** For how long a flow is held: it never does more than make the pressures equal. */
    private readonly holdS: number,
  ) {
    this.opening = new Opening(criticalPressureRatio(exponent));
    this.rush = new Rush(exponent);
    this.factor = chokedFlowFactor(exponent);
    this.areaM2 = this.gasPa = this.flowKgPerS = this.jetMPerS = 0;
  }

  /** Reads the gas from a boiler's steam space. */
  see(boiler: Boiler): void {
    this.gasPa = boiler.pressurePa;
    this.gasKgPerM3 = boiler.gasKgPerM3;
    this.volumeM3 = boiler.steamSpaceM3;
  }

  /** Fills the results. */
  measure(): void {
    const { opening, rush, areaM2, gasPa, outsidePa, gasKgPerM3 } = this;
    if (!(areaM2 > 0 && gasPa > outsidePa && gasKgPerM3 > 0)) {
      this.flowKgPerS = this.jetMPerS = 0;
      return;
    }
    const perKg = (this.exponent * gasPa * this.holdS) / (gasKgPerM3 * this.volumeM3);
    opening.chokedKgPerS = areaM2 * this.factor * Math.sqrt(gasPa * gasKgPerM3);
    opening.upstreamPa = gasPa;
    opening.downstreamPa = outsidePa;
    opening.impedancePaSPerKg = 0.5 * perKg;
    opening.solve();
    const most = (gasPa - outsidePa) / perKg;
    const flow = opening.flowKgPerS;
    this.flowKgPerS = flow < most ? flow : most;
    rush.upstreamPa = gasPa;
    rush.downstreamPa = outsidePa;
    rush.fluxKgPerSM2 = this.flowKgPerS / areaM2;
    rush.measure();
    this.jetMPerS = rush.jetMPerS;
  }
}
