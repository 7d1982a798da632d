import { cos, sin } from "../quantities/portable-maths.js";
import { fullGearQuarterThrowM, QuarterThrow } from "./equivalent-eccentric.js";
import { CrankTurn } from "./crank-turn.js";
import { faultsOfCylinder, requireFaultsFit } from "./faults-of-gear.js";
import type { CylinderEnd, GearDescription } from "./gear-description.js";
import { HarmonicValves } from "./harmonic-valves.js";
import { OscillatingPorts } from "./oscillating.js";
import { requireCylinder } from "./require-cylinder.js";
import { SliderCranks, pistonPositionRatio } from "./slider-crank.js";
import { TrippedValves } from "./tripped-valves.js";
import { valveDimensions } from "./valve-dimensions.js";

/** One end of one cylinder. */
export interface MotionEnd {
  /** Counted from 1. */
  readonly cylinder: number;
  readonly end: CylinderEnd;
}

/**
 * The motion of a whole machine: shaft angle in, port areas and cylinder volumes out, for every end.
 *
 * Every array has one entry per end, in the order cylinder 1 head, cylinder 1 crank, cylinder 2 head, and so on;
 * single-acting cylinders have a head end only. Areas are geometric, without discharge coefficients. The shaft angle is
 * the crank angle of cylinder 1 counted forward from its head-end dead centre; it falls when running backward.
 *
 * @example
 * const motion = new Motion(gear);
 * motion.setCutoff(0.5);
 * motion.process(1.2);
 * motion.steamAreaM2[0]; // what is open from the chest to the head end of cylinder 1
 */
export class Motion {
  readonly ends: readonly MotionEnd[];
  readonly steamAreaM2: Float64Array;
  readonly exhaustAreaM2: Float64Array;
  /** Clearance and what the piston has left free so far. */
  readonly volumeM3: Float64Array;
  /** Face of the piston; at the crank end less the piston rod. */
  readonly pistonAreaM2: Float64Array;
  readonly sweptM3: Float64Array;
  /** The port fully open, less its choke. */
  readonly portAreaMaxM2: Float64Array;
  /** Inside admission has the events of outside admission from a valve that moves the other way. */
  readonly admission: "outside" | "inside";
  /** One number: the shaft angle last processed, or the one that `processShaft` is to take. */
  readonly shaftRad: Float64Array;
  /** One number: the cut-off last set, or the one that `takeCutoff` is to take. */
  readonly cutoffRatio = new Float64Array(1);
  /**
   * Filled by `processSlopes`, one entry per cylinder: how far the piston goes towards the crank for a radian of crank,
   * m/rad; the change of that with the angle, m/rad2; and how far the valve goes the way `valvePositionM` counts, m/rad.
   */
  readonly pistonMPerRad: Float64Array;
  readonly pistonMPerRad2: Float64Array;
  readonly valveMPerRad: Float64Array;
  /** A greater opening than this does not widen the port. */
  readonly openingMaxM: number;

  private readonly clearanceM3: Float64Array;
  private readonly endsPerCylinder: 1 | 2;
  private readonly crankOffsetRad: Float64Array;
  private readonly turn: CrankTurn;
  /** Share of the stroke from the head-end dead centre, per cylinder. */
  readonly position: Float64Array;
  private readonly rodRatio: number;
  private readonly strokeM: number;
  private readonly sliders: SliderCranks;
  private readonly throwFinder: QuarterThrow | null;
  private readonly valves: HarmonicValves | null;
  private readonly swinging: OscillatingPorts | null;
  /** Of a pump without a crank: its owner moves the pistons in `position` and the valves after them. */
  readonly tripped: TrippedValves | null;

