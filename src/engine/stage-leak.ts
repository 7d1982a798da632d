import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import type { Vessel } from "../flow/vessel.js";

/** Past the valves of one stage, from the vessel that feeds it to the one that it exhausts into, and back. */
export class StageLeak {
  /** Flows held to what makes the pressures equal. */
  heldCount = 0;

  private readonly opening: Opening;
  private readonly flowFactor: number;

  /** @param areaM2 effective, of all valves together */
  constructor(
    private readonly before: Vessel,
    private readonly after: Vessel,
    private readonly areaM2: number,
    private readonly exponent: number,
    private readonly stepS: number,
  ) {
    this.opening = new Opening(criticalPressureRatio(exponent));
    this.flowFactor = chokedFlowFactor(exponent);
  }

  /** State only. */
  reset(): void {
    this.heldCount = 0;
  }

  /** Adds the flow of one tick to both vessels. */
  process(): void {
    const { before, after, areaM2, opening, exponent, stepS } = this;
    if (areaM2 <= 0) return;
    const isForward = before.pressurePa >= after.pressurePa;
    const up = isForward ? before : after;
    const down = isForward ? after : before;
    const perVolume = (exponent * up.pressurePa * stepS) / up.densityKgPerM3;
    const perKg = perVolume * ((up.isReservoir ? 0 : 1 / up.volumeM3) + 1 / down.volumeM3);
    opening.chokedKgPerS = areaM2 * this.flowFactor * Math.sqrt(up.pressurePa * up.densityKgPerM3);
    opening.upstreamPa = up.pressurePa;
    opening.downstreamPa = down.pressurePa;
    opening.impedancePaSPerKg = 0.5 * perKg;
    opening.solve();
    let flow = opening.flowKgPerS;
    const most = (up.pressurePa - down.pressurePa) / perKg;
    if (flow > most) {
      flow = most;
      this.heldCount++;
    }
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
