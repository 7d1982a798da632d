import type { FiniteVolumePipe } from "./finite-volume-pipe.js";
import { chokedFlowFactor, criticalPressureRatio } from "./orifice.js";
import type { Ports } from "./ports.js";

const mostRounds = 40;
// Of the highest pressure about: what two ports' flows may disagree by in the pressure they meet. [common practice]
const smallestShare = 1e-10;

/**
 * Several ports open into one pipe end at once. The pressure at the face is the one at which all their flows together
 * raise the pipe's wave to it: one unknown, found between the lowest and the highest pressure about, so it is no matter
 * which port is asked first. The owner sets the fields and calls `solve`, which leaves the flows in `ports`.
 */
export class PortGroup {
  /** Of what enters the pipe. */
  entryDensityKgPerM3 = 0.5;
  /** What enters besides. */
  leakKgPerS = 0.5;
  /** Flows of the last `solve` that were held to what makes the pressures equal. */
  heldCount = 0;

  private readonly chokedKgPerS: Float64Array;
  private readonly fluidFactor: number;
  private readonly gasFactor: number;
  private readonly fluidCritical: number;
  private readonly gasCritical: number;

  constructor(
    private readonly pipe: FiniteVolumePipe,
    private readonly ports: Ports,
    private readonly firstPort: number,
    private readonly portCount: number,
    private readonly fluidExponent: number,
    gasExponent: number,
    private readonly stepS: number,
  ) {
    this.chokedKgPerS = new Float64Array(portCount);
    this.fluidFactor = chokedFlowFactor(fluidExponent);
    this.gasFactor = chokedFlowFactor(gasExponent);
    this.fluidCritical = criticalPressureRatio(fluidExponent);
    this.gasCritical = criticalPressureRatio(gasExponent);
  }

  /** Fills the flows of all open ports. */
  solve(): void {
    const { areaM2, pressurePa, densityKgPerM3, massKg, massFlowKgPerS } = this.ports;
    const { leftArrivalPa, leftImpedance, leftAreaM2, leftDensity } = this.pipe;
    const { firstPort, portCount, chokedKgPerS, leakKgPerS, entryDensityKgPerM3 } = this;
    const still = leftArrivalPa + (leftImpedance * leakKgPerS) / (entryDensityKgPerM3 * leftAreaM2);
    let low = still;
    let high = still;
    for (let i = 0; i < portCount; i++) {
      const area = areaM2[firstPort + i]!;
      if (!(area > 0)) continue;
      const p = pressurePa[firstPort + i]!;
      if (p < low) low = p;
      if (p > high) high = p;
      // A port wider than the pipe chokes at the pipe.
      const narrowest = Math.min(area, leftAreaM2);
      chokedKgPerS[i] = narrowest * this.fluidFactor * Math.sqrt(p * densityKgPerM3[firstPort + i]!);
    }
    const enough = smallestShare * high;
    const heldMost = 1 / (this.fluidExponent * this.stepS);
    let lowGap = 0;
    let highGap = 0;
    let moved = 0;
    for (let round = 0; round < mostRounds; round++) {
      // First both ends, then regula falsi that halves the weight of an end that stays. [source: the Illinois rule, from memory]
      const p = round === 0 ? low : round === 1 ? high : (low * highGap - high * lowGap) / (highGap - lowGap);
      let total = leakKgPerS;
      this.heldCount = 0;
      for (let i = 0; i < portCount; i++) {
        const j = firstPort + i;
        const area = areaM2[j]!;
        if (!(area > 0)) continue;
        const cylinderPa = pressurePa[j]!;
        const isOut = cylinderPa > p;
        const critical = isOut ? this.fluidCritical : this.gasCritical;
        const ratio = isOut ? p / cylinderPa : cylinderPa / p;
        const y = (ratio - critical) / (1 - critical);
        const narrowest = Math.min(area, leftAreaM2);
        const choked = isOut ? chokedKgPerS[i]! : narrowest * this.gasFactor * Math.sqrt(p * leftDensity);
        let flow = y > 0 ? choked * Math.sqrt(y < 1 ? 1 - y * y : 0) : choked;
        // No flow may carry more in a tick than makes the pressures equal.
        const density = densityKgPerM3[j]!;
        const lighter = isOut ? 1 : leftDensity / (density > 1e-9 ? density : 1e-9);
        const most = massKg[j]! * (1 - ratio) * lighter * heldMost;
        if (flow > most) {
          flow = most;
          this.heldCount++;
        }
        if (!isOut) flow = -flow;
        massFlowKgPerS[j] = flow;
        total += flow;
      }
      // How far the pressure that these flows make lies above the one they were found at.
      const density = total > 0 ? entryDensityKgPerM3 : leftDensity;
      const gap = leftArrivalPa + (leftImpedance * total) / (density * leftAreaM2) - p;
      if (round === 0) {
        if (!(gap > enough)) return;
        lowGap = gap;
      } else if (round === 1) {
        if (!(gap < -enough)) return;
        highGap = gap;
      } else if (gap > enough) {
        low = p;
        lowGap = gap;
        if (moved > 0) highGap *= 0.5;
        moved = 1;
      } else if (gap < -enough) {
        high = p;
        highGap = gap;
        if (moved < 0) lowGap *= 0.5;
        moved = -1;
      } else return;
    }
  }
}
