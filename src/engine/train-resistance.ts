import { STANDARD_GRAVITY_M_PER_S2 } from "../quantities/constants.js";

/** Unit definitions that the old formulas need. [source: NIST SP 811 (2008), appendix B, exact] */
const poundKg = 0.45359237;
const mileM = 1609.344;
const footM = 0.3048;

const poundN = poundKg * STANDARD_GRAVITY_M_PER_S2;
const shortTonKg = 2000 * poundKg;
const longTonKg = 2240 * poundKg;
const milePerHourMPerS = mileM / 3600;

// [source: Davis, The Tractive Resistance of Electric Locomotives and Cars, General Electric Review 29 (1926) 685, as quoted:
// pounds a short ton = 1.3 + 29/w + 0.045 V + 0.0005 A V2/(w n) for freight cars; w short tons an axle, n axles, V mph,
// A square feet; from memory 0.0024 in place of 0.0005 for what leads the train]
const davisRollingLb = 1.3;
const davisAxleLb = 29;
const davisFlangeLb = 0.045;
const davisFollowingLb = 0.0005;
const davisLeadingLb = 0.0024;
// [source: Clark's and Gooch's trials, in Bourne, A Catechism of the Steam Engine, question 499: 8 + V2/171 pounds a long ton]
const clarkRollingLb = 8;
const clarkDivisor = 171;
/** Axles under one vehicle, for how many vehicles a train has. [common practice: bogie cars and tenders] */
const axlesPerVehicle = 4;

/**
 * Resistance of a train on the level: a part that is always there and holds it at rest, a part with the speed and one with
 * its square.
 */
export class TrainResistance {
  dryN = 0.5;
  linearNSPerM = 0.5;
  squareNS2PerM2 = 0.5;

  /**
   * After Davis, oil-lubricated journals, no curves, still air.
   *
   * @param leads whether the foremost vehicle is among them, which breaks the wind for all
   */
  setDavis(massKg: number, axleCount: number, frontalM2: number, leads: boolean): void {
    const tons = massKg / shortTonKg;
    const feet2 = frontalM2 / (footM * footM);
    const vehicles = axleCount / axlesPerVehicle;
    const windLb = leads ? davisLeadingLb + davisFollowingLb * Math.max(0, vehicles - 1) : davisFollowingLb * vehicles;
    this.dryN = poundN * (davisRollingLb * tons + davisAxleLb * axleCount);
    this.linearNSPerM = (poundN * davisFlangeLb * tons) / milePerHourMPerS;
    this.squareNS2PerM2 = (poundN * windLb * feet2) / (milePerHourMPerS * milePerHourMPerS);
  }

  /** After Clark and Gooch: engine, tender and train of the 1850s together. */
  setClark(massKg: number): void {
    const tons = massKg / longTonKg;
    this.dryN = poundN * clarkRollingLb * tons;
    this.linearNSPerM = 0;
    this.squareNS2PerM2 = (poundN * tons) / clarkDivisor / (milePerHourMPerS * milePerHourMPerS);
  }

  /** What stands against a speed, positive, N. */
  atN(speedMPerS: number): number {
    const speed = Math.abs(speedMPerS);
    return this.dryN + speed * (this.linearNSPerM + speed * this.squareNS2PerM2);
  }
}
