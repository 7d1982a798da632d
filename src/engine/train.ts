import { STANDARD_GRAVITY_M_PER_S2 } from "../quantities/constants.js";
import { HeldSpeed } from "./held-speed.js";
import type { TrainDescription } from "./running-description.js";
import type { Shaft } from "./shaft.js";
import { TrainResistance } from "./train-resistance.js";
import { WheelGrip } from "./wheel-grip.js";

/** Halvings until a grip near standstill is known to the last digits. */
const halvingCount = 56;

/**
 * A locomotive or road engine with what it draws. The driven wheels turn with the shaft, gearing between; the train is a mass
 * of its own on the road; the grip of wheels on rails is all that joins them. Each tick both speeds are found together, with
 * grip, resistance and brakes as they are at its end: wheels that roll stay rolling at any step, wheels that are driven
 * beyond the adhesion slip and bite again, and a standing train is held by its resistance and never pushed by it.
 *
 * `advance` turns the shaft as well: it stands in place of `Shaft.advance`.
 */
export class Train {
  /** Of the train along the road, m/s, and how far it has come, m. */
  roadMPerS = 0.5;
  roadM = 0.5;
  /** Speed of the rims beyond the road's. */
  slipMPerS = 0.5;
  /** Of the rails on the driven wheels, forward, N; at the crankshaft backward, Nm. */
  gripN = 0.5;
  gripNm = 0.5;
  readonly resistance = new TrainResistance();
  readonly grip: WheelGrip;
  /** Way of the rims for a radian of the crankshaft. */
  readonly rimMPerRad: number;

  private massKg = 0.5;
  private brakeRatio = 0.5;
  private brakeN = 0.5;
  // Of the tick at hand: momenta without grip, and what holds wheels and train.
  private spinPush = 0.5;
  private roadPush = 0.5;
  private beyondMPerS = 0.5;
  private readonly heldSpin = new HeldSpeed();
  private readonly heldRoad = new HeldSpeed();
  private isGripping = false;

  /** Rise over distance, positive uphill; the description's own to begin with. */
  gradientRatio = 0.5;

  /** @param crankTurnsPerWheelTurn 1 without gearing @throws RangeError for wheels or masses that are none */
  constructor(
    private readonly description: TrainDescription,
    private readonly shaft: Shaft,
    wheelDiameterM: number,
    crankTurnsPerWheelTurn: number,
  ) {
    const { engineKg, trainKg, gradientRatio, adhesionKg, adhesionRatio, slipRatio } = description;
    if (!(wheelDiameterM > 0 && wheelDiameterM < Infinity)) {
      throw new RangeError(
        `train: wheelDiameter must be more than 0 m, got ${wheelDiameterM}. Give the driven wheels'.`,
      );
    }
    if (!(engineKg > 0 && engineKg < Infinity && trainKg >= 0 && trainKg < Infinity)) {
      throw new RangeError(
        `train: engineMass must be more than 0 kg and trainMass not below it, got ${engineKg} and ${trainKg}. ` +
          `The train's own mass is what load 100 % hangs behind the engine.`,
      );
    }
    if (!(gradientRatio > -1 && gradientRatio < 1)) {
      throw new RangeError(`train: gradient must be between -1 and 1, got ${gradientRatio}. 1 in 100 is 0.01.`);
    }
    this.gradientRatio = gradientRatio;
    this.rimMPerRad = (0.5 * wheelDiameterM) / crankTurnsPerWheelTurn;
    this.grip = new WheelGrip(adhesionKg, adhesionRatio, slipRatio, STANDARD_GRAVITY_M_PER_S2);
    this.heldSpin.square = this.heldRoad.square = 0;
    this.setLoad(1);
    this.setBrake(0);
    this.reset();
  }

  /** Settings only: share of the train behind the engine, 0 none, 1 as described. */
  setLoad(loadRatio: number): void {
    const { engineKg, trainKg, axleCount, frontalM2, resistance } = this.description;
    const load = Math.max(0, loadRatio);
    this.massKg = engineKg + load * trainKg;
    if (resistance === "clark") this.resistance.setClark(this.massKg);
    else {
      const axles = (axleCount * this.massKg) / (engineKg + trainKg);
      this.resistance.setDavis(this.massKg, axles, frontalM2, true);
    }
    this.brakeN = this.brakeRatio * (this.description.brakeRatio ?? 0) * this.massKg * STANDARD_GRAVITY_M_PER_S2;
  }

  /** Settings only: brakes of the train, 0 off, 1 full on. */
  setBrake(brakeRatio: number): void {
    this.brakeRatio = brakeRatio;
    this.brakeN = brakeRatio * (this.description.brakeRatio ?? 0) * this.massKg * STANDARD_GRAVITY_M_PER_S2;
  }

