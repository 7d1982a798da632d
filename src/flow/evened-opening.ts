import { chokedFlowFactor, criticalPressureRatio, Opening } from "./orifice.js";

/**
 * An opening between two bodies of gas, kept open for a step: it passes no more than makes their pressures equal. A loop sets
 * the fields and calls `solve`; nothing is handed over that would take room on the heap.
 */
export class EvenedOpening {
  /** Effective area. */
  areaM2 = 0.5;
  /** Of the body that stands higher. */
  upstreamPa = 0.5;
  upstreamKgPerM3 = 0.5;
  downstreamPa = 0.5;
  /** By so much the two pressures come together over the step for each kg/s that passes. */
  evenedPaSPerKg = 0.5;
  /** The result, never negative. */
  flowKgPerS = 0.5;
  /** Flows held to what makes the pressures equal. */
  heldCount = 0;

  private readonly opening: Opening;
  private readonly flowFactor: number;

  /** @param isentropicExponent of the gas that flows */
  constructor(isentropicExponent: number) {
    this.opening = new Opening(criticalPressureRatio(isentropicExponent));
    this.flowFactor = chokedFlowFactor(isentropicExponent);
    this.flowKgPerS = 0;
  }

  /** Fills `flowKgPerS` from the other fields: the mean over the step, for which half of the flow has come by its middle. */
  solve(): void {
    const { opening, upstreamPa, downstreamPa, evenedPaSPerKg } = this;
    opening.chokedKgPerS = this.areaM2 * this.flowFactor * Math.sqrt(upstreamPa * this.upstreamKgPerM3);
    opening.upstreamPa = upstreamPa;
    opening.downstreamPa = downstreamPa;
    opening.impedancePaSPerKg = 0.5 * evenedPaSPerKg;
    opening.solve();
    const flow = opening.flowKgPerS;
    const most = (upstreamPa - downstreamPa) / evenedPaSPerKg;
    if (flow > most) {
      this.flowKgPerS = most;
      this.heldCount++;
    } else this.flowKgPerS = flow;
  }
}
