import { atan2 } from "../quantities/portable-maths.js";
import type { CylinderFaults } from "./faults-of-gear.js";
import type { OscillatingGear } from "./gear-description.js";
import { PortOverlap } from "./port-overlap.js";

/**
 * Cylinders that swing on a trunnion over fixed round ports.
 *
 * The trunnion is the origin and the crank centre stands at (pivotDistance, 0). The crank angle is counted from the
 * head-end dead centre, where the pin is nearest to the trunnion. The pin at (D - r cos, r sin) leads the piston by its
 * distance from the trunnion and swings the cylinder. The swing is greatest where crank and rod stand square; there
 * stand the fixed ports, behind the trunnion for the head end and before it for the crank end. Each end meets its inlet
 * at the swing of its own working stroke running forward, and its outlet at the other. Cosines and sines are those of
 * the crank angle; lengths in metres.
 */
export class OscillatingPorts {
  /** Fully open, choke included, per end. */
  readonly portAreaMaxM2: Float64Array;
  private readonly pivotDistanceM: number;
  private readonly crankRadiusM: number;
  private readonly portRadiusM: number;
  private readonly portDiameterM: number;
  /** Of the greatest swing. */
  private readonly fixedCosine: number;
  private readonly fixedSine: number;
  private readonly overlap: PortOverlap;
  private readonly chokeRatio: Float64Array;
  /** Per cylinder: to the fixed port at the swing of the outward stroke, then to the other; and the areas they leave. */
  private readonly distance2M2: Float64Array;
  private readonly areaM2: Float64Array;
  private readonly endsPerCylinder: number;

  /** @throws RangeError for a pin that would reach the trunnion, or ports without size */
  constructor(gear: OscillatingGear, strokeM: number, faults: readonly CylinderFaults[], endsPerCylinder: 1 | 2) {
    const { portDiameterM, portRadiusM, pivotDistanceM } = gear;
    const crankRadiusM = strokeM / 2;
    if (!(pivotDistanceM > crankRadiusM && pivotDistanceM < Infinity)) {
      throw new RangeError(
        `valveGear: pivotDistance must be more than half the stroke, ${crankRadiusM} m, got ${pivotDistanceM} m. ` +
          `It runs from the trunnion to the crank centre.`,
      );
    }
    if (!(portDiameterM > 0 && portDiameterM < Infinity)) {
      throw new RangeError(
        `valveGear: portDiameter must be more than 0 m, got ${portDiameterM} m. Give the bore of the port holes.`,
      );
    }
    if (!(portRadiusM > portDiameterM / 2 && portRadiusM < Infinity)) {
      throw new RangeError(
        `valveGear: portRadius must be more than half the port diameter, ${portDiameterM / 2} m, got ` +
          `${portRadiusM} m. It runs from the trunnion to the middle of the port.`,
      );
    }
    this.pivotDistanceM = pivotDistanceM;
    this.crankRadiusM = crankRadiusM;
    this.portRadiusM = portRadiusM;
    this.portDiameterM = portDiameterM;
    this.fixedSine = crankRadiusM / pivotDistanceM;
    this.fixedCosine = Math.sqrt(1 - this.fixedSine * this.fixedSine);
    this.overlap = new PortOverlap(portDiameterM);
    this.endsPerCylinder = endsPerCylinder;
    this.distance2M2 = new Float64Array(2 * faults.length);
    this.areaM2 = new Float64Array(2 * faults.length);
    this.chokeRatio = new Float64Array(faults.length * endsPerCylinder);
    this.portAreaMaxM2 = new Float64Array(faults.length * endsPerCylinder);
    faults.forEach((fault, k) => {
      this.chokeRatio[k * endsPerCylinder] = fault.headPortRatio;
      if (endsPerCylinder === 2) this.chokeRatio[2 * k + 1] = fault.crankPortRatio;
    });
    for (let i = 0; i < this.chokeRatio.length; i++) {
      this.portAreaMaxM2[i] = this.chokeRatio[i]! * this.overlap.portAreaM2;
    }
  }

  private pinDistanceM(cosine: number): number {
    const nearest = this.pivotDistanceM - this.crankRadiusM;
    return Math.sqrt(nearest * nearest + 2 * this.pivotDistanceM * this.crankRadiusM * (1 - cosine));
  }

