import { chokedFlowFactor, criticalPressureRatio, Opening } from "../flow/orifice.js";
import type { Vessel } from "../flow/vessel.js";
import { exp } from "../quantities/portable-maths.js";
import { isSettable } from "../gear/gear-description.js";
import type { EngineParts } from "./engine-parts.js";
import { CAVITY_SHARE } from "./valve-lift.js";

// A slide valve on its face, five port widths long and an eighth of that thick, of cast iron, pushed up on two ports.
// [common practice: drawings of locomotive and mill engines]
const planPorts = 5;
const thicknessRatio = 0.12;
const ironKgPerM3 = 7200;
const pushedPorts = 2;
const gravityMPerS2 = 9.81;
// Greatest way past a lifted valve over a port: it rises by a tenth of the port's width along the port's length.
// [common practice: what spindle buckle and chest cover leave it]
const greatestGapRatio = 0.1;
// It takes about so long to rise. [common practice: some millimetres at a few g]
const riseS = 0.005;

/** Mass of the slide valve over a port, kg. */
export function slideValveKg(portM2: number): number {
  const planM2 = planPorts * portM2;
  return ironKgPerM3 * planM2 * thicknessRatio * Math.sqrt(planM2);
}

/**
 * Slide valves thrown from their faces by what is trapped below: it escapes past them into the chest, so that a drifting engine
 * compresses no higher than the valves' weight bears. What passes into the exhaust on the way is left out. Measured now and then,
 * given every tick.
 */
export class LiftedValves {
  /** Flows held to what makes the pressures equal. */
  heldCount = 0;

  private readonly opening: Opening;
  private readonly flowFactor: number;
  private readonly gapM2: Float64Array;
  private readonly holdPa: Float64Array;
  /** Per valve, 0 on its face to 1 at its stop. */
  private readonly liftRatio: Float64Array;
  /** Per end, as last measured: from it into the chest. */
  private readonly massKgPerS: Float64Array;
  private readonly energyW: Float64Array;
  private readonly airKgPerS: Float64Array;
  /** Per valve: the chest or receiver above it; the receiver that its cavity opens to, or its place among the port ends. */
  private readonly above: Vessel[] = [];
  private readonly below: (Vessel | null)[] = [];
  private readonly portEnd: Int32Array;
  /** Per valve: ends that may give to the same chest or receiver at once. */
  private readonly sharing: number[] = [];
  private isAnyOpen = false;
  /** Share of the way to where it is thrown that a valve goes from one measure to the next, and for which hold. */
  private readonly riseRatio = new Float64Array(1);
  private heldTicks = 0;

  constructor(private readonly parts: EngineParts) {
    const { ends, motion, exponent, record, chest, receivers, network } = parts;
    this.opening = new Opening(criticalPressureRatio(exponent));
    this.flowFactor = chokedFlowFactor(exponent);
    const count = record.airLeakKgPerS.length;
    const perCylinder = ends.count / count;
    this.gapM2 = new Float64Array(count);
    this.holdPa = new Float64Array(count);
    this.liftRatio = new Float64Array(count);
    for (let k = 0; k < count; k++) {
      const portM2 = motion.portAreaMaxM2[k * perCylinder]!;
      this.gapM2[k] = greatestGapRatio * portM2;
      this.holdPa[k] = (gravityMPerS2 * slideValveKg(portM2)) / (pushedPorts * portM2);
    }
    this.portEnd = new Int32Array(count);
    motion.stages.forEach(({ firstCylinder, cylinderCount, endCount, valveGear }, s) => {
      // Piston valves cannot lift.
      const isHeld = isSettable(valveGear) && valveGear.admission === "inside";
      for (let k = 0; k < cylinderCount; k++) {
        if (isHeld) this.gapM2[firstCylinder + k] = 0;
        this.sharing.push(endCount);
        this.above.push(s === 0 ? chest : receivers[s - 1]!);
        this.below.push(receivers[s] ?? null);
        this.portEnd[firstCylinder + k] = network.portEnds.length > 1 && s === receivers.length ? k : 0;
      }
    });
    this.massKgPerS = new Float64Array(ends.count);
    this.energyW = new Float64Array(ends.count);
    this.airKgPerS = new Float64Array(ends.count);
  }

