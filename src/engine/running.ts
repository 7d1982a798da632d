import { CrankForce } from "./crank-force.js";
import type { EngineDescription } from "./engine-description.js";
import type { EngineParts } from "./engine-parts.js";
import { Governor } from "./governor.js";
import { Load } from "./load.js";
import type { GearingDescription, RunningDescription } from "./running-description.js";
import { Shaft } from "./shaft.js";
import { Train } from "./train.js";
import { ValveLift } from "./valve-lift.js";
import type { VoiceRecord } from "./voice-record.js";

// Barring gear brings a shaft to its speed in about so long. [common practice]
const barringS = 0.05;

/** Crank turns for one turn of wheels, drum or pump. */
export function crankTurnsPerDrivenTurn(gearing: GearingDescription | null): number {
  if (gearing === null) return 1;
  return gearing.pairs.reduce((ratio, { driving, driven }) => (ratio * driven) / driving, 1);
}

/**
 * A machine that turns itself: forces of the gas at the cranks, shaft, brake, load or train, and governor.
 *
 * Once a tick, before the engine's `process`, `advance` turns the shaft on by what the gas did in the tick before and leaves
 * its angle in `motion.shaftRad`. The controls are read then; regulator and cut-off are the owner's, by `openRatio` of the
 * governor if there is one.
 *
 * @example
 * running.brakeRatio = 0.2;
 * running.advance();
 * engine.process();
 */
export class Running {
  readonly crankForce: CrankForce;
  readonly shaft: Shaft;
  readonly load: Load | null;
  readonly train: Train | null;
  readonly governor: Governor | null;
  /** Friction of the engine itself at the crankshaft, Nm. */
  readonly frictionNm: number;
  /** Controls: 0 none to 1 as described, more is overload; brake 0 off to 1 full on. */
  loadRatio = 0.5;
  brakeRatio = 0.5;
  /**
   * Speed at which barring gear, or a hand, turns the shaft as long as it would go slower that way, rad/s; 0 is none, negative
   * turns it backwards.
   */
  barringRadPerS = 0.5;

  private takenLoadRatio = 0.5;
  private takenBrakeRatio = 0.5;
  private readonly valveLift: ValveLift;

  /** @throws RangeError for iron that cannot turn */
  constructor(
    private readonly parts: Pick<EngineParts, "motion" | "ends" | "chest" | "receivers" | "network" | "stepS">,
    description: EngineDescription,
    private readonly running: RunningDescription,
    private readonly voice: VoiceRecord,
  ) {
    const { gear, ambient } = description;
    const { motion, stepS } = parts;
    if (!(running.frictionPa >= 0 && running.brakeTorqueNm >= 0)) {
      throw new RangeError(
        `running: friction and brake must be 0 or more, got ${running.frictionPa} Pa and ${running.brakeTorqueNm} Nm. ` +
          `They stand against the motion by themselves.`,
      );
    }
    this.crankForce = new CrankForce(parts, gear, running.reciprocatingKg, ambient.pressurePa, voice);
    this.shaft = new Shaft(stepS, running.inertiaKgM2);
    this.load = running.load === null ? null : new Load(running.load);
    this.train =
      running.train === null
        ? null
        : new Train(
            running.train,
            this.shaft,
            description.wheelDiameterM ?? 0,
            crankTurnsPerDrivenTurn(running.gearing),
          );
    this.governor = running.governor === null ? null : new Governor(stepS, running.governor);
    const lifts = (description.fittings?.valvesLift ?? false) && gear.valveGear.kind !== "oscillating";
    this.valveLift = new ValveLift(parts, lifts, voice);
    const sweptM3 = motion.sweptM3.reduce((sum, each) => sum + each, 0);
    this.frictionNm = (running.frictionPa * sweptM3) / (2 * Math.PI);
    this.loadRatio = this.takenLoadRatio = 1;
    this.brakeRatio = this.takenBrakeRatio = 0;
    this.barringRadPerS = 0;
    this.reset(0);
  }

