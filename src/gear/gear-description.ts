/** Which end of a cylinder: `head` is the cover away from the crank. */
export type CylinderEnd = "head" | "crank";

/** One cylinder's iron, the same for every cylinder of a stage. SI units. */
export interface CylinderGeometry {
  readonly boreM: number;
  readonly strokeM: number;
  /** `single`: steam on the head end only. */
  readonly acting: "single" | "double";
  /** Centre to centre. Unused by oscillating cylinders, whose piston rod is the connecting rod. */
  readonly connectingRodM: number;
  readonly pistonRodM: number;
  /** Volume left at dead centre, each end, as a share of that end's swept volume. */
  readonly clearanceRatio: number;
}

/** Slide or piston valve moved harmonically by an eccentric. */
export interface EccentricGear {
  readonly kind: "eccentric";
  readonly admission: "outside" | "inside";
  /** Full-gear travel, twice the eccentric's throw. */
  readonly travelM: number;
  readonly steamLapM: number;
  /** Negative is exhaust clearance. */
  readonly exhaustLapM: number;
  readonly leadM: number;
  readonly portLengthM: number;
  /** Openings are capped at it. */
  readonly portWidthM: number;
}

/** A gear known only by its events; its travel follows from a full-gear opening equal to the port width. */
export interface EventsGear {
  readonly kind: "events";
  readonly admission: "outside" | "inside";
  /** Nominal: crank angle acos(1 - 2 ratio) at both ends, whatever the rod. */
  readonly fullGearCutoffRatio: number;
  readonly leadM: number;
  /** Crank angle of release in full gear, from that end's own dead centre. */
  readonly releaseRad: number;
  readonly portLengthM: number;
  readonly portWidthM: number;
}

/** A cylinder that swings on a trunnion over two fixed round ports. */
export interface OscillatingGear {
  readonly kind: "oscillating";
  readonly portDiameterM: number;
  /** From the trunnion to the cylinder's port and to the fixed ports. */
  readonly portRadiusM: number;
  /** From the trunnion to the crank centre. */
  readonly pivotDistanceM: number;
}

/** Valves of a direct-acting pump, which has no crank: one cylinder trips its own valve, two trip each other's. */
export interface TrippedGear {
  readonly kind: "tripped";
  readonly portLengthM: number;
  readonly portWidthM: number;
  /** Way of a piston to either side of its middle in which it moves no valve, as a share of half its stroke. */
  readonly lostMotionRatio: number;
  /** Of half the valve's travel. */
  readonly steamLapRatio: number;
  /** Last part of the stroke, in which the piston closes the exhaust port, and the share of the port that stays open. */
  readonly cushionRatio: number;
  readonly cushionLeakRatio: number;
  /** Time in which the main valve of a single pump is thrown from one side to the other. */
  readonly throwOverS: number;
}

export type ValveGear = EccentricGear | EventsGear | OscillatingGear | TrippedGear;

/** Whether pistons trip the valves: a pump without a crank, which goes at its own speed in everything. */
export function isCrankless({ valveGear }: Pick<GearDescription, "valveGear">): boolean {
  return valveGear.kind === "tripped";
}

/** A gear that is set by a nominal cut-off. */
export function isSettable(gear: ValveGear): gear is EccentricGear | EventsGear {
  return gear.kind === "eccentric" || gear.kind === "events";
}

/** What is out of true. `cylinder` counts from 1. Signs as in the machine file. */
export type Fault =
  | { readonly kind: "valveRodLength"; readonly cylinder: number; readonly byM: number }
  | { readonly kind: "eccentricSlip"; readonly cylinder: number; readonly byRad: number }
  | { readonly kind: "quartering"; readonly cylinder: number; readonly byRad: number }
  | { readonly kind: "ringLeak"; readonly cylinder: number; readonly areaM2: number }
  | { readonly kind: "portChoke"; readonly cylinder: number; readonly end: CylinderEnd; readonly toRatio: number };

/** Cylinders that work with what those before them have done with. Stroke, connecting rod and acting are the first's. */
export interface LaterStage {
  readonly cylinder: CylinderGeometry;
  readonly cylinderCount: number;
  readonly valveGear: EccentricGear | EventsGear;
}

/** Everything about the iron that decides where valve events fall. */
export interface GearDescription {
  /** Of the cylinders that take steam from the chest: all of them, unless there are later stages. */
  readonly cylinder: CylinderGeometry;
  /** One per cylinder, those of later stages last; the first is 0. Crank k stands at shaft angle + crankAnglesRad[k]. */
  readonly crankAnglesRad: readonly number[];
  readonly valveGear: ValveGear;
  /** Left out: there are none. Otherwise the first gear is one that is set by a cut-off. */
  readonly laterStages?: readonly LaterStage[];
  readonly faults: readonly Fault[];
}
