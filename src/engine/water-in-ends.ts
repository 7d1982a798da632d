import type { CylinderEnds } from "./cylinder-ends.js";

// Energy of boiling water and of its evaporation, straight lines through 100 °C. [source: IAPWS R7-97 saturation, within 1 % from
// 60 to 200 °C]
const atK = 373.15;
const waterAtJPerKg = 418.9e3;
const waterRiseJPerKgK = 4.3e3;
const evaporationAtJPerKg = 2087e3;
const evaporationFallJPerKgK = 3.29e3;
// Water that covers the bottom of a cylinder end enough to shut a cock's mouth off from the steam, as a share of what the end
// holds at dead centre. [common practice]
const coveringRatio = 0.02;
const waterKgPerM3 = 920; // [source: IAPWS R7-97 region 1: 958 to 887 kg/m3 at 100 to 180 °C]

/** How much of what every cylinder end holds is water, and the steam beside it: for the cocks that stand at its bottom. */
export class WaterInEnds {
  readonly waterKg: Float64Array;
  readonly waterJPerKg: Float64Array;
  /** Share of a cock's mouth that stands under water, 0 to 1. */
  readonly coveredRatio: Float64Array;
  /** Of the gas alone. */
  readonly gasKgPerM3: Float64Array;
  readonly gasJPerKg: Float64Array;
  /** Share of air in it. */
  readonly gasAirRatio: Float64Array;

  private readonly perCoveringKg: Float64Array;

  /** @param clearanceM3 what each end holds at dead centre */
  constructor(
    private readonly ends: CylinderEnds,
    clearanceM3: Float64Array,
  ) {
    const array = () => new Float64Array(ends.count);
    this.waterKg = array();
    this.waterJPerKg = array();
    this.coveredRatio = array();
    this.gasKgPerM3 = array();
    this.gasJPerKg = array();
    this.gasAirRatio = array();
    this.perCoveringKg = clearanceM3.map((volumeM3) => 1 / (coveringRatio * volumeM3 * waterKgPerM3));
  }

  /** Fills the arrays for the ends as last observed. */
  measure(): void {
    const { ends, waterKg, waterJPerKg, coveredRatio, gasKgPerM3, gasJPerKg, perCoveringKg } = this;
    for (let i = 0; i < ends.count; i++) {
      const mass = ends.massKg[i]!;
      const beyondK = ends.temperatureK[i]! - atK;
      const evaporation = evaporationAtJPerKg - evaporationFallJPerKgK * beyondK;
      const share = ends.wetJPerKg[i]! / evaporation;
      const most = 0.999 * (mass - ends.airKg[i]!);
      const water = mass * share < most ? mass * share : most;
      const waterJ = waterAtJPerKg + waterRiseJPerKgK * beyondK;
      const covered = water * perCoveringKg[i]!;
      waterKg[i] = water;
      waterJPerKg[i] = waterJ;
      // The last water is thrown about, not gathered.
      coveredRatio[i] = covered < 0.95 ? covered : 0.95;
      gasKgPerM3[i] = (mass - water) / ends.volumeM3[i]!;
      this.gasAirRatio[i] = ends.airKg[i]! / (mass - water);
      gasJPerKg[i] = (mass * ends.enthalpyJPerKg[i]! - water * waterJ) / (mass - water);
    }
  }
}
