import { cos, sin } from "../quantities/portable-maths.js";
import { deadCentreThrowM } from "./equivalent-eccentric.js";
import type { CylinderFaults } from "./faults-of-gear.js";
import type { ValveDimensions } from "./valve-dimensions.js";

/**
 * Valves driven by an equivalent eccentric, one for each cylinder, faults included.
 *
 * Displacement is counted from the valve's middle, positive towards uncovering the head-end steam port: A cos + B sin of
 * the crank angle, A the lap and lead, B the throw a quarter turn later, negative in backward gear. An eccentric that
 * has slipped stands late on the shaft by that angle. Cosines and sines are those of the crank angle; metres.
 */
export class HarmonicValves {
  /** Fully open, choke included, per end. */
  readonly portAreaMaxM2: Float64Array;
  private readonly portWidthM: number;
  private readonly designDeadCentreM: number;
  private readonly designLapM: number;
  private readonly slipCosine: Float64Array;
  private readonly slipSine: Float64Array;
  /** A and B of each cylinder, slip included. */
  private readonly deadCentreM: Float64Array;
  private readonly quarterM: Float64Array;
  /** Lap as each end sees it, the shift of its valve included. */
  private readonly steamEdgeM: Float64Array;
  private readonly exhaustEdgeM: Float64Array;
  /** Choke included. */
  private readonly quarterThrowM = new Float64Array(1);
  private readonly portLengthM: Float64Array;
  private readonly endsPerCylinder: number;

  /** Stands in mid gear until told otherwise. */
  constructor(valve: ValveDimensions, faults: readonly CylinderFaults[], endsPerCylinder: 1 | 2) {
    const endCount = faults.length * endsPerCylinder;
    this.portWidthM = valve.portWidthM;
    this.designDeadCentreM = deadCentreThrowM(valve);
    this.designLapM = valve.steamLapM;
    this.endsPerCylinder = endsPerCylinder;
    this.slipCosine = Float64Array.from(faults, (fault) => cos(fault.eccentricLateRad));
    this.slipSine = Float64Array.from(faults, (fault) => sin(fault.eccentricLateRad));
    this.deadCentreM = new Float64Array(faults.length);
    this.quarterM = new Float64Array(faults.length);
    this.steamEdgeM = new Float64Array(endCount);
    this.exhaustEdgeM = new Float64Array(endCount);
    this.portLengthM = new Float64Array(endCount);
    this.portAreaMaxM2 = new Float64Array(endCount);
    faults.forEach((fault, k) => {
      for (let side = 0; side < endsPerCylinder; side++) {
        const i = k * endsPerCylinder + side;
        const towardsM = side === 0 ? fault.valveShiftM : -fault.valveShiftM;
        this.steamEdgeM[i] = valve.steamLapM - towardsM;
        this.exhaustEdgeM[i] = valve.exhaustLapM + towardsM;
        const portLengthM = valve.portLengthM * (side === 0 ? fault.headPortRatio : fault.crankPortRatio);
        this.portLengthM[i] = portLengthM;
        this.portAreaMaxM2[i] = portLengthM * valve.portWidthM;
      }
    });
    this.setQuarterThrow(0);
  }

  /** @param quarterM B of every cylinder, signed */
  setQuarterThrow(quarterM: number): void {
    this.quarterThrowM[0] = quarterM;
    this.takeQuarterThrow(this.quarterThrowM);
  }

  /** Settings only: the same, from an array of one number. */
  takeQuarterThrow(quarterThrowM: Float64Array): void {
    const quarterM = quarterThrowM[0]!;
    const deadCentreM = this.designDeadCentreM;
    for (let k = 0; k < this.deadCentreM.length; k++) {
      const cosine = this.slipCosine[k]!;
      const sine = this.slipSine[k]!;
      this.deadCentreM[k] = deadCentreM * cosine - quarterM * sine;
      this.quarterM[k] = deadCentreM * sine + quarterM * cosine;
    }
  }

  /** Where the valve of one cylinder, counted from 0, stands, its shift included. */
  displacementM(cylinderIndex: number, cosine: number, sine: number): number {
    const shiftM = this.designLapM - this.steamEdgeM[cylinderIndex * this.endsPerCylinder]!;
    return this.drivenM(cylinderIndex, cosine, sine) + shiftM;
  }

  private drivenM(cylinderIndex: number, cosine: number, sine: number): number {
    return this.deadCentreM[cylinderIndex]! * cosine + this.quarterM[cylinderIndex]! * sine;
  }

  /** Writes how far each valve moves for a radian of crank, positive towards uncovering the head-end steam port. */
  fillSlopes(cosine: Float64Array, sine: Float64Array, slopeM: Float64Array): void {
    const { deadCentreM, quarterM } = this;
    for (let k = 0; k < cosine.length; k++) slopeM[k] = quarterM[k]! * cosine[k]! - deadCentreM[k]! * sine[k]!;
  }

  /** How far the steam edge of an end, counted from 0, is open; not capped; negative: shut by that much. */
  steamOpeningM(endIndex: number, cosine: number, sine: number): number {
    const isHead = endIndex % this.endsPerCylinder === 0;
    const y = this.drivenM(Math.floor(endIndex / this.endsPerCylinder), cosine, sine);
    return (isHead ? y : -y) - this.steamEdgeM[endIndex]!;
  }

  /** The same for the exhaust edge. */
  exhaustOpeningM(endIndex: number, cosine: number, sine: number): number {
    const isHead = endIndex % this.endsPerCylinder === 0;
    const y = this.drivenM(Math.floor(endIndex / this.endsPerCylinder), cosine, sine);
    return (isHead ? -y : y) - this.exhaustEdgeM[endIndex]!;
  }

  /** Writes the open areas of every end for the crank of every cylinder. */
  fillAreas(cosine: Float64Array, sine: Float64Array, steam: Float64Array, exhaust: Float64Array): void {
    const { deadCentreM, quarterM, steamEdgeM, exhaustEdgeM, portLengthM, endsPerCylinder, portWidthM } = this;
    for (let k = 0; k < cosine.length; k++) {
      const y = deadCentreM[k]! * cosine[k]! + quarterM[k]! * sine[k]!;
      const head = k * endsPerCylinder;
      steam[head] = portLengthM[head]! * Math.min(portWidthM, Math.max(0, y - steamEdgeM[head]!));
      exhaust[head] = portLengthM[head]! * Math.min(portWidthM, Math.max(0, -y - exhaustEdgeM[head]!));
      if (endsPerCylinder === 1) continue;
      const crank = head + 1;
      steam[crank] = portLengthM[crank]! * Math.min(portWidthM, Math.max(0, -y - steamEdgeM[crank]!));
      exhaust[crank] = portLengthM[crank]! * Math.min(portWidthM, Math.max(0, y - exhaustEdgeM[crank]!));
    }
  }
}