  /** Stands in full forward gear at shaft angle 0. @throws RangeError for iron that cannot turn, or ports that never open */
  constructor(gear: GearDescription) {
    const { cylinder, valveGear } = gear;
    requireCylinder(gear);
    requireFaultsFit(gear);
    const cylinderCount = gear.crankAnglesRad.length;
    const endsPerCylinder = cylinder.acting === "double" ? 2 : 1;
    const endCount = cylinderCount * endsPerCylinder;
    const faults = gear.crankAnglesRad.map((_, k) => faultsOfCylinder(gear, k + 1));
    this.endsPerCylinder = endsPerCylinder;
    if (valveGear.kind === "tripped") {
      this.throwFinder = null;
      this.valves = null;
      this.swinging = null;
      this.tripped = new TrippedValves(valveGear, faults, endsPerCylinder);
      this.portAreaMaxM2 = this.tripped.portAreaMaxM2;
      this.admission = "outside";
      this.openingMaxM = valveGear.portWidthM;
    } else if (valveGear.kind === "oscillating") {
      this.throwFinder = null;
      this.valves = null;
      this.tripped = null;
      this.swinging = new OscillatingPorts(valveGear, cylinder.strokeM, faults, endsPerCylinder);
      this.portAreaMaxM2 = this.swinging.portAreaMaxM2;
      this.admission = "outside";
      this.openingMaxM = valveGear.portDiameterM;
    } else {
      const valve = valveDimensions(valveGear);
      this.throwFinder = new QuarterThrow(valve);
      this.valves = new HarmonicValves(valve, faults, endsPerCylinder);
      this.valves.setQuarterThrow(fullGearQuarterThrowM(valve));
      this.swinging = null;
      this.tripped = null;
      this.portAreaMaxM2 = this.valves.portAreaMaxM2;
      this.admission = valveGear.admission;
      this.openingMaxM = valveGear.portWidthM;
    }
    this.rodRatio = cylinder.connectingRodM / (cylinder.strokeM / 2);
    this.crankOffsetRad = Float64Array.from(faults, (fault, k) => gear.crankAnglesRad[k]! + fault.crankLeadRad);
    this.turn = new CrankTurn(this.crankOffsetRad);
    this.shaftRad = this.turn.shaftRad;
    this.sliders = new SliderCranks(this.rodRatio);
    this.position = new Float64Array(cylinderCount);
    this.strokeM = cylinder.strokeM;
    this.pistonMPerRad = new Float64Array(cylinderCount);
    this.pistonMPerRad2 = new Float64Array(cylinderCount);
    this.valveMPerRad = new Float64Array(cylinderCount);

    this.steamAreaM2 = new Float64Array(endCount);
    this.exhaustAreaM2 = new Float64Array(endCount);
    this.volumeM3 = new Float64Array(endCount);
    const boreAreaM2 = 0.25 * Math.PI * cylinder.boreM * cylinder.boreM;
    const rodAreaM2 = 0.25 * Math.PI * cylinder.pistonRodM * cylinder.pistonRodM;
    const ends: MotionEnd[] = [];
    for (let i = 0; i < endCount; i++) {
      const isHead = i % endsPerCylinder === 0;
      ends.push({ cylinder: Math.floor(i / endsPerCylinder) + 1, end: isHead ? "head" : "crank" });
    }
    this.ends = ends;
    this.pistonAreaM2 = Float64Array.from(ends, ({ end }) => (end === "head" ? boreAreaM2 : boreAreaM2 - rodAreaM2));
    this.sweptM3 = this.pistonAreaM2.map((areaM2) => areaM2 * cylinder.strokeM);
    this.clearanceM3 = this.sweptM3.map((sweptM3) => sweptM3 * cylinder.clearanceRatio);
    this.process(0);
    this.processSlopes();
  }

  /**
   * Sets the gear of every cylinder. No effect on oscillating cylinders.
   *
   * @param cutoffRatio nominal, signed, as `resolveCutoff` returns it; negative is backward gear. Beyond full gear it
   *   stays in full gear; nearer mid gear than the gear can cut off it is mid gear.
   * @throws RangeError for a value outside -1 to 1
   */
  setCutoff(cutoffRatio: number): void {
    if (!(cutoffRatio >= -1 && cutoffRatio <= 1)) {
      throw new RangeError(
        `Motion: cutoffRatio must be from -1 to 1, got ${cutoffRatio}. Give the share of the stroke, not per cent.`,
      );
    }
    this.cutoffRatio[0] = cutoffRatio;
    this.takeCutoff();
  }

  /** Settings only: the same for the cut-off in `cutoffRatio[0]`, from -1 to 1, as a running engine asks for it. */
  takeCutoff(): void {
    if (this.valves === null || this.throwFinder === null) return;
    this.throwFinder.cutoffRatio[0] = this.cutoffRatio[0]!;
    this.throwFinder.find();
    this.valves.takeQuarterThrow(this.throwFinder.quarterM);
  }

  /** Back to shaft angle 0. The gear stays as set. */
  reset(): void {
    this.process(0);
  }

  /**
   * Fills the areas and volumes for a shaft angle, any number of turns, either sign. A tight loop that counts every byte
   * writes `shaftRad[0]` and calls `processShaft` instead: an angle handed over as an argument may be a new number on
   * the heap.
   */
  process(shaftRad: number): void {
    this.shaftRad[0] = shaftRad;
    this.processShaft();
  }

