import { EvenedOpening } from "../flow/evened-opening.js";
import { Rush } from "../flow/rush.js";
import type { EngineDescription } from "./engine-description.js";
import type { EngineParts } from "./engine-parts.js";
import { ValveLeak } from "./valve-leak.js";

/** Past the valves of the last stage into the exhaust passages, and past the rings from end to end or to the air. */
export class Leakage {
  private readonly opening: EvenedOpening;
  private readonly rush: Rush;
  private readonly valve: ValveLeak;
  private readonly ringAreaM2: Float64Array;
  // As last measured: past each piston from head to crank end or air.
  private readonly ringKgPerS: Float64Array;
  private readonly ringW: Float64Array;
  private readonly ringAirKgPerS: Float64Array;

  /** @param holdTicks for how many ticks a leak is held, at most */
  constructor(
    private readonly parts: EngineParts,
    description: EngineDescription,
    holdTicks: number,
  ) {
    this.opening = new EvenedOpening(parts.exponent);
    this.rush = new Rush(parts.exponent);
    const { gear, idealised, leaks } = description;
    // What feeds the last stage leaks into the exhaust.
    const lastChest = parts.receivers.at(-1) ?? parts.chest;
    this.valve = new ValveLeak(parts, lastChest, idealised ? 0 : leaks.valveM2, holdTicks);
    this.ringKgPerS = new Float64Array(gear.crankAnglesRad.length);
    this.ringW = new Float64Array(gear.crankAnglesRad.length);
    this.ringAirKgPerS = new Float64Array(gear.crankAnglesRad.length);
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
    this.valve.reset();
    this.opening.heldCount = 0;
    this.ringKgPerS.fill(0);
    this.ringW.fill(0);
    this.ringAirKgPerS.fill(0);
    const { record } = this.parts;
    record.airLeakKgPerS.fill(0);
    record.airLeakMPerS.fill(0);
  }

  /** Flows held to what makes the pressures equal. */
  get heldCount(): number {
    return this.opening.heldCount + this.valve.heldCount;
  }

  /**
   * Finds the leaks from the state as it is, to be held for `holdTicks` ticks: they change far more slowly than the gas
   * in a port does. A leak past the valves that is not slight is found at every tick instead.
   */
  measure(holdTicks: number): void {
    const { ends, motion, exponent, states, record } = this.parts;
    const { opening, rush } = this;
    const stepS = holdTicks * this.parts.stepS;
    if (this.valve.isSlight) this.valve.measure(holdTicks);
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
      opening.areaM2 = area;
      opening.upstreamPa = upPa;
      opening.upstreamKgPerM3 = upDensity;
      opening.downstreamPa = fromA ? bPa : aPa;
      opening.evenedPaSPerKg = ((exponent * upPa) / upDensity) * (1 / ends.volumeM3[a]! + yieldB) * stepS;
      opening.solve();
      const flow = opening.flowKgPerS;
      const bEnthalpy = b < 0 ? states.air.enthalpyJPerKg : ends.enthalpyJPerKg[b]!;
      const enthalpyW = flow * (fromA ? ends.enthalpyJPerKg[a]! : bEnthalpy);
      this.ringKgPerS[k] = fromA ? flow : -flow;
      this.ringW[k] = fromA ? enthalpyW : -enthalpyW;
      const bAirRatio = b < 0 ? states.airRatio : ends.airRatio[b]!;
      this.ringAirKgPerS[k] = fromA ? flow * ends.airRatio[a]! : -flow * bAirRatio;
      if (b >= 0) continue;
      rush.upstreamPa = upPa;
      rush.downstreamPa = opening.downstreamPa;
      rush.fluxKgPerSM2 = flow / area;
      rush.measure();
      record.airLeakKgPerS[k] = fromA ? flow : 0;
      record.airLeakMPerS[k] = fromA ? rush.jetMPerS : 0;
    }
  }

  /** Adds the leaks last measured to chest, ends and ledger; those past the valve stand at the port ends. */
  process(): void {
    const { ends, ledger } = this.parts;
    if (!this.valve.isSlight) this.valve.measure(1);
    this.valve.process();
    const massIn = ends.massFlowKgPerS;
    const energyIn = ends.energyFlowW;
    const airIn = ends.airFlowKgPerS;
    const { ringKgPerS, ringW, ringAirKgPerS } = this;
    const perCylinder = ends.count / ringKgPerS.length;
    for (let k = 0; k < ringKgPerS.length; k++) {
      const flow = ringKgPerS[k]!;
      const enthalpyW = ringW[k]!;
      const air = ringAirKgPerS[k]!;
      const head = k * perCylinder;
      massIn[head] = massIn[head]! - flow;
      energyIn[head] = energyIn[head]! - enthalpyW;
      airIn[head] = airIn[head]! - air;
      if (perCylinder === 2) {
        massIn[head + 1] = massIn[head + 1]! + flow;
        energyIn[head + 1] = energyIn[head + 1]! + enthalpyW;
        airIn[head + 1] = airIn[head + 1]! + air;
      } else {
        ledger.outKgPerS += flow;
        ledger.outW += enthalpyW;
        ledger.outAirKgPerS += air;
      }
    }
  }
}
