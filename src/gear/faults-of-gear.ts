import { type GearDescription, isCrankless } from "./gear-description.js";

/** What the faults of one cylinder come to for its motion; faults of the same kind add up, chokes multiply. */
export interface CylinderFaults {
  /** Shift of the valve that uncovers the head-end steam port. */
  readonly valveShiftM: number;
  /** Late in forward gear. */
  readonly eccentricLateRad: number;
  /** The crank leads by this much more. */
  readonly crankLeadRad: number;
  /** What is left of the port area of each end, 0 to 1. */
  readonly headPortRatio: number;
  readonly crankPortRatio: number;
}

/**
 * Faults that change the motion of one cylinder. Leaks are the engine's and are passed over.
 *
 * @param cylinder counted from 1
 */
export function faultsOfCylinder(gear: GearDescription, cylinder: number): CylinderFaults {
  let valveShiftM = 0;
  let eccentricLateRad = 0;
  let crankLeadRad = 0;
  let headPortRatio = 1;
  let crankPortRatio = 1;
  for (const fault of gear.faults) {
    if (fault.cylinder !== cylinder) continue;
    if (fault.kind === "valveRodLength") valveShiftM += fault.byM;
    else if (fault.kind === "eccentricSlip") eccentricLateRad += fault.byRad;
    else if (fault.kind === "quartering") crankLeadRad += fault.byRad;
    else if (fault.kind === "portChoke" && fault.end === "head") headPortRatio *= fault.toRatio;
    else if (fault.kind === "portChoke") crankPortRatio *= fault.toRatio;
  }
  return { valveShiftM, eccentricLateRad, crankLeadRad, headPortRatio, crankPortRatio };
}

/** @throws RangeError for a fault of a cylinder, an end or a part that this machine does not have */
export function requireFaultsFit(gear: GearDescription): void {
  const count = gear.crankAnglesRad.length;
  for (const fault of gear.faults) {
    const { kind, cylinder } = fault;
    if (!(Number.isInteger(cylinder) && cylinder >= 1 && cylinder <= count)) {
      throw new RangeError(`faults: cylinder must be from 1 to ${count}, got ${cylinder}. Name one that is there.`);
    }
    if (isCrankless(gear) && kind !== "ringLeak" && kind !== "portChoke") {
      throw new RangeError(
        `faults: kind must be one that a pump without a crank can have, got ${kind}. Name ringLeak or portChoke.`,
      );
    }
    if (gear.valveGear.kind === "oscillating" && (kind === "valveRodLength" || kind === "eccentricSlip")) {
      throw new RangeError(
        `faults: kind must be one that an oscillating cylinder can have, got ${kind}. It has no valve rod or eccentric.`,
      );
    }
    if (kind !== "portChoke") continue;
    if (!(fault.toRatio >= 0 && fault.toRatio <= 1)) {
      throw new RangeError(`faults: to must be from 0 to 1, got ${fault.toRatio}. It is what is left of the port.`);
    }
    if (gear.cylinder.acting === "single" && fault.end === "crank") {
      throw new RangeError(`faults: end must be head in a single-acting cylinder, got crank. Name the head end.`);
    }
  }
}
