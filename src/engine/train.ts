import { STANDARD_GRAVITY_M_PER_S2 } from "../quantities/constants.js";
import { heldSpeed } from "./held-speed.js";
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
  // Of the tick at hand: momenta without grip, frictions x step, and masses with what of resistance is taken with them.
  private spinPush = 0.5;
  private spinDry = 0.5;
  private inertia = 0.5;
  private roadPush = 0.5;
  private roadDry = 0.5;
  private mass = 0.5;
  private isGripping = false;

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
    this.rimMPerRad = (0.5 * wheelDiameterM) / crankTurnsPerWheelTurn;
    this.grip = new WheelGrip(adhesionKg, adhesionRatio, slipRatio, STANDARD_GRAVITY_M_PER_S2);
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
    const gradientN = massKg * STANDARD_GRAVITY_M_PER_S2 * this.description.gradientRatio;
    const roadPush = massKg * road - stepS * gradientN;
    const roadDry = stepS * (resistance.dryN + this.brakeN);

    grip.rollingMPerS = Math.max(Math.abs(road), Math.abs(rimMPerRad * spin));
    const spinFree = (spinPush - Math.sign(spin) * spinDry) / inertia;
    const roadFree = (roadPush - Math.sign(road) * roadDry) / mass;
    grip.freeMPerS = rimMPerRad * spinFree - roadFree;
    grip.yieldMPerSN = stepS * ((rimMPerRad * rimMPerRad) / inertia + 1 / mass);
    grip.solve();
    this.spinPush = spinPush;
    this.spinDry = spinDry;
    this.inertia = inertia;
    this.roadPush = roadPush;
    this.roadDry = roadDry;
    this.mass = mass;
    let gripN = grip.gripN;
    let nextSpin = spinFree - (stepS * rimMPerRad * gripN) / inertia;
    let nextRoad = roadFree + (stepS * gripN) / mass;
    if (!(nextSpin * spin > 0 && nextRoad * road > 0)) {
      gripN = this.gripAtRest();
      nextSpin = heldSpeed(spinPush - stepS * rimMPerRad * gripN, spinDry, inertia, 0);
      nextRoad = heldSpeed(roadPush + stepS * gripN, roadDry, mass, 0);
      // What holds the one holds the other; rounding would leave it a breath of speed.
      if (this.isGripping && (nextSpin === 0 || nextRoad === 0)) nextSpin = nextRoad = 0;
    }
    this.gripN = gripN;
    this.gripNm = rimMPerRad * gripN;
    this.roadMPerS = nextRoad;
    this.roadM += stepS * nextRoad;
    this.slipMPerS = rimMPerRad * nextSpin - nextRoad;
    shaft.speedRadPerS = nextSpin;
    shaft.turn();
  }

  /**
   * Grip where wheels or train stand or turn round, so that friction may hold either: the slip falls as the grip rises, and
   * halving finds where they agree. Wheels that cannot be held have the grip of wheels that slip.
   */
  private gripAtRest(): number {
    const { grip, rimMPerRad, spinPush, spinDry, inertia, roadPush, roadDry, mass } = this;
    const { stepS } = this.shaft;
    const { adhesionN, bestMPerS } = grip;
    const perNewton = bestMPerS / adhesionN;
    let low = -adhesionN;
    let high = adhesionN;
    this.isGripping = false;
    // -2 and -1 look at the bounds.
    for (let round = -2; round < halvingCount; round++) {
      const gripN = round === -2 ? high : round === -1 ? low : 0.5 * (low + high);
      const rim = rimMPerRad * heldSpeed(spinPush - stepS * rimMPerRad * gripN, spinDry, inertia, 0);
      const beyond = rim - heldSpeed(roadPush + stepS * gripN, roadDry, mass, 0) - perNewton * gripN;
      if (round === -2) {
        if (beyond > 0) return grip.fadedN(beyond + bestMPerS);
      } else if (round === -1) {
        if (beyond < 0) return -grip.fadedN(bestMPerS - beyond);
      } else {
        this.isGripping = true;
        if (beyond === 0) return gripN;
        if (beyond > 0) low = gripN;
        else high = gripN;
      }
    }
    return 0.5 * (low + high);
  }
}