  /** State only: at the angle at which the engine was reset, with a speed; a train rolls with it. */
  reset(speedRadPerS: number): void {
    const { crankForce, shaft, train, voice } = this;
    crankForce.reset();
    shaft.addedKgM2 = crankForce.inertiaKgM2;
    shaft.addedKgM2PerRad = crankForce.inertiaKgM2PerRad;
    shaft.reset(this.parts.motion.shaftRad[0]!, speedRadPerS);
    train?.reset();
    this.governor?.reset(speedRadPerS);
    this.valveLift.reset();
    voice.shaftRad = shaft.angleRad;
    voice.shaftRadPerS = speedRadPerS;
    voice.loadTorqueNm = voice.slipMPerS = voice.roadM = 0;
    voice.roadMPerS = train === null ? 0 : train.roadMPerS;
  }

  /** One tick of iron. */
  advance(): void {
    const { crankForce, shaft, load, train, governor } = this;
    this.takeControls();
    crankForce.measure();
    shaft.addedKgM2 = crankForce.inertiaKgM2;
    shaft.addedKgM2PerRad = crankForce.inertiaKgM2PerRad;
    shaft.driveNm = crankForce.torqueNm;
    shaft.dryNm = this.frictionNm + this.brakeRatio * this.running.brakeTorqueNm;
    if (load !== null) {
      shaft.driveNm += load.driveNm;
      shaft.dryNm += load.dryNm;
      shaft.linearNmS = load.linearNmS;
      shaft.squareNmS2 = load.squareNmS2;
    }
    if (this.barringRadPerS !== 0) this.bar();
    if (train === null) shaft.advance();
    else train.advance();
    crankForce.speedRadPerS = 0.5 * (shaft.beforeRadPerS + shaft.speedRadPerS);
    crankForce.accelerationRadPerS2 = shaft.accelerationRadPerS2;
    crankForce.record();
    this.valveLift.process();
    if (governor !== null) {
      governor.speedRadPerS = shaft.speedRadPerS;
      governor.advance();
    }
    this.parts.motion.shaftRad[0] = shaft.angleRad;
    this.tell();
  }

  /** A pawl: it takes the shaft along and lets it run on. What it would take to come up within `barringS` is its pull, and friction in its way. */
  private bar(): void {
    const { shaft, barringRadPerS } = this;
    const short = barringRadPerS - shaft.speedRadPerS;
    if (short * barringRadPerS <= 0) return;
    const inertia = shaft.flywheelKgM2 + shaft.addedKgM2 + (this.train === null ? 0 : this.train.referredKgM2);
    shaft.driveNm += (short * inertia) / barringS + Math.sign(barringRadPerS) * shaft.dryNm;
  }

  private takeControls(): void {
    if (this.loadRatio !== this.takenLoadRatio) {
      this.takenLoadRatio = this.loadRatio;
      this.load?.setRatio(this.loadRatio);
      this.train?.setLoad(this.loadRatio);
    }
    if (this.brakeRatio !== this.takenBrakeRatio) {
      this.takenBrakeRatio = this.brakeRatio;
      this.train?.setBrake(this.brakeRatio);
    }
  }

  /** Tells the voices how shaft and train run; a load that holds a standing shaft takes no torque. */
  private tell(): void {
    const { shaft, load, train, voice } = this;
    const speed = shaft.speedRadPerS;
    voice.shaftRad = shaft.angleRad;
    voice.shaftRadPerS = speed;
    voice.brakeRatio = this.brakeRatio;
    let taken = 0;
    if (load !== null) {
      const dryNm = Math.sign(speed) * load.dryNm;
      taken = dryNm - load.driveNm + speed * (load.linearNmS + load.squareNmS2 * Math.abs(speed));
    }
    if (train !== null) {
      taken += train.gripNm;
      voice.roadMPerS = train.roadMPerS;
      voice.slipMPerS = train.slipMPerS;
      voice.roadM = train.roadM;
    }
    voice.loadTorqueNm = taken;
  }
}
