import { EvenedOpening } from "../flow/evened-opening.js";
import { Rush } from "../flow/rush.js";
import type { FluidState } from "../steam/fluid-state.js";

// A cock's water stream, contracted as from any sharp hole. [source: EB11 "Hydraulics" art. 64, sharp circular .563-.788]
const waterDischargeCoefficient = 0.62;
// Water near 100 to 180 °C. [source: IAPWS R7-97 region 1: 958 to 887 kg/m3]
const waterKgPerM3 = 920;

/**
 * A small opening from a volume of the engine to the open air, and back where the volume stands lower: steam, and the water
 * that lies before it. An owner sets the fields and calls `measure`; what it finds may be held for some ticks.
 */
export class WayOut {
  /** Effective area, and the share of it that stands under water, 0 to 1. */
  areaM2 = 0.5;
  waterShareRatio = 0.5;
  /** Of the gas in the volume; `gasPa` is the volume's pressure. */
  gasPa = 0.5;
  gasKgPerM3 = 0.5;
  gasJPerKg = 0.5;
  /** Of the water in the volume. */
  waterKg = 0.5;
  waterJPerKg = 0.5;
  volumeM3 = 0.5;
  /** For how long the flow will be held. */
  holdS = 0.5;

  /** Results. Gas out to the air, negative for air drawn in; its jet's speed either way. */
  gasKgPerS = 0.5;
  jetMPerS = 0.5;
  waterKgPerS = 0.5;
  /** Energy out with both, W. */
  energyW = 0.5;

  private readonly opening: EvenedOpening;
  private readonly rush: Rush;

  constructor(
    private readonly exponent: number,
    private readonly air: FluidState,
  ) {
    this.opening = new EvenedOpening(exponent);
    this.rush = new Rush(exponent);
    this.clear();
  }

  /** Flows held to what makes the pressures equal. */
  get heldCount(): number {
    return this.opening.heldCount;
  }

  /** State only. */
  reset(): void {
    this.clear();
    this.opening.heldCount = 0;
  }

  /** Nothing flows. */
  clear(): void {
    this.gasKgPerS = this.jetMPerS = this.waterKgPerS = this.energyW = 0;
  }

  /** Fills the results. */
  measure(): void {
    const { opening, rush, air, exponent, gasPa, areaM2 } = this;
    const outsidePa = air.pressurePa;
    const isOut = gasPa >= outsidePa;
    const fallPa = isOut ? gasPa - outsidePa : outsidePa - gasPa;
    if (!(areaM2 > 0 && fallPa > 0)) {
      this.clear();
      return;
    }
    const upPa = isOut ? gasPa : outsidePa;
    const upDensity = isOut ? this.gasKgPerM3 : air.densityKgPerM3;
    const dryM2 = isOut ? areaM2 * (1 - this.waterShareRatio) : areaM2;
    opening.areaM2 = dryM2;
    opening.upstreamPa = upPa;
    opening.upstreamKgPerM3 = upDensity;
    opening.downstreamPa = isOut ? outsidePa : gasPa;
    opening.evenedPaSPerKg = (exponent * upPa * this.holdS) / (upDensity * this.volumeM3);
    opening.solve();
    const flow = opening.flowKgPerS;
    rush.upstreamPa = upPa;
    rush.downstreamPa = opening.downstreamPa;
    rush.fluxKgPerSM2 = dryM2 > 0 ? flow / dryM2 : 0;
    rush.measure();
    this.jetMPerS = rush.jetMPerS;
    if (!isOut) {
      this.gasKgPerS = -flow;
      this.waterKgPerS = 0;
      this.energyW = -flow * air.enthalpyJPerKg;
      return;
    }
    const wetM2 = areaM2 - dryM2;
    const streamKgPerS = waterDischargeCoefficient * wetM2 * Math.sqrt(2 * fallPa * waterKgPerM3);
    const mostWater = (0.5 * this.waterKg) / this.holdS;
    this.gasKgPerS = flow;
    this.waterKgPerS = streamKgPerS < mostWater ? streamKgPerS : mostWater;
    this.energyW = flow * this.gasJPerKg + this.waterKgPerS * this.waterJPerKg;
  }
}
