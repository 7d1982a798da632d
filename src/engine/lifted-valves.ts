import { EvenedOpening } from "../flow/evened-opening.js";
import { exp } from "../quantities/portable-maths.js";
import type { EngineParts } from "./engine-parts.js";
import { ValveFaces } from "./valve-faces.js";

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
  private readonly opening: EvenedOpening;
  private readonly faces: ValveFaces;
  private readonly gapM2: Float64Array;
  private readonly holdPa: Float64Array;
  /** Per valve, 0 on its face to 1 at its stop. */
  private readonly liftRatio: Float64Array;
  /** Per end, as last measured: from it into the chest. */
  private readonly massKgPerS: Float64Array;
  private readonly energyW: Float64Array;
  private readonly airKgPerS: Float64Array;
  /** Per valve: ends that may give to the same chest or receiver at once. */
  private readonly sharing: readonly number[];
  private isAnyOpen = false;
  /** Share of the way to where it is thrown that a valve goes from one measure to the next, and for which hold. */
  private readonly riseRatio = new Float64Array(1);
  private heldTicks = 0;

  constructor(private readonly parts: EngineParts) {
    const { ends, motion, exponent } = parts;
    this.opening = new EvenedOpening(exponent);
    const faces = (this.faces = new ValveFaces(parts));
    const count = faces.pushPa.length;
    const perCylinder = ends.count / count;
    this.gapM2 = new Float64Array(count);
    this.holdPa = new Float64Array(count);
    this.liftRatio = new Float64Array(count);
    for (let k = 0; k < count; k++) {
      const portM2 = motion.portAreaMaxM2[k * perCylinder]!;
      this.gapM2[k] = faces.isSlide[k]! ? greatestGapRatio * portM2 : 0;
      this.holdPa[k] = (gravityMPerS2 * slideValveKg(portM2)) / (pushedPorts * portM2);
    }
    this.sharing = motion.stages.flatMap(({ cylinderCount, endCount }) => Array<number>(cylinderCount).fill(endCount));
    this.massKgPerS = new Float64Array(ends.count);
    this.energyW = new Float64Array(ends.count);
    this.airKgPerS = new Float64Array(ends.count);
  }

  /** Flows held to what makes the pressures equal. */
  get heldCount(): number {
    return this.opening.heldCount;
  }

  /** State only: all on their faces. */
  reset(): void {
    this.opening.heldCount = 0;
    this.isAnyOpen = false;
    this.liftRatio.fill(0);
    this.massKgPerS.fill(0);
    this.energyW.fill(0);
    this.airKgPerS.fill(0);
  }

  /** Lifts the valves for the pressures as they are, and finds what passes them, to be held for `holdTicks` ticks. */
  measure(holdTicks: number): void {
    const { ends, exponent } = this.parts;
    const { faces, liftRatio, holdPa, gapM2, opening, sharing } = this;
    const { massKgPerS, energyW, airKgPerS } = this;
    const stepS = holdTicks * this.parts.stepS;
    if (holdTicks !== this.heldTicks) {
      this.heldTicks = holdTicks;
      this.riseRatio[0] = 1 - exp(-stepS / riseS);
    }
    const { pressurePa, densityKgPerM3 } = ends;
    const { pushPa } = faces;
    const perCylinder = pressurePa.length / liftRatio.length;
    faces.measure(pressurePa);
    let isAnyOpen = false;
    for (let k = 0; k < liftRatio.length; k++) {
      const beyond = pushPa[k]! / holdPa[k]! - 1;
      const wanted = beyond > 1 ? 1 : beyond > 0 ? beyond : 0;
      if (wanted === 0 && liftRatio[k] === 0) continue;
      const lift = liftRatio[k]! + this.riseRatio[0]! * (wanted - liftRatio[k]!);
      // Seated at last, rather than for ever nearer.
      liftRatio[k] = wanted === 0 && lift < 1e-3 ? 0 : lift;
      const area = gapM2[k]! * liftRatio[k]!;
      if (area > 0) isAnyOpen = true;
      const chest = faces.above[k]!;
      const chestPa = chest.pressurePa;
      const head = perCylinder * k;
      for (let i = head; i < head + perCylinder; i++) {
        const endPa = pressurePa[i]!;
        const isOut = endPa >= chestPa;
        const upPa = isOut ? endPa : chestPa;
        const upDensity = isOut ? densityKgPerM3[i]! : chest.densityKgPerM3;
        const yields = 1 / ends.volumeM3[i]! + sharing[k]! / chest.volumeM3;
        opening.areaM2 = area;
        opening.upstreamPa = upPa;
        opening.upstreamKgPerM3 = upDensity;
        opening.downstreamPa = isOut ? chestPa : endPa;
        opening.evenedPaSPerKg = ((exponent * upPa) / upDensity) * yields * stepS;
        opening.solve();
        const flow = opening.flowKgPerS;
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
    const { massKgPerS, energyW, airKgPerS } = this;
    const { above } = this.faces;
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
