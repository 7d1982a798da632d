import type { CylinderGeometry } from "../gear/gear-description.js";

// Film condensation on cold metal passes several kW/(m2 K), dry convection some hundreds; these are round figures for the
// inside of a cylinder, not measured on one engine. [common practice]
const condensingWPerM2K = 6000;
const evaporatingWPerM2K = 1500;
const dryWPerM2K = 250;
// Energy short of dry saturation at which a film covers the wall: about 0.2 % of water. Were it there all at once, gas on
// the line would be thrown off it by every step and never come round to the same state. [common practice]
const filmJPerKg = 4000;
// Bare or lagged outside, to the surrounding air. [common practice]
const outsideWPerM2K = 8;
// Cast iron. [common practice: density 7200 kg/m3, specific heat 480 J/(kg K)]
const ironKgPerM3 = 7200;
const ironJPerKgK = 480;
// Wall thickness that swings with the mean temperature, as a share of the bore. [common practice]
const wallToBoreRatio = 0.08;

/** One cylinder's metal at one temperature: takes heat while steam condenses on it, gives it back while it dries. */
export class CylinderMetal {
  temperatureK = 0.5;
  /** Heat from gas to metal since the last `settle` or `clear`, J. */
  heatJ = 0.5;

  /** Gas temperature, volume beyond the clearance, gas mass, step, and energy short of dry saturation, for `exchange`. */
  readonly query = new Float64Array(5);
  /** Heat flow to the gas of the last exchange, and of all since the last `advance`, W. */
  readonly answer = new Float64Array(2);

  private conductanceJPerK = 0.5;
  private readonly capacityJPerK: number;
  private readonly outsideWPerK: number;
  private readonly ambientK: number;
  private readonly boreM: number;
  private readonly fixedAreaM2: number;

  constructor(cylinder: CylinderGeometry, ambientK: number) {
    const pistonArea = 0.25 * Math.PI * cylinder.boreM * cylinder.boreM;
    const barrel = Math.PI * cylinder.boreM * cylinder.strokeM;
    const surface = barrel + 2 * pistonArea;
    this.capacityJPerK = surface * wallToBoreRatio * cylinder.boreM * ironKgPerM3 * ironJPerKgK;
    this.outsideWPerK = 1.5 * surface * outsideWPerM2K;
    this.ambientK = ambientK;
    this.boreM = cylinder.boreM;
    this.fixedAreaM2 = 2 * pistonArea;
    // Begun with halves, the fields hold doubles for good.
    this.temperatureK = this.heatJ = this.conductanceJPerK = 0;
  }

  /** State only. */
  reset(temperatureK: number): void {
    this.temperatureK = temperatureK;
    this.clear();
  }

  /** Forgets the sums of heat and conductance. */
  clear(): void {
    this.heatJ = 0;
    this.conductanceJPerK = 0;
    this.answer.fill(0);
  }

  /**
   * Heat flow from the metal into one end's gas, W, held to what would bring the gas to the metal's temperature.
   * @param openVolumeM3 gas volume beyond the clearance
   */
  heatToGasW(gasK: number, isWet: boolean, openVolumeM3: number, gasMassKg: number, stepS: number): number {
    const { query } = this;
    query[0] = gasK;
    query[1] = openVolumeM3;
    query[2] = gasMassKg;
    query[3] = stepS;
    query[4] = isWet ? filmJPerKg : 0;
    this.exchange();
    return this.answer[0]!;
  }

  /** The same for the gas in `query`, answered in `answer`: nothing is handed over that would take room on the heap. */
  exchange(): void {
    const gasK = this.query[0]!;
    const stepS = this.query[3]!;
    const area = this.fixedAreaM2 + (4 * this.query[1]!) / this.boreM;
    const share = this.query[4]! < filmJPerKg ? this.query[4]! / filmJPerKg : 1;
    const filmWPerM2K = this.temperatureK < gasK ? condensingWPerM2K : evaporatingWPerM2K;
    const coefficient = dryWPerM2K + share * (filmWPerM2K - dryWPerM2K);
    const conductance = coefficient * area;
    // Wet gas takes up heat at nearly constant temperature; dry gas with its specific heat. [common practice: 700 J/(kg K) least]
    const taken = (conductance * stepS) / (this.query[2]! * (700 + share * (20_000 - 700)));
    const effective = conductance / (1 + taken);
    const heatW = effective * (this.temperatureK - gasK);
    this.conductanceJPerK += effective * stepS;
    this.heatJ -= heatW * stepS;
    this.answer[0] = heatW;
    this.answer[1] = this.answer[1]! + heatW;
  }

  /** Advances the metal by the heat of one tick. */
  integrate(stepS: number, heatToGasW: number): void {
    this.query[3] = stepS;
    this.answer[1] = heatToGasW;
    this.advance();
  }

  /** Advances the metal by all exchanges since the last call, over the step in `query`. */
  advance(): void {
    const lostW = this.outsideWPerK * (this.temperatureK - this.ambientK);
    this.temperatureK -= ((this.answer[1]! + lostW) * this.query[3]!) / this.capacityJPerK;
    this.answer[1] = 0;
  }

  /** Heat since the last `settle` or `clear`, over a time, beyond what went to the air, J. */
  gainJ(timeS: number): number {
    return this.heatJ - timeS * this.outsideWPerK * (this.temperatureK - this.ambientK);
  }

  /** Puts the metal where the last turn's exchange would have balanced the loss to the air; clears the sums. */
  settle(turnS: number): number {
    const change = this.gainJ(turnS) / (this.conductanceJPerK + turnS * this.outsideWPerK);
    this.temperatureK += change;
    this.clear();
    return change;
  }
}
