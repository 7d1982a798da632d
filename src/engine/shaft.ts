import { HeldSpeed } from "./held-speed.js";

/**
 * A shaft that is pushed round: flywheel and all that turns with it, the reciprocating masses with their exact inertia at
 * every angle, friction that can hold it, resistance that grows with the speed.
 *
 * State is the angle and the root of twice the kinetic energy, w = speed x sqrt(inertia): without torque it does not change,
 * however the inertia swings, so that a free shaft keeps its energy for ever. Each tick the torques at the present angle act
 * on it first, friction and resistance as they are after them; then the angle moves on with the new speed. Against a spring of
 * gas that is the leap-frog, which neither feeds nor drains.
 *
 * `advance` is one free tick. A train, which has a say in the speed, calls `push`, sets `speedRadPerS`, and calls `turn`.
 */
export class Shaft {
  /** Counted forward, not folded. */
  angleRad = 0.5;
  /** For the tick last turned. */
  speedRadPerS = 0.5;
  /** At the angle before that tick. */
  accelerationRadPerS2 = 0.5;

  /** For each tick: torque that drives, Nm; friction that holds, Nm; resistance by speed, Nm s, and by its square, Nm s2. */
  driveNm = 0.5;
  dryNm = 0.5;
  linearNmS = 0.5;
  squareNmS2 = 0.5;
  /** For each tick: inertia beside the flywheel's own, as it stands, kg m2, and its change with the angle, kg m2/rad. */
  addedKgM2 = 0.5;
  addedKgM2PerRad = 0.5;

  /** Between `push` and `turn`: inertia, kg m2, speed before, rad/s, and momentum with the driving torque in it, kg m2/s. */
  inertiaKgM2 = 0.5;
  beforeRadPerS = 0.5;
  momentumNmS = 0.5;

  private rootEnergy = 0.5;
  private readonly held = new HeldSpeed();

  /** @param stepS of a tick @param flywheelKgM2 everything that turns with the shaft @throws RangeError for sizes that are not positive */
  constructor(
    readonly stepS: number,
    readonly flywheelKgM2: number,
  ) {
    if (!(stepS > 0 && stepS < Infinity)) {
      throw new RangeError(`Shaft: stepS must be more than 0 s, got ${stepS}. Give the length of a tick.`);
    }
    if (!(flywheelKgM2 > 0 && flywheelKgM2 < Infinity)) {
      throw new RangeError(
        `Shaft: flywheelKgM2 must be more than 0 kg m2, got ${flywheelKgM2}. Give the inertia of all that turns.`,
      );
    }
    this.driveNm = this.dryNm = this.linearNmS = this.squareNmS2 = 0;
    this.addedKgM2 = this.addedKgM2PerRad = 0;
    this.reset(0, 0);
  }

  /** State only: at an angle with a speed, for the inertia as it is set. */
  reset(angleRad: number, speedRadPerS: number): void {
    this.angleRad = angleRad;
    this.speedRadPerS = this.beforeRadPerS = speedRadPerS;
    this.accelerationRadPerS2 = 0;
    this.inertiaKgM2 = this.flywheelKgM2 + this.addedKgM2;
    this.momentumNmS = this.inertiaKgM2 * speedRadPerS;
    this.rootEnergy = Math.sqrt(this.inertiaKgM2) * speedRadPerS;
  }

  /** Kinetic energy of all that moves, J. */
  get energyJ(): number {
    return 0.5 * this.rootEnergy * this.rootEnergy;
  }

  /** One tick against the shaft's own friction and resistance. */
  advance(): void {
    this.push();
    const { stepS, held } = this;
    held.push = this.momentumNmS;
    held.dry = stepS * this.dryNm;
    held.inertia = this.inertiaKgM2 + stepS * this.linearNmS;
    held.square = stepS * this.squareNmS2;
    held.solve();
    this.speedRadPerS = held.speed;
    this.turn();
  }

  /** Takes inertia and driving torque where the shaft stands. */
  push(): void {
    this.inertiaKgM2 = this.flywheelKgM2 + this.addedKgM2;
    this.beforeRadPerS = this.rootEnergy / Math.sqrt(this.inertiaKgM2);
    this.momentumNmS = this.inertiaKgM2 * this.beforeRadPerS + this.stepS * this.driveNm;
  }

  /** Turns on with the speed in `speedRadPerS`. */
  turn(): void {
    const { stepS, inertiaKgM2, beforeRadPerS } = this;
    const after = this.speedRadPerS;
    this.rootEnergy = Math.sqrt(inertiaKgM2) * after;
    // A free shaft slows where its inertia rises: speed^2 x inertia stays.
    const swing = this.addedKgM2PerRad / inertiaKgM2;
    const middle = 0.5 * (beforeRadPerS + after);
    this.accelerationRadPerS2 = (after - beforeRadPerS) / stepS - 0.5 * swing * middle * middle;
    const lag = 0.25 * swing * after * stepS;
    this.angleRad += after * stepS * (1 - Math.max(-0.5, Math.min(0.5, lag)));
  }
}