  /** State only: the train rolls with the shaft as it is. */
  reset(): void {
    this.roadMPerS = this.rimMPerRad * this.shaft.speedRadPerS;
    this.roadM = this.slipMPerS = this.gripN = this.gripNm = 0;
    this.grip.reset();
  }

  /** The whole train as an inertia at the crankshaft, kg m2. */
  get referredKgM2(): number {
    return this.massKg * this.rimMPerRad * this.rimMPerRad;
  }

  /** One tick of shaft and train. */
  advance(): void {
    const { shaft, grip, rimMPerRad, massKg, resistance } = this;
    const { stepS } = shaft;
    shaft.push();
    const spin = shaft.beforeRadPerS;
    const road = this.roadMPerS;
    // Resistance by the square, taken with one of its speeds as it was, is met exactly where the speed is steady.
    const inertia = shaft.inertiaKgM2 + stepS * (shaft.linearNmS + shaft.squareNmS2 * Math.abs(spin));
    const mass = massKg + stepS * (resistance.linearNSPerM + resistance.squareNS2PerM2 * Math.abs(road));
    const spinPush = shaft.momentumNmS;
    const spinDry = stepS * shaft.dryNm;
    const gradientN = massKg * STANDARD_GRAVITY_M_PER_S2 * this.gradientRatio;
    const roadPush = massKg * road - stepS * gradientN;
    const roadDry = stepS * (resistance.dryN + this.brakeN);

    grip.rollingMPerS = Math.max(Math.abs(road), Math.abs(rimMPerRad * spin));
    const spinFree = (spinPush - Math.sign(spin) * spinDry) / inertia;
    const roadFree = (roadPush - Math.sign(road) * roadDry) / mass;
    grip.freeMPerS = rimMPerRad * spinFree - roadFree;
    grip.yieldMPerSN = stepS * ((rimMPerRad * rimMPerRad) / inertia + 1 / mass);
    grip.solve();
    this.gripN = grip.gripN;
    let nextSpin = spinFree - (stepS * rimMPerRad * grip.gripN) / inertia;
    let nextRoad = roadFree + (stepS * grip.gripN) / mass;
    if (!(nextSpin * spin > 0 && nextRoad * road > 0)) {
      const { heldSpin, heldRoad } = this;
      heldSpin.dry = spinDry;
      heldSpin.inertia = inertia;
      heldRoad.dry = roadDry;
      heldRoad.inertia = mass;
      this.spinPush = spinPush;
      this.roadPush = roadPush;
      this.gripAtRest();
      nextSpin = heldSpin.speed;
      nextRoad = heldRoad.speed;
      // What holds the one holds the other; rounding would leave it a breath of speed.
      if (this.isGripping && (nextSpin === 0 || nextRoad === 0)) nextSpin = nextRoad = 0;
    }
    this.gripNm = rimMPerRad * this.gripN;
    this.roadMPerS = nextRoad;
    this.roadM += stepS * nextRoad;
    this.slipMPerS = rimMPerRad * nextSpin - nextRoad;
    shaft.speedRadPerS = nextSpin;
    shaft.turn();
  }

  /**
   * Grip where wheels or train stand or turn round, so that friction may hold either: the slip falls as the grip rises, and
   * halving finds where they agree. Wheels that cannot be held have the grip of wheels that slip. Leaves both speeds held.
   */
  private gripAtRest(): void {
    const { adhesionN, bestMPerS } = this.grip;
    this.isGripping = false;
    this.gripN = adhesionN;
    this.holdBoth();
    if (this.beyondMPerS > 0) {
      this.gripN = this.grip.fadedN(this.beyondMPerS + bestMPerS);
      this.holdBoth();
      return;
    }
    this.gripN = -adhesionN;
    this.holdBoth();
    if (this.beyondMPerS < 0) {
      this.gripN = -this.grip.fadedN(bestMPerS - this.beyondMPerS);
      this.holdBoth();
      return;
    }
    this.isGripping = true;
    let low = -adhesionN;
    let high = adhesionN;
    for (let round = 0; round < halvingCount; round++) {
      this.gripN = 0.5 * (low + high);
      this.holdBoth();
      if (this.beyondMPerS === 0) return;
      if (this.beyondMPerS > 0) low = this.gripN;
      else high = this.gripN;
    }
  }

  /** Speeds for the grip in `gripN`, and slip beyond what that grip needs. */
  private holdBoth(): void {
    const { heldSpin, heldRoad, rimMPerRad, gripN, grip } = this;
    const { stepS } = this.shaft;
    heldSpin.push = this.spinPush - stepS * rimMPerRad * gripN;
    heldRoad.push = this.roadPush + stepS * gripN;
    heldSpin.solve();
    heldRoad.solve();
    this.beyondMPerS = rimMPerRad * heldSpin.speed - heldRoad.speed - (grip.bestMPerS / grip.adhesionN) * gripN;
  }
}
