import { pow } from "../quantities/portable-maths.js";

// T = 2.943 d / v: time of an elastic contact against its greatest depth. [source: Johnson, Contact Mechanics, 1985, 11.1]
const DURATION_PER_DEPTH = 2.9432;

/** Two bodies that meet at a point. */
export interface ContactBodies {
  /** Reduced mass, m1 m2 / (m1 + m2); against a great body the lesser mass itself. */
  readonly massKg: number;
  /** Relative radius of curvature, 1 / (1/r1 + 1/r2); negative radii are hollows. */
  readonly radiusM: number;
  /** Contact modulus, 1 / ((1 - n1^2)/E1 + (1 - n2^2)/E2). */
  readonly modulusPa: number;
}

/** Steel on steel, 205 GPa and Poisson's ratio 0.29 both. [source: Johnson, Contact Mechanics, 1985, 4.2: E/(2 (1 - n^2))] */
export const STEEL_ON_STEEL_PA = 111.9e9;

/** Steel on brass or bronze, 205 and 105 GPa. [source: Johnson, Contact Mechanics, 1985, 4.2, with handbook moduli] */
export const STEEL_ON_BRASS_PA = 77e9;

/**
 * Depth to which two bodies press into each other at most, m. They need not be perfectly elastic: a loss of 40 % of the
 * energy hardly changes depth or time. [source: Johnson, Contact Mechanics, 1985, 11.1; Gugan, Am. J. Phys. 68 (2000) 920]
 */
export function contactDepthM(bodies: ContactBodies, speedMPerS: number): number {
  const { massKg, radiusM, modulusPa } = bodies;
  return pow((15 * massKg * speedMPerS * speedMPerS) / (16 * Math.sqrt(radiusM) * modulusPa), 0.4);
}

/** For how long two bodies touch that meet at this speed, s. Twice the size doubles it; 32 times the speed halves it. */
export function contactDurationS(bodies: ContactBodies, speedMPerS: number): number {
  return (DURATION_PER_DEPTH * contactDepthM(bodies, speedMPerS)) / speedMPerS;
}

/** Greatest force between them, N. */
export function contactForceN(bodies: ContactBodies, speedMPerS: number): number {
  const depth = contactDepthM(bodies, speedMPerS);
  return (4 / 3) * bodies.modulusPa * Math.sqrt(bodies.radiusM * depth) * depth;
}

/**
 * How long a blow lasts between bodies that are pressed together already, s: half a swing of the mass on the contact, whose
 * stiffness is that of Hertz at that force, 3/2 F / depth. [source: Johnson, Contact Mechanics, 1985, 4.2 and 11.1]
 */
export function pressedDurationS(bodies: ContactBodies, pressedN: number): number {
  const { massKg, radiusM, modulusPa } = bodies;
  const depthM = pow((3 * pressedN) / (4 * modulusPa * Math.sqrt(radiusM)), 2 / 3);
  return Math.PI * Math.sqrt((2 * massKg * depthM) / (3 * pressedN));
}

/**
 * From contact time at 1 m/s to that at another speed above 0: v^(-1/5), within 1e-5 from a micrometre a second and within
 * 1e-11 from a centimetre a second on. By Newton's rule from v^(-3/16), which roots give: without calls, for running code.
 */
export function contactSlowingRatio(speedMPerS: number): number {
  const eighth = Math.sqrt(Math.sqrt(Math.sqrt(speedMPerS)));
  let ratio = 1 / (eighth * Math.sqrt(eighth));
  for (let i = 0; i < 4; i++) {
    const square = ratio * ratio;
    ratio *= 0.2 * (6 - speedMPerS * square * square * ratio);
  }
  return ratio;
}