  /** Share of the stroke the piston stands from the head-end dead centre, 0 to 1. */
  pistonPositionOf(cosine: number): number {
    const farthest = this.pinDistanceM(cosine) + this.pivotDistanceM - this.crankRadiusM;
    return (this.pivotDistanceM * (1 - cosine)) / farthest;
  }

  /** Writes the first and second derivative of the pistons' positions by the crank angle, 1/rad and 1/rad2. */
  fillSlopes(cosine: Float64Array, sine: Float64Array, slope: Float64Array, curvature: Float64Array): void {
    const { pivotDistanceM, crankRadiusM } = this;
    const nearestM = pivotDistanceM - crankRadiusM;
    const product = pivotDistanceM * crankRadiusM;
    const perStroke = 1 / (2 * crankRadiusM);
    for (let k = 0; k < cosine.length; k++) {
      const c = cosine[k]!;
      const perPinDistance = 1 / Math.sqrt(nearestM * nearestM + 2 * product * (1 - c));
      const slopeM = product * sine[k]! * perPinDistance;
      slope[k] = slopeM * perStroke;
      curvature[k] = (product * c - slopeM * slopeM) * perPinDistance * perStroke;
    }
  }

  /** Angle the cylinder has swung, positive on the outward stroke running forward. Radians. */
  swingRad(cosine: number, sine: number): number {
    return atan2(this.crankRadiusM * sine, this.pivotDistanceM - this.crankRadiusM * cosine);
  }

  /**
   * Overlap of a port with its inlet along the line of centres; negative: shut by that much.
   *
   * @param towards 1 for the inlet of the head end and the outlet of the crank end, -1 for the others
   */
  openingM(cosine: number, sine: number, towards: 1 | -1): number {
    const pinDistanceM = this.pinDistanceM(cosine);
    const along = (this.pivotDistanceM - this.crankRadiusM * cosine) / pinDistanceM - this.fixedCosine;
    const across = (this.crankRadiusM * sine) / pinDistanceM - towards * this.fixedSine;
    return this.portDiameterM - this.portRadiusM * Math.sqrt(along * along + across * across);
  }

  /** Writes the piston's position in every cylinder and the open areas of every end for the crank of every cylinder. */
  fill(
    cosine: Float64Array,
    sine: Float64Array,
    position: Float64Array,
    steam: Float64Array,
    exhaust: Float64Array,
  ): void {
    const { pivotDistanceM, crankRadiusM, portRadiusM, fixedCosine, fixedSine, overlap, chokeRatio, endsPerCylinder } =
      this;
    const { distance2M2, areaM2 } = this;
    const nearestM = pivotDistanceM - crankRadiusM;
    const portRadius2M2 = portRadiusM * portRadiusM;
    for (let k = 0; k < cosine.length; k++) {
      const risen = 1 - cosine[k]!;
      const pinDistanceM = Math.sqrt(nearestM * nearestM + 2 * pivotDistanceM * crankRadiusM * risen);
      position[k] = (pivotDistanceM * risen) / (pinDistanceM + nearestM);
      const perPinDistance = 1 / pinDistanceM;
      const along = (nearestM + crankRadiusM * risen) * perPinDistance - fixedCosine;
      const swingSine = crankRadiusM * sine[k]! * perPinDistance;
      const toForward = swingSine - fixedSine;
      const toBackward = swingSine + fixedSine;
      distance2M2[2 * k] = portRadius2M2 * (along * along + toForward * toForward);
      distance2M2[2 * k + 1] = portRadius2M2 * (along * along + toBackward * toBackward);
    }
    overlap.fill(distance2M2, areaM2);
    for (let k = 0; k < cosine.length; k++) {
      const head = k * endsPerCylinder;
      steam[head] = areaM2[2 * k]! * chokeRatio[head]!;
      exhaust[head] = areaM2[2 * k + 1]! * chokeRatio[head]!;
      if (endsPerCylinder === 1) continue;
      steam[head + 1] = areaM2[2 * k + 1]! * chokeRatio[head + 1]!;
      exhaust[head + 1] = areaM2[2 * k]! * chokeRatio[head + 1]!;
    }
  }
}