  /** Fills the areas and volumes for the angle in `shaftRad`. Allocates nothing. */
  processShaft(): void {
    const { turn, valves, swinging, tripped, position, volumeM3, clearanceM3, sweptM3, endsPerCylinder } = this;
    const { cosine, sine } = turn;
    turn.turn();
    if (valves !== null) {
      this.sliders.fill(cosine, sine, position);
      valves.fillAreas(cosine, sine, this.steamAreaM2, this.exhaustAreaM2);
    } else if (swinging !== null) {
      swinging.fill(cosine, sine, position, this.steamAreaM2, this.exhaustAreaM2);
    } else if (tripped !== null) {
      tripped.fillAreas(position, this.steamAreaM2, this.exhaustAreaM2);
    }
    for (let k = 0; k < position.length; k++) {
      const head = k * endsPerCylinder;
      volumeM3[head] = clearanceM3[head]! + sweptM3[head]! * position[k]!;
      if (endsPerCylinder === 2) {
        volumeM3[head + 1] = clearanceM3[head + 1]! + sweptM3[head + 1]! * (1 - position[k]!);
      }
    }
  }

  /** Fills the derivatives by the crank angle, for the shaft angle last processed. Allocates nothing. */
  processSlopes(): void {
    const { turn, valves, swinging, pistonMPerRad, pistonMPerRad2, valveMPerRad, strokeM } = this;
    const { cosine, sine } = turn;
    if (valves !== null) {
      this.sliders.fillSlopes(cosine, sine, pistonMPerRad, pistonMPerRad2);
      valves.fillSlopes(cosine, sine, valveMPerRad);
    } else if (swinging !== null) {
      swinging.fillSlopes(cosine, sine, pistonMPerRad, pistonMPerRad2);
    }
    const towardsHead = this.admission === "outside" ? -1 : 1;
    for (let k = 0; k < pistonMPerRad.length; k++) {
      pistonMPerRad[k] = strokeM * pistonMPerRad[k]!;
      pistonMPerRad2[k] = strokeM * pistonMPerRad2[k]!;
      valveMPerRad[k] = towardsHead * valveMPerRad[k]!;
    }
  }

  /** Crank angle of a cylinder, counted from 1, from its head-end dead centre, not wrapped. A quartering error is in it. */
  crankAngleRad(cylinder: number, shaftRad: number): number {
    return shaftRad + this.crankOffsetRad[cylinder - 1]!;
  }

  /** Share of the stroke the piston of a cylinder, counted from 1, stands from its head-end dead centre, 0 to 1. */
  pistonPositionRatio(cylinder: number, shaftRad: number): number {
    const crankRad = this.crankAngleRad(cylinder, shaftRad);
    if (this.swinging !== null) return this.swinging.pistonPositionOf(cos(crankRad));
    return pistonPositionRatio(crankRad, this.rodRatio);
  }

  /**
   * How far the steam port of an end, by its place in `ends`, is open: the width uncovered, or for round ports their
   * overlap on the line of centres. Not capped at `openingMaxM`; negative: shut by that much. Metres.
   */
  steamOpeningM(endIndex: number, shaftRad: number): number {
    const crankRad = this.crankAngleRad(this.ends[endIndex]!.cylinder, shaftRad);
    if (this.valves !== null) return this.valves.steamOpeningM(endIndex, cos(crankRad), sin(crankRad));
    const towards = this.ends[endIndex]!.end === "head" ? 1 : -1;
    return this.swinging === null ? 0 : this.swinging.openingM(cos(crankRad), sin(crankRad), towards);
  }

  /** The same for the exhaust port. */
  exhaustOpeningM(endIndex: number, shaftRad: number): number {
    const crankRad = this.crankAngleRad(this.ends[endIndex]!.cylinder, shaftRad);
    if (this.valves !== null) return this.valves.exhaustOpeningM(endIndex, cos(crankRad), sin(crankRad));
    const towards = this.ends[endIndex]!.end === "head" ? -1 : 1;
    return this.swinging === null ? 0 : this.swinging.openingM(cos(crankRad), sin(crankRad), towards);
  }

  /**
   * Where the valve of a cylinder, counted from 1, stands from its middle, positive towards the head-end cover. With
   * outside admission it moves away from that cover to admit at the head end, with inside admission towards it. 0 for
   * oscillating cylinders. Metres.
   */
  valvePositionM(cylinder: number, shaftRad: number): number {
    if (this.valves === null) return 0;
    const crankRad = this.crankAngleRad(cylinder, shaftRad);
    const towardsAdmissionM = this.valves.displacementM(cylinder - 1, cos(crankRad), sin(crankRad));
    return this.admission === "outside" ? -towardsAdmissionM : towardsAdmissionM;
  }
}
