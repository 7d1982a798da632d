import { cos, sin } from "../quantities/portable-maths.js";
import { fullGearCutoffRatio, fullGearQuarterThrowM, QuarterThrow } from "./equivalent-eccentric.js";
import { CrankTurn } from "./crank-turn.js";
import { faultsOfCylinder, requireFaultsFit } from "./faults-of-gear.js";
import { type CylinderEnd, type GearDescription, isSettable } from "./gear-description.js";
import { OscillatingPorts } from "./oscillating.js";
import { requireCylinder } from "./require-cylinder.js";
import { SliderCranks, pistonPositionRatio } from "./slider-crank.js";
import { StageValves } from "./stage-valves.js";
import { type Stage, stagesOf } from "./stages.js";
import { TrippedValves } from "./tripped-valves.js";

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
  /** As steam goes through them; their ends follow each other in every array. */
  readonly stages: readonly Stage[];
  /** The ends from this one on exhaust to the air or the condenser; those before it into a receiver. */
  readonly firstOutEnd: number;
  readonly steamAreaM2: Float64Array;
  readonly exhaustAreaM2: Float64Array;
  /** Clearance and what the piston has left free so far. */
  readonly volumeM3: Float64Array;
  /** Face of the piston; at the crank end less the piston rod. */
  readonly pistonAreaM2: Float64Array;
  readonly sweptM3: Float64Array;
  /** The port fully open, less its choke. */
  readonly portAreaMaxM2: Float64Array;
  /**
   * Of the first stage. Inside admission has the events of outside admission from a valve that moves the other way.
   */
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
  /** Left at dead centre, per end. */
  readonly clearanceM3: Float64Array;

  private readonly openingsMaxM: Float64Array;
  private readonly endsPerCylinder: 1 | 2;
  private readonly crankOffsetRad: Float64Array;
  private readonly turn: CrankTurn;
  /** Share of the stroke from the head-end dead centre, per cylinder. */
  readonly position: Float64Array;
  private readonly rodRatio: number;
  private readonly strokeM: number;
  private readonly sliders: SliderCranks;
  private readonly throwFinder: QuarterThrow | null;
  private readonly firstFullQuarterM: number;
  /** One for each stage; empty where no eccentric moves them. */
  private readonly stageValves: readonly StageValves[];
  /** -1 where outside admission moves the valve away from the head to admit there, else 1; per cylinder. */
  private readonly towardsHead: Float64Array;
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
    this.stages = stagesOf(gear);
    this.firstOutEnd = this.stages.at(-1)!.firstEnd;
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
    this.towardsHead = new Float64Array(cylinderCount).fill(-1);
    this.steamAreaM2 = new Float64Array(endCount);
    this.exhaustAreaM2 = new Float64Array(endCount);
    this.volumeM3 = new Float64Array(endCount);
    this.openingsMaxM = new Float64Array(endCount);
    this.stageValves = this.stages.flatMap((stage) =>
      isSettable(stage.valveGear)
        ? [new StageValves(stage, stage.valveGear, faults, this.turn, this, this.valveMPerRad)]
        : [],
    );
    const [first] = this.stageValves;
    this.throwFinder = first === undefined ? null : new QuarterThrow(first.valve);
    if (first !== undefined) this.cutoffRatio[0] = fullGearCutoffRatio(first.valve);
    this.firstFullQuarterM = first === undefined ? 0 : fullGearQuarterThrowM(first.valve);
    this.swinging =
      valveGear.kind === "oscillating"
        ? new OscillatingPorts(valveGear, cylinder.strokeM, faults, endsPerCylinder)
        : null;
    this.tripped = valveGear.kind === "tripped" ? new TrippedValves(valveGear, faults, endsPerCylinder) : null;
    this.admission = first === undefined ? "outside" : first.admission;
    const kept = this.swinging ?? this.tripped;
    this.portAreaMaxM2 = kept === null ? new Float64Array(endCount) : kept.portAreaMaxM2;
    this.openingsMaxM.fill(valveGear.kind === "oscillating" ? valveGear.portDiameterM : valveGear.portWidthM);
    for (const { valves, admission, openingMaxM, firstEnd, firstCylinder } of this.stageValves) {
      this.portAreaMaxM2.set(valves.portAreaMaxM2, firstEnd);
      this.openingsMaxM.fill(openingMaxM, firstEnd);
      this.towardsHead.fill(admission === "outside" ? -1 : 1, firstCylinder);
    }
    this.ends = Array.from({ length: endCount }, (_, i) => ({
      cylinder: Math.floor(i / endsPerCylinder) + 1,
      end: i % endsPerCylinder === 0 ? "head" : "crank",
    }));
    this.pistonAreaM2 = new Float64Array(endCount);
    this.clearanceM3 = new Float64Array(endCount);
    this.sweptM3 = new Float64Array(endCount);
    for (const stage of this.stages) this.sizeEnds(stage);
    this.process(0);
    this.processSlopes();
  }

  private sizeEnds({ cylinder, firstEnd, endCount }: Stage): void {
    const boreAreaM2 = 0.25 * Math.PI * cylinder.boreM * cylinder.boreM;
    const rodAreaM2 = 0.25 * Math.PI * cylinder.pistonRodM * cylinder.pistonRodM;
    for (let i = firstEnd; i < firstEnd + endCount; i++) {
      const areaM2 = this.ends[i]!.end === "head" ? boreAreaM2 : boreAreaM2 - rodAreaM2;
      this.pistonAreaM2[i] = areaM2;
      this.sweptM3[i] = areaM2 * cylinder.strokeM;
      this.clearanceM3[i] = this.sweptM3[i]! * cylinder.clearanceRatio;
    }
  }

  /**
   * Sets the gear of the first stage; later ones stay in full gear and go over with it. No effect on oscillating cylinders.
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
    const { throwFinder, stageValves } = this;
    if (throwFinder === null) return;
    throwFinder.cutoffRatio[0] = this.cutoffRatio[0]!;
    throwFinder.find();
    stageValves[0]!.valves.takeQuarterThrow(throwFinder.quarterM);
    for (let s = 1; s < stageValves.length; s++) stageValves[s]!.follow(throwFinder.quarterM, this.firstFullQuarterM);
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
    const { turn, stageValves, swinging, tripped, position, volumeM3, clearanceM3, sweptM3, endsPerCylinder } = this;
    const { cosine, sine } = turn;
    turn.turn();
    if (stageValves.length > 0) {
      this.sliders.fill(cosine, sine, position);
      for (let s = 0; s < stageValves.length; s++) stageValves[s]!.fillAreas();
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
    const { turn, stageValves, swinging, pistonMPerRad, pistonMPerRad2, valveMPerRad, towardsHead, strokeM } = this;
    const { cosine, sine } = turn;
    if (stageValves.length > 0) {
      this.sliders.fillSlopes(cosine, sine, pistonMPerRad, pistonMPerRad2);
      for (let s = 0; s < stageValves.length; s++) stageValves[s]!.fillSlopes();
    } else if (swinging !== null) {
      swinging.fillSlopes(cosine, sine, pistonMPerRad, pistonMPerRad2);
    }
    for (let k = 0; k < pistonMPerRad.length; k++) {
      pistonMPerRad[k] = strokeM * pistonMPerRad[k]!;
      pistonMPerRad2[k] = strokeM * pistonMPerRad2[k]!;
      valveMPerRad[k] = towardsHead[k]! * valveMPerRad[k]!;
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
   * overlap on the line of centres. Not capped at `openingMaxM(endIndex)`; negative: shut by that much. Metres.
   */
  steamOpeningM(endIndex: number, shaftRad: number): number {
    const crankRad = this.crankAngleRad(this.ends[endIndex]!.cylinder, shaftRad);
    const stage = this.stageOfEnd(endIndex);
    if (stage !== null) return stage.valves.steamOpeningM(endIndex - stage.firstEnd, cos(crankRad), sin(crankRad));
    const towards = this.ends[endIndex]!.end === "head" ? 1 : -1;
    return this.swinging === null ? 0 : this.swinging.openingM(cos(crankRad), sin(crankRad), towards);
  }

  /** The same for the exhaust port. */
  exhaustOpeningM(endIndex: number, shaftRad: number): number {
    const crankRad = this.crankAngleRad(this.ends[endIndex]!.cylinder, shaftRad);
    const stage = this.stageOfEnd(endIndex);
    if (stage !== null) return stage.valves.exhaustOpeningM(endIndex - stage.firstEnd, cos(crankRad), sin(crankRad));
    const towards = this.ends[endIndex]!.end === "head" ? -1 : 1;
    return this.swinging === null ? 0 : this.swinging.openingM(cos(crankRad), sin(crankRad), towards);
  }

  /**
   * Where the valve of a cylinder, counted from 1, stands from its middle, positive towards the head-end cover. With
   * outside admission it moves away from that cover to admit at the head end, with inside admission towards it. 0 for
   * oscillating cylinders. Metres.
   */
  valvePositionM(cylinder: number, shaftRad: number): number {
    const stage = this.stageOfEnd((cylinder - 1) * this.endsPerCylinder);
    if (stage === null) return 0;
    const crankRad = this.crankAngleRad(cylinder, shaftRad);
    const ownIndex = cylinder - 1 - stage.firstCylinder;
    const towardsAdmissionM = stage.valves.displacementM(ownIndex, cos(crankRad), sin(crankRad));
    return stage.admission === "outside" ? -towardsAdmissionM : towardsAdmissionM;
  }

  /** A greater opening of this end, by its place in `ends`, does not widen the port. */
  openingMaxM(endIndex: number): number {
    return this.openingsMaxM[endIndex]!;
  }

  private stageOfEnd(endIndex: number): StageValves | null {
    return this.stageValves.filter(({ firstEnd }) => firstEnd <= endIndex).at(-1) ?? null;
  }
}