  /** State only: all on their faces. */
  reset(): void {
    this.heldCount = 0;
    this.isAnyOpen = false;
    this.liftRatio.fill(0);
    this.massKgPerS.fill(0);
    this.energyW.fill(0);
    this.airKgPerS.fill(0);
  }

  /** Lifts the valves for the pressures as they are, and finds what passes them, to be held for `holdTicks` ticks. */
  measure(holdTicks: number): void {
    const { ends, network, exponent } = this.parts;
    const { above, below, portEnd } = this;
    const { liftRatio, holdPa, gapM2, opening, flowFactor } = this;
    const { massKgPerS, energyW, airKgPerS } = this;
    const stepS = holdTicks * this.parts.stepS;
    if (holdTicks !== this.heldTicks) {
      this.heldTicks = holdTicks;
      this.riseRatio[0] = 1 - exp(-stepS / riseS);
    }
    const { portEnds } = network;
    const { pressurePa, densityKgPerM3 } = ends;
    const perCylinder = pressurePa.length / liftRatio.length;
    let isAnyOpen = false;
    for (let k = 0; k < liftRatio.length; k++) {
      const head = perCylinder * k;
      const crank = head + perCylinder - 1;
      const chest = above[k]!;
      const chestPa = chest.pressurePa;
      const receiver = below[k]!;
      const cavityPa = receiver === null ? portEnds[portEnd[k]!]!.facePressurePa : receiver.pressurePa;
      const portsPa = 0.5 * (pressurePa[head]! + pressurePa[crank]!);
      const push = CAVITY_SHARE * cavityPa + (1 - CAVITY_SHARE) * portsPa - chestPa;
      const beyond = push / holdPa[k]! - 1;
      const wanted = beyond > 1 ? 1 : beyond > 0 ? beyond : 0;
      if (wanted === 0 && liftRatio[k] === 0) continue;
      const lift = liftRatio[k]! + this.riseRatio[0]! * (wanted - liftRatio[k]!);
      // Seated at last, rather than for ever nearer.
      liftRatio[k] = wanted === 0 && lift < 1e-3 ? 0 : lift;
      const area = gapM2[k]! * liftRatio[k]!;
      if (area > 0) isAnyOpen = true;
      for (let i = head; i <= crank; i++) {
        const endPa = pressurePa[i]!;
        const isOut = endPa >= chestPa;
        const upPa = isOut ? endPa : chestPa;
        const upDensity = isOut ? densityKgPerM3[i]! : chest.densityKgPerM3;
        const yields = 1 / ends.volumeM3[i]! + this.sharing[k]! / chest.volumeM3;
        const perKg = ((exponent * upPa) / upDensity) * yields * stepS;
        opening.chokedKgPerS = area * flowFactor * Math.sqrt(upPa * upDensity);
        opening.upstreamPa = upPa;
        opening.downstreamPa = isOut ? chestPa : endPa;
        opening.impedancePaSPerKg = 0.5 * perKg;
        opening.solve();
        let flow = opening.flowKgPerS;
        const most = (upPa - opening.downstreamPa) / perKg;
        if (flow > most) {
          flow = most;
          this.heldCount++;
        }
        massKgPerS[i] = isOut ? flow : -flow;
        energyW[i] = isOut ? flow * ends.enthalpyJPerKg[i]! : -flow * chest.enthalpyJPerKg;
        airKgPerS[i] = isOut ? flow * ends.airRatio[i]! : -flow * chest.airRatio;
      }
    }
    this.isAnyOpen = isAnyOpen;
  }

  /** Gives what was last measured from the ends to the chest. */
  process(): void {
    if (!this.isAnyOpen) return;
    const { ends } = this.parts;
    const { massKgPerS, energyW, airKgPerS, above } = this;
    const perCylinder = massKgPerS.length / above.length;
    for (let i = 0; i < massKgPerS.length; i++) {
      const flow = massKgPerS[i]!;
      const energy = energyW[i]!;
      const air = airKgPerS[i]!;
      ends.massFlowKgPerS[i] = ends.massFlowKgPerS[i]! - flow;
      ends.energyFlowW[i] = ends.energyFlowW[i]! - energy;
      ends.airFlowKgPerS[i] = ends.airFlowKgPerS[i]! - air;
      const chest = above[(i / perCylinder) | 0]!;
      chest.massFlowKgPerS += flow;
      chest.energyFlowW += energy;
      chest.airFlowKgPerS += air;
    }
  }
}
