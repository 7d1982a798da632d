import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import { Rush } from "../flow/rush.js";
import type { EngineParts } from "./engine-parts.js";
import { portDischargeCoefficient, VesselPorts } from "./vessel-ports.js";

/** Regulator and steam ports of the first stage: boiler to chest to cylinders, and back where these stand higher. */
export class Admission {
  /** One number: 0 shut, 1 full open. */
  readonly regulatorRatio = Float64Array.of(1);

  // Past the shut regulator. An array, for a plain field may hold a whole number and put areas on the heap.
  private readonly leakM2 = new Float64Array(1);
  private readonly opening: Opening;
  private readonly rush: Rush;
  private readonly flowFactor: number;
  private readonly ports: VesselPorts;
  private regulatorHeldCount = 0;

  constructor(
    private readonly parts: EngineParts,
    private readonly regulatorAreaM2: number,
    regulatorLeakM2 = 0,
  ) {
    this.leakM2[0] = regulatorLeakM2;
    this.opening = new Opening(criticalPressureRatio(parts.exponent));
    this.flowFactor = chokedFlowFactor(parts.exponent);
    this.rush = new Rush(parts.exponent);
    const { chest: vessel, motion, record } = parts;
    const { firstEnd, endCount } = motion.stages[0]!;
    this.ports = new VesselPorts(parts, {
      ...{ vessel, firstEnd, endCount, towards: "ends" },
      areaM2: motion.steamAreaM2,
      massFlowKgPerS: record.endSteamKgPerS,
      jetMPerS: record.endSteamMPerS,
    });
  }

  /** State only: port areas as they stand now. */
  reset(): void {
    this.ports.reset();
    this.regulatorHeldCount = 0;
  }

  /** Flows held to what makes the pressures equal; ordinary where a wide regulator feeds a small chest. */
  get heldCount(): number {
    return this.regulatorHeldCount + this.ports.heldCount;
  }

  /** Adds the flows of one tick to chest, ends and ledger. */
  process(): void {
    const { chest, stepS, exponent, record, ledger, supply } = this.parts;
    const { opening, flowFactor, rush } = this;
    const boiler = supply;
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
        this.regulatorHeldCount++;
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
    }
    this.ports.process();
  }
}
