import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import type { EngineDescription } from "./engine-description.js";
import type { EngineParts } from "./engine-parts.js";

/** Past the valve into the exhaust passages, and past the rings from end to end or to the air. */
export class Leakage {
  /** Flows held to what makes the pressures equal. */
  heldCount = 0;

  private readonly opening: Opening;
  private readonly flowFactor: number;
  private readonly valveLeakM2: number;
  private readonly ringAreaM2: Float64Array;

  constructor(
    private readonly parts: EngineParts,
    description: EngineDescription,
  ) {
    this.opening = new Opening(criticalPressureRatio(parts.exponent));
    this.flowFactor = chokedFlowFactor(parts.exponent);
    const { gear, idealised, leaks } = description;
    this.valveLeakM2 = idealised ? 0 : leaks.valveM2;
    // An idealised engine has no leaks of its own, but a fault put into it stays.
    this.ringAreaM2 = Float64Array.from(gear.crankAnglesRad, (_, k) =>
      gear.faults.reduce(
        (sum, fault) => sum + (fault.kind === "ringLeak" && fault.cylinder === k + 1 ? fault.areaM2 : 0),
        idealised ? 0 : leaks.ringsM2,
      ),
    );
  }

  /** State only. */
  reset(): void {
    this.heldCount = 0;
  }

  /** Adds the leaks of one tick to chest, port ends, ends and ledger. */
  process(): void {
    const { ends, chest, network, motion, stepS, exponent, ledger, states } = this.parts;
    const { opening, flowFactor } = this;
    const portEnds = network.portEnds;
    if (this.valveLeakM2 > 0 && !chest.isReservoir) {
      const chestPa = chest.pressurePa;
      const enthalpy = chest.enthalpyJPerKg;
      const choked = this.valveLeakM2 * flowFactor * Math.sqrt(chestPa * chest.densityKgPerM3);
      opening.upstreamPa = chestPa;
      opening.impedancePaSPerKg = 0;
      let total = 0;
      for (let i = 0; i < portEnds.length; i++) {
        const portEnd = portEnds[i]!;
        opening.chokedKgPerS = choked * portEnd.portCount;
        opening.downstreamPa = portEnd.facePressurePa;
        opening.solve();
        portEnd.leakKgPerS = opening.flowKgPerS;
        portEnd.leakEnthalpyJPerKg = enthalpy;
        total += opening.flowKgPerS;
      }
      chest.addFlow(-total, -total * enthalpy);
    }
    const isDouble = motion.ends.length > this.ringAreaM2.length;
    for (let k = 0; k < this.ringAreaM2.length; k++) {
      const area = this.ringAreaM2[k]!;
      if (area <= 0) continue;
      const a = isDouble ? 2 * k : k;
      const b = isDouble ? a + 1 : -1;
      const aPa = ends.pressurePa[a]!;
      const bPa = b < 0 ? states.air.pressurePa : ends.pressurePa[b]!;
      const fromA = aPa >= bPa;
      const upPa = fromA ? aPa : bPa;
      const bDensity = b < 0 ? states.air.densityKgPerM3 : ends.densityKgPerM3[b]!;
      const upDensity = fromA ? ends.densityKgPerM3[a]! : bDensity;
      const yieldB = b < 0 ? 0 : 1 / ends.volumeM3[b]!;
      const perKg = ((exponent * upPa) / upDensity) * (1 / ends.volumeM3[a]! + yieldB) * stepS;
      opening.chokedKgPerS = area * flowFactor * Math.sqrt(upPa * upDensity);
      opening.upstreamPa = upPa;
      opening.downstreamPa = fromA ? bPa : aPa;
      opening.impedancePaSPerKg = 0.5 * perKg;
      opening.solve();
      let flow = opening.flowKgPerS;
      const most = (upPa - opening.downstreamPa) / perKg;
      if (flow > most) {
        flow = most;
        this.heldCount++;
      }
      const bEnthalpy = b < 0 ? states.air.enthalpyJPerKg : ends.enthalpyJPerKg[b]!;
      const enthalpyW = flow * (fromA ? ends.enthalpyJPerKg[a]! : bEnthalpy);
      ends.addFlow(a, fromA ? -flow : flow, fromA ? -enthalpyW : enthalpyW);
      if (b >= 0) ends.addFlow(b, fromA ? flow : -flow, fromA ? enthalpyW : -enthalpyW);
      else ledger.addOut(fromA ? flow : -flow, fromA ? enthalpyW : -enthalpyW);
    }
  }
}
