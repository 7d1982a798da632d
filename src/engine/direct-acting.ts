import type { CylinderGeometry } from "../gear/gear-description.js";
import type { Motion } from "../gear/motion.js";
import type { CylinderEnds } from "./cylinder-ends.js";
import { sideControlIndex } from "./engine-controls.js";
import type { VoiceRecord } from "./voice-record.js";
import { WaterValves } from "./water-valves.js";

/** The water side of a pump without a crank, every cylinder alike. */
export interface PumpDescription {
  readonly waterBoreM: number;
  /** Delivery less suction with load 100 %. */
  readonly liftPa: number;
  /** Air in the delivery vessel at no lift; 0: the lift is what `liftPa` says, however much is delivered. */
  readonly vesselM3: number;
  /** Piston, rod and plunger, with the water that goes along. */
  readonly movingKg: number;
  /** Pressure lost in the water valves at `lossAtMPerS`, as its square. */
  readonly valveLossPa: number;
  readonly lossAtMPerS: number;
  /** Of packings, as a mean pressure on the steam piston. */
  readonly frictionPa: number;
}

const waterKgPerM3 = 998; // [source: IAPWS R7-97 region 1 at 20 °C]
// A piston that reaches its cover comes back this slowly. [common practice: water and packing swallow nearly all]
const reboundRatio = 0.1;
// Farther back than a piston rebounds. [common practice]
const turnedBackRatio = 0.01;
// Lift of water valves at the speed at which their loss is told, over the plunger's bore, and how fast they sink.
// [common practice: small discs that lift an eighth of an inch; rubber and bronze sink at some 0.2 m/s]
const waterLiftBores = 0.03;
const waterFallMPerS = 0.2;

/**
 * Pistons of a direct-acting pump: no crank, no flywheel; steam pushes, water holds against it. Each tick `process` moves the
 * pistons by the pressures as they stand and the valves after them, and counts a double stroke as a turn.
 */
export class DirectActing {
  /** Per cylinder: positive away from the head end, m/s. */
  readonly speedMPerS: Float64Array;
  /** Strokes made by the first piston since `reset`, as an angle: pi a stroke, long or short, the one under way by its part. */
  shaftRad = 0.5;
  /** Delivery less suction as it stands, Pa. */
  liftPa = 0.5;
  /** Delivered since `reset`, m3. */
  deliveredM3 = 0.5;
  /** Per cylinder: speed with which the piston met its cover in the last tick, 0 if it did not. */
  readonly coverMPerS: Float64Array;

  private readonly waterValves: WaterValves;
  // Of the first piston: its way (1 from the head end), strokes since reset, and the place farthest on in this one.
  private way = 0.5;
  private strokes = 0.5;
  private farthest = 0.5;
  private turnedAt = 0.5;
  // Per cylinder: the way its valve moved last, and the way its piston went.
  private readonly valveWay: Float64Array;
  private readonly valveBefore: Float64Array;
  private readonly steamM2: Float64Array;
  private readonly waterM2: number;
  private readonly slowingPa: number;

  constructor(
    private readonly description: PumpDescription,
    private readonly cylinder: CylinderGeometry,
    private readonly motion: Motion,
    private readonly ends: CylinderEnds,
    private readonly ambientPa: number,
    private readonly side: Float64Array,
    private readonly stepS: number,
    private readonly voice: VoiceRecord | null = null,
  ) {
    const count = motion.position.length;
    this.valveWay = new Float64Array(count);
    this.valveBefore = new Float64Array(count);
    const lift = { liftM: waterLiftBores * description.waterBoreM, atMPerS: description.lossAtMPerS };
    this.waterValves = new WaterValves({ ...lift, fallMPerS: waterFallMPerS }, count, stepS);
    this.speedMPerS = new Float64Array(count);
    this.coverMPerS = new Float64Array(count);
    this.steamM2 = motion.pistonAreaM2;
    this.waterM2 = 0.25 * Math.PI * description.waterBoreM * description.waterBoreM;
    const { valveLossPa, lossAtMPerS } = description;
    this.slowingPa = valveLossPa / (lossAtMPerS * lossAtMPerS);
    this.reset();
  }

  /** State only: pistons at rest, the first at its head end, the second at its crank end. */
  reset(): void {
    const { motion } = this;
    this.speedMPerS.fill(0);
    this.coverMPerS.fill(0);
    for (let k = 0; k < motion.position.length; k++) motion.position[k] = k === 0 ? 0 : 1;
    motion.tripped?.reset();
    this.waterValves.reset();
    this.valveWay.fill(0);
    if (this.voice !== null) {
      this.voice.coverBlows.fill(0);
      this.voice.trips.fill(0);
      this.voice.seatings.fill(0);
    }
    this.shaftRad = this.deliveredM3 = 0;
    this.way = 1;
    this.strokes = this.farthest = this.turnedAt = 0;
    this.liftPa = 0;
    motion.shaftRad[0] = 0;
    motion.processShaft();
  }

