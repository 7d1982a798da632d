import { chokedFlowFactor, criticalPressureRatio } from "../flow/orifice.js";
import { Rush } from "../flow/rush.js";
import type { WhistleDescription } from "./fittings-description.js";

// Valve full open, over the slits of all bells: the whole travel of the lever can be played. [common practice]
const valveOverSlitsRatio = 1.25;

/** Area of one bell's slit, m2: a ring as wide as its bore. */
export function slitAreaM2(boreM: number, slitM: number): number {
  return Math.PI * boreM * slitM;
}

/**
 * Steam that a whistle draws: through its valve, as far as it is open, and on through the slits of its bells to the air. What
 * passes settles the pressure between. Throttling keeps the temperature, as of an ideal gas.
 *
 * @example
 * const steam = new WhistleSteam(whistle, 1.3, 101_325);
 * steam.boilerPa = 900_000;
 * steam.gasJPerKg = 461.5 * 448;
 * steam.openRatio = 0.5;
 * steam.measure(); // steam.massFlowKgPerS
 */
export class WhistleSteam {
  /** Absolute pressure and R T of the steam before the valve, and the valve, 0 shut to 1 open. */
  boilerPa = 0.5;
  gasJPerKg = 0.5;
  openRatio = 0.5;
  /** Results: drawn in all; below the slits; of the sheets that come out, once expanded. All 0 (the pressure that of the air) where nothing flows. */
  massFlowKgPerS = 0.5;
  slitPa = 0.5;
  jetMPerS = 0.5;
  /** Area of all slits. */
  readonly slitsM2: number;
  private readonly criticalRatio: number;
  private readonly rush: Rush;
  private readonly flowFactor: number;
  // Below the slits over the boiler's, and what passes the slits over what the boiler's pressure would press through them.
  private pressureRatio = 0.5;
  private fluxRatio = 0.5;

  /** @param isentropicExponent of the steam, above 1 @param airPa absolute pressure outside */
  constructor(
    whistle: WhistleDescription,
    isentropicExponent: number,
    private readonly airPa: number,
  ) {
    let slitsM2 = 0;
    for (const { boreM } of whistle.bells) slitsM2 += slitAreaM2(boreM, whistle.slitM);
    this.slitsM2 = slitsM2;
    this.criticalRatio = criticalPressureRatio(isentropicExponent);
    this.rush = new Rush(isentropicExponent);
    this.flowFactor = chokedFlowFactor(isentropicExponent);
    this.boilerPa = this.gasJPerKg = this.openRatio = 0;
    this.massFlowKgPerS = this.jetMPerS = 0;
    this.slitPa = airPa;
  }

  /** Fills the results from the other fields. */
  measure(): void {
    const { boilerPa, gasJPerKg, airPa, slitsM2, rush } = this;
    this.massFlowKgPerS = this.jetMPerS = 0;
    this.slitPa = airPa;
    if (!(this.openRatio > 0 && boilerPa > airPa && boilerPa < Infinity && gasJPerKg > 0 && gasJPerKg < Infinity))
      return;
    this.balance();
    const fluxKgPerSM2 = this.fluxRatio * (this.flowFactor / Math.sqrt(gasJPerKg)) * boilerPa;
    if (!(fluxKgPerSM2 > 0)) return;
    this.massFlowKgPerS = fluxKgPerSM2 * slitsM2;
    this.slitPa = this.pressureRatio * boilerPa;
    rush.upstreamPa = this.slitPa;
    rush.downstreamPa = airPa;
    rush.fluxKgPerSM2 = fluxKgPerSM2;
    rush.measure();
    this.jetMPerS = rush.jetMPerS;
  }

  // Quarter ellipses, as in `Opening`: with r the pressure between and e that of the air, over the boiler's, and c the
  // critical ratio, the squares of both flows are quadratics of r, valve: a^2 (1 - k^2 (r - c)^2), choked a^2; slits:
  // r^2 - k^2 (e - c r)^2, choked r^2. Their difference falls with r.
  // Takes fields: numbers handed over would be allocated.
  private balance(): void {
    const c = this.criticalRatio;
    const air = this.airPa / this.boilerPa;
    const valveOverSlits = valveOverSlitsRatio * (this.openRatio < 1 ? this.openRatio : 1);
    const kk = 1 / ((1 - c) * (1 - c));
    const aa = valveOverSlits * valveOverSlits;
    // Whether the balance lies where a way is choked: by which flow is the greater at the edge.
    const edge = air / c;
    const offEdge = edge > c ? (edge < 1 ? aa * (1 - kk * (edge - c) * (edge - c)) : 0) : aa;
    const areSlitsChoked = edge < 1 && offEdge > edge * edge;
    const shortOf = air - c * c;
    const slitsAtC = shortOf > 0 ? c * c - kk * shortOf * shortOf : c * c;
    const isValveChoked = air < c && aa < slitsAtC;
    const slit2 = areSlitsChoked ? 1 : 1 - kk * c * c;
    const slit1 = areSlitsChoked ? 0 : 2 * kk * air * c;
    const slit0 = areSlitsChoked ? 0 : -kk * air * air;
    const q2 = (isValveChoked ? 0 : -aa * kk) - slit2;
    const q1 = (isValveChoked ? 0 : 2 * aa * kk * c) - slit1;
    const q0 = (isValveChoked ? aa : aa * (1 - kk * c * c)) - slit0;
    const discriminant = q1 * q1 - 4 * q2 * q0;
    const root = discriminant > 0 ? Math.sqrt(discriminant) : 0;
    // The root where the difference falls, by the form that loses no digits.
    const found = q1 > 0 ? (-q1 - root) / (2 * q2) : (2 * q0) / (root - q1);
    const r = found > air ? (found < 1 ? found : 1) : air;
    const square = (slit2 * r + slit1) * r + slit0;
    this.pressureRatio = r;
    this.fluxRatio = square > 0 ? Math.sqrt(square) : 0;
  }
}
