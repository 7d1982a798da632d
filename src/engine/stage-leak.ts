import { EvenedOpening } from "../flow/evened-opening.js";
import type { Vessel } from "../flow/vessel.js";

/** Past the valves of one stage, from the vessel that feeds it to the one that it exhausts into, and back. */
export class StageLeak {
  private readonly opening: EvenedOpening;

  /** @param areaM2 effective, of all valves together */
  constructor(
    private readonly before: Vessel,
    private readonly after: Vessel,
    private readonly areaM2: number,
    private readonly exponent: number,
    private readonly stepS: number,
  ) {
    this.opening = new EvenedOpening(exponent);
    this.opening.areaM2 = areaM2;
  }

  /** Flows held to what makes the pressures equal. */
  get heldCount(): number {
    return this.opening.heldCount;
  }

  /** State only. */
  reset(): void {
    this.opening.heldCount = 0;
  }

  /** Adds the flow of one tick to both vessels. */
  process(): void {
    const { before, after, opening, exponent, stepS } = this;
    if (this.areaM2 <= 0) return;
    const isForward = before.pressurePa >= after.pressurePa;
    const up = isForward ? before : after;
    const down = isForward ? after : before;
    const perVolume = (exponent * up.pressurePa * stepS) / up.densityKgPerM3;
    opening.upstreamPa = up.pressurePa;
    opening.upstreamKgPerM3 = up.densityKgPerM3;
    opening.downstreamPa = down.pressurePa;
    opening.evenedPaSPerKg = perVolume * ((up.isReservoir ? 0 : 1 / up.volumeM3) + 1 / down.volumeM3);
    opening.solve();
    const flow = opening.flowKgPerS;
    const energy = flow * up.enthalpyJPerKg;
    const air = flow * up.airRatio;
    up.massFlowKgPerS -= flow;
    up.energyFlowW -= energy;
    up.airFlowKgPerS -= air;
    down.massFlowKgPerS += flow;
    down.energyFlowW += energy;
    down.airFlowKgPerS += air;
  }
}
