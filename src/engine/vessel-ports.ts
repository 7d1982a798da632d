import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import { Rush } from "../flow/rush.js";
import type { Vessel } from "../flow/vessel.js";
import type { EngineParts } from "./engine-parts.js";

/** Discharge coefficient of steam and exhaust ports and of the regulator. [source: EB11 "Hydraulics" art. 64, short tube .81-.84] */
export const portDischargeCoefficient = 0.8;

/** Ports between one vessel and a row of cylinder ends, and where it is written down what passes them. */
export interface VesselPortsRow {
  readonly vessel: Vessel;
  readonly firstEnd: number;
  readonly endCount: number;
  /** Geometric areas, and the flows and speeds of the jets to be filled; one place for each end of the machine. */
  readonly areaM2: Float64Array;
  readonly massFlowKgPerS: Float64Array;
  readonly jetMPerS: Float64Array;
  /** Which way flows count as positive where they are written down. */
  readonly towards: "ends" | "vessel";
}

/** The ports between a vessel and a row of cylinder ends, either way: from a chest, into a receiver, out of it. */
export class VesselPorts {
  /** Flows held to what makes the pressures equal. */
  heldCount = 0;

  private readonly opening: Opening;
  private readonly rush: Rush;
  private readonly flowFactor: number;
  private readonly lastAreaM2: Float64Array;
  private readonly sign: number;
  // The row's own, so that the running loop reads them from one kind of object.
  private readonly vessel: Vessel;
  private readonly firstEnd: number;
  private readonly pastEnd: number;
  private readonly areaM2: Float64Array;
  private readonly massFlowKgPerS: Float64Array;
  private readonly jetMPerS: Float64Array;

  constructor(
    private readonly parts: Pick<EngineParts, "ends" | "motion" | "stepS" | "exponent" | "ledger">,
    row: VesselPortsRow,
  ) {
    this.vessel = row.vessel;
    this.firstEnd = row.firstEnd;
    this.pastEnd = row.firstEnd + row.endCount;
    this.areaM2 = row.areaM2;
    this.massFlowKgPerS = row.massFlowKgPerS;
    this.jetMPerS = row.jetMPerS;
    this.opening = new Opening(criticalPressureRatio(parts.exponent));
    this.flowFactor = chokedFlowFactor(parts.exponent);
    this.rush = new Rush(parts.exponent);
    this.lastAreaM2 = new Float64Array(parts.ends.count);
    this.sign = row.towards === "ends" ? 1 : -1;
  }

  /** State only: port areas as they stand now. */
  reset(): void {
    this.lastAreaM2.set(this.areaM2);
    this.heldCount = 0;
  }

  /** Adds the flows of one tick to vessel and ends, and to the ledger where the vessel is a reservoir. */
  process(): void {
    const { ends, motion, stepS, exponent, ledger } = this.parts;
    const { vessel, areaM2, massFlowKgPerS, jetMPerS, firstEnd, pastEnd } = this;
    const { opening, flowFactor, rush, lastAreaM2, sign } = this;
    const vesselYield = vessel.isReservoir
      ? 0
      : (exponent * vessel.pressurePa) / (vessel.densityKgPerM3 * vessel.volumeM3);
    const vesselPa = vessel.middlePa;
    const vesselDensity = vessel.densityKgPerM3;
    for (let i = firstEnd; i < pastEnd; i++) {
      const area = 0.5 * portDischargeCoefficient * (lastAreaM2[i]! + areaM2[i]!);
      lastAreaM2[i] = areaM2[i]!;
      if (area <= 0) {
        massFlowKgPerS[i] = 0;
        jetMPerS[i] = 0;
        continue;
      }
      // By the middle of the tick the piston has moved, and half of this flow has come.
      const volume = ends.volumeM3[i]!;
      const endPa = ends.pressurePa[i]! * (1 - (0.5 * exponent * (motion.volumeM3[i]! - volume)) / volume);
      const isForward = vesselPa >= endPa;
      const upPa = isForward ? vesselPa : endPa;
      const upDensity = isForward ? vesselDensity : ends.densityKgPerM3[i]!;
      const downPa = isForward ? endPa : vesselPa;
      const perKg = (exponent * upPa * stepS) / (upDensity * volume);
      opening.chokedKgPerS = area * flowFactor * Math.sqrt(upPa * upDensity);
      opening.upstreamPa = upPa;
      opening.downstreamPa = downPa;
      opening.impedancePaSPerKg = 0.5 * perKg;
      opening.solve();
      let flow = opening.flowKgPerS;
      const most = (upPa - downPa) / (perKg + vesselYield * stepS);
      if (flow > most) {
        flow = most;
        this.heldCount++;
      }
      const enthalpy = isForward ? vessel.enthalpyJPerKg : ends.enthalpyJPerKg[i]!;
      const signed = isForward ? flow : -flow;
      ends.massFlowKgPerS[i] = ends.massFlowKgPerS[i]! + signed;
      ends.energyFlowW[i] = ends.energyFlowW[i]! + signed * enthalpy;
      const air = signed * (isForward ? vessel.airRatio : ends.airRatio[i]!);
      ends.airFlowKgPerS[i] = ends.airFlowKgPerS[i]! + air;
      if (vessel.isReservoir) {
        ledger.inKgPerS += signed;
        ledger.inW += signed * enthalpy;
        ledger.inAirKgPerS += air;
      } else {
        vessel.massFlowKgPerS -= signed;
        vessel.energyFlowW -= signed * enthalpy;
        vessel.airFlowKgPerS -= air;
      }
      massFlowKgPerS[i] = sign * signed;
      rush.upstreamPa = upPa;
      rush.downstreamPa = downPa;
      rush.fluxKgPerSM2 = flow / area;
      rush.measure();
      jetMPerS[i] = rush.jetMPerS;
    }
  }
}
