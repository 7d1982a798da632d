import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import { Rush } from "../flow/rush.js";
import type { EngineParts } from "./engine-parts.js";

/** Discharge coefficient of steam and exhaust ports and of the regulator. [source: EB11 "Hydraulics" art. 64, short tube .81-.84] */
export const portDischargeCoefficient = 0.8;

/** Regulator and steam ports: boiler to chest to cylinders, and back where a cylinder or the chest stands higher. */
export class Admission {
  /** Flows held to what makes the pressures equal; ordinary where a wide regulator feeds a small chest. */
  heldCount = 0;
  /** One number: 0 shut, 1 full open. */
  readonly regulatorRatio = Float64Array.of(1);

  // Past the shut regulator. An array, for a plain field may hold a whole number and put areas on the heap.
  private readonly leakM2 = new Float64Array(1);
  private readonly opening: Opening;
  private readonly rush: Rush;
  private readonly flowFactor: number;
  private readonly steamAreaM2: Float64Array;

  constructor(
    private readonly parts: EngineParts,
    private readonly regulatorAreaM2: number,
    regulatorLeakM2 = 0,
  ) {
    this.leakM2[0] = regulatorLeakM2;
    this.opening = new Opening(criticalPressureRatio(parts.exponent));
    this.flowFactor = chokedFlowFactor(parts.exponent);
    this.rush = new Rush(parts.exponent);
    this.steamAreaM2 = new Float64Array(parts.ends.count);
  }

  /** State only: port areas as they stand now. */
  reset(): void {
    this.steamAreaM2.set(this.parts.motion.steamAreaM2);
    this.heldCount = 0;
  }

  /** Adds the flows of one tick to chest, ends and ledger. */
  process(): void {
    const { chest, ends, motion, stepS, exponent, record, ledger, supply } = this.parts;
    const { opening, flowFactor, rush } = this;
    const boiler = supply;
    let chestYield = 0;
    if (!chest.isReservoir) {
      const boilerWork = boiler.pressurePa / boiler.densityKgPerM3;
      const perKg = (exponent * boilerWork * stepS) / chest.volumeM3;
      const open = portDischargeCoefficient * this.regulatorAreaM2 * this.regulatorRatio[0]!;
      // A crack past its seat, which is none as soon as it stands further open.
      const leak = this.leakM2[0]!;
      const area = open > leak ? open : leak;
      const isOutward = chest.middlePa <= boiler.pressurePa;
      opening.upstreamPa = isOutward ? boiler.pressurePa : chest.middlePa;
      opening.downstreamPa = isOutward ? chest.middlePa : boiler.pressurePa;
      opening.impedancePaSPerKg = 0;
      opening.chokedKgPerS =
        area * flowFactor * Math.sqrt(opening.upstreamPa * (isOutward ? boiler.densityKgPerM3 : chest.densityKgPerM3));
      opening.solve();
      let flow = opening.flowKgPerS;
      const most = (opening.upstreamPa - opening.downstreamPa) / perKg;
      if (flow > most) {
        flow = most;
        this.heldCount++;
      }
      rush.upstreamPa = opening.upstreamPa;
      rush.downstreamPa = opening.downstreamPa;
      rush.fluxKgPerSM2 = area > 0 ? flow / area : 0;
      rush.measure();
      // A crack's eddies are so fine that nothing of them is heard through iron.
      record.regulatorKgPerS = open > leak ? flow : 0;
      record.regulatorMPerS = rush.jetMPerS;
      let enthalpy = boiler.enthalpyJPerKg;
      let air = flow * boiler.airRatio;
      if (!isOutward) {
        // A chest above the boiler gives back through the open regulator.
        flow = -flow;
        enthalpy = chest.enthalpyJPerKg;
        air = flow * chest.airRatio;
      }
      chest.massFlowKgPerS += flow;
      chest.energyFlowW += flow * enthalpy;
      chest.airFlowKgPerS += air;
      ledger.inKgPerS += flow;
      ledger.inW += flow * enthalpy;
      ledger.inAirKgPerS += air;
      chestYield = (exponent * chest.pressurePa) / (chest.densityKgPerM3 * chest.volumeM3);
    }
    const chestPa = chest.middlePa;
    const chestDensity = chest.densityKgPerM3;
    for (let i = 0; i < ends.count; i++) {
      const area = 0.5 * portDischargeCoefficient * (this.steamAreaM2[i]! + motion.steamAreaM2[i]!);
      this.steamAreaM2[i] = motion.steamAreaM2[i]!;
      if (area <= 0) {
        record.endSteamKgPerS[i] = 0;
        record.endSteamMPerS[i] = 0;
        continue;
      }
      // By the middle of the tick the piston has moved, and half of this flow has come.
      const volume = ends.volumeM3[i]!;
      const endPa = ends.pressurePa[i]! * (1 - (0.5 * exponent * (motion.volumeM3[i]! - volume)) / volume);
      const isForward = chestPa >= endPa;
      const upPa = isForward ? chestPa : endPa;
      const upDensity = isForward ? chestDensity : ends.densityKgPerM3[i]!;
      const downPa = isForward ? endPa : chestPa;
      const perKg = (exponent * upPa * stepS) / (upDensity * volume);
      opening.chokedKgPerS = area * flowFactor * Math.sqrt(upPa * upDensity);
      opening.upstreamPa = upPa;
      opening.downstreamPa = downPa;
      opening.impedancePaSPerKg = 0.5 * perKg;
      opening.solve();
      let flow = opening.flowKgPerS;
      const most = (upPa - downPa) / (perKg + chestYield * stepS);
      if (flow > most) {
        flow = most;
        this.heldCount++;
      }
      const enthalpy = isForward ? chest.enthalpyJPerKg : ends.enthalpyJPerKg[i]!;
      const signed = isForward ? flow : -flow;
      ends.massFlowKgPerS[i] = ends.massFlowKgPerS[i]! + signed;
      ends.energyFlowW[i] = ends.energyFlowW[i]! + signed * enthalpy;
      const air = signed * (isForward ? chest.airRatio : ends.airRatio[i]!);
      ends.airFlowKgPerS[i] = ends.airFlowKgPerS[i]! + air;
      if (chest.isReservoir) {
        ledger.inKgPerS += signed;
        ledger.inW += signed * enthalpy;
        ledger.inAirKgPerS += air;
      } else {
        chest.massFlowKgPerS -= signed;
        chest.energyFlowW -= signed * enthalpy;
        chest.airFlowKgPerS -= air;
      }
      record.endSteamKgPerS[i] = signed;
      rush.upstreamPa = upPa;
      rush.downstreamPa = downPa;
      rush.fluxKgPerSM2 = flow / area;
      rush.measure();
      record.endSteamMPerS[i] = rush.jetMPerS;
    }
  }
}