  /** One tick: after it the motion's volumes and areas stand for the pistons' new places. */
  process(): void {
    const { description, motion, ends, speedMPerS, coverMPerS, steamM2, waterM2, cylinder, stepS } = this;
    const { position, tripped } = motion;
    const perCylinder = ends.count / position.length;
    const { vesselM3 } = description;
    const nominal = description.liftPa * this.side[sideControlIndex.load]!;
    // Air shut in the vessel is pressed together as it fills. [source: Boyle's law]
    const full = vesselM3 > 0 ? this.deliveredM3 / vesselM3 : 0;
    // A thousandth of its air is far beyond any steam: the pistons have stalled by then.
    const held = full < 0.999 ? full : 0.999;
    this.liftPa = vesselM3 > 0 ? (this.ambientPa * held) / (1 - held) : nominal;
    for (let k = 0; k < position.length; k++) {
      const head = k * perCylinder;
      const behindPa = perCylinder === 2 ? ends.middlePa[head + 1]! : this.ambientPa;
      const behindM2 = perCylinder === 2 ? steamM2[head + 1]! : steamM2[head]!;
      const rodM2 = steamM2[head]! - behindM2;
      const push = ends.middlePa[head]! * steamM2[head]! - behindPa * behindM2 - this.ambientPa * rodM2;
      let speed = speedMPerS[k]!;
      const size = speed < 0 ? -speed : speed;
      const hold = this.liftPa * waterM2 + description.frictionPa * steamM2[head]!;
      // Water and packing hold like friction; the valves' loss grows with the square and is taken as far as it goes by itself.
      const slowing = this.slowingPa * waterM2 * size;
      const mass = description.movingKg;
      const free = (speed + (push / mass) * stepS) / (1 + (slowing / mass) * stepS);
      const most = (hold / mass) * stepS;
      speed = free > most ? free - most : free < -most ? free + most : 0;
      let at = position[k]! + (speed * stepS) / cylinder.strokeM;
      coverMPerS[k] = 0;
      if (at < 0 || at > 1) {
        at = at < 0 ? 0 : 1;
        // Pressed on its cover it stays there; what the push gives in a tick is no blow.
        const met = speed < 0 ? -speed : speed;
        const pressed = ((push < 0 ? -push : push) / mass) * stepS;
        if (met > 2 * pressed) {
          coverMPerS[k] = met;
          speed *= -reboundRatio;
        } else speed = 0;
      }
      const moved = at > position[k]! ? at - position[k]! : position[k]! - at;
      this.deliveredM3 += moved * cylinder.strokeM * waterM2;
      position[k] = at;
      speedMPerS[k] = speed;
    }
    this.count();
    if (tripped !== null) {
      this.valveBefore.set(tripped.valve);
      tripped.process(position, stepS);
    }
    motion.shaftRad[0] = this.shaftRad;
    this.waterValves.integrate(speedMPerS);
    if (this.voice !== null) this.tell(this.voice);
  }

  /** Counts the shaft from the turn under way, as if those before had not been. */
  forgetTurns(): void {
    const gone = 2 * Math.floor(0.5 * this.strokes);
    this.strokes -= gone;
    this.shaftRad -= Math.PI * gone;
  }

  // A piston that has come back by a hundredth of the stroke has begun the next one.
  private count(): void {
    const at = this.motion.position[0]!;
    const beyond = this.way * (at - this.farthest);
    if (beyond >= 0) this.farthest = at;
    else if (beyond < -turnedBackRatio) {
      this.way = -this.way;
      this.strokes += 1;
      this.turnedAt = this.farthest;
      this.farthest = at;
    }
    const share = this.way * (this.farthest - this.turnedAt);
    this.shaftRad = Math.PI * (this.strokes + (share < 0.999 ? share : 0.999));
  }

  private tell(voice: VoiceRecord): void {
    const { speedMPerS, coverMPerS, motion, valveWay, valveBefore, waterValves, cylinder } = this;
    const { tripped } = motion;
    voice.shaftRad = this.shaftRad;
    const first = speedMPerS[0]!;
    voice.shaftRadPerS = (Math.PI * (first < 0 ? -first : first)) / cylinder.strokeM;
    for (let k = 0; k < speedMPerS.length; k++) {
      voice.pistonMPerS[k] = speedMPerS[k]!;
      if (coverMPerS[k]! > 0) {
        voice.coverBlows[k] = voice.coverBlows[k]! + 1;
        voice.coverMPerS[k] = coverMPerS[k]!;
      }
      const seat = waterValves.seatMPerS[k]!;
      if (seat > 0) {
        voice.seatings[k] = voice.seatings[k]! + 1;
        voice.seatMPerS[k] = seat;
      }
      if (tripped === null) continue;
      const moved = tripped.valve[k]! - valveBefore[k]!;
      if (moved === 0) continue;
      const way = moved > 0 ? 1 : -1;
      if (speedMPerS.length === 1) {
        // Thrown by steam, it strikes at the end of its way.
        const at = tripped.valve[k]!;
        if (at !== 1 && at !== -1) continue;
        voice.tripMPerS[k] = tripped.thrownMPerS;
      } else {
        // The other piston's nut meets its valve rod when it has crossed the lost motion.
        if (way === valveWay[k]) continue;
        const other = speedMPerS[k === 0 ? 1 : 0]!;
        voice.tripMPerS[k] = other < 0 ? -other : other;
      }
      valveWay[k] = way;
      voice.trips[k] = voice.trips[k]! + 1;
    }
  }

  /** Water delivered in the last tick, kg/s, all cylinders. */
  waterKgPerS(): number {
    let sum = 0;
    for (let k = 0; k < this.speedMPerS.length; k++) sum += Math.abs(this.speedMPerS[k]!);
    return sum * this.waterM2 * waterKgPerM3;
  }
}
