import type { GearDescription } from "../gear/gear-description.js";
import type { EngineParts } from "./engine-parts.js";
import type { VoiceRecord } from "./voice-record.js";

/**
 * What the pistons do to the shaft, and what iron and rods bear of it.
 *
 * Positions count from the head-end dead centre towards the crank, exactly, with the finite rod or the swinging cylinder;
 * the reciprocating mass moves with the piston (an oscillating cylinder's own swing counts to the shaft's inertia). The
 * piston rod's far end, and the open side of a single-acting piston, bear the air.
 *
 * Each tick `measure` reads gas and iron where they stand; once the shaft has been turned on, `record` needs its speed and
 * acceleration to say what the rods bear.
 */
export class CrankForce {
  /** Of all pistons' gas at the crankshaft, Nm. */
  torqueNm = 0.5;
  /** Of the reciprocating masses as they stand, referred to the crankshaft, kg m2, and its change with the angle, kg m2/rad. */
  inertiaKgM2 = 0.5;
  inertiaKgM2PerRad = 0.5;
  /** Speed and acceleration of the shaft for `record`. */
  speedRadPerS = 0.5;
  accelerationRadPerS2 = 0.5;
  /** Force of the gas on each piston, positive towards the crank, N. */
  readonly gasN: Float64Array;

  private readonly isDouble: boolean;

  /** @param reciprocatingKg piston, rod, crosshead and a share of the connecting rod, each cylinder @param airPa around the engine */
  constructor(
    private readonly parts: Pick<EngineParts, "motion" | "ends">,
    gear: GearDescription,
    private readonly reciprocatingKg: number,
    private readonly airPa: number,
    private readonly voice: VoiceRecord,
  ) {
    if (!(reciprocatingKg >= 0 && reciprocatingKg < Infinity)) {
      throw new RangeError(
        `CrankForce: reciprocatingKg must be 0 kg or more, got ${reciprocatingKg}. Give the mass that moves with one piston.`,
      );
    }
    this.gasN = new Float64Array(gear.crankAnglesRad.length);
    this.isDouble = gear.cylinder.acting === "double";
    this.reset();
  }

  /** State only. */
  reset(): void {
    this.speedRadPerS = this.accelerationRadPerS2 = 0;
    this.voice.rodForceN.fill(0);
    this.voice.pistonMPerS.fill(0);
    this.voice.valveMPerS.fill(0);
    this.measure();
  }

  /** Force, torque and inertia from the pressures that the last tick reached and the angle the motion was last brought to. */
  measure(): void {
    const { gasN, isDouble, airPa, reciprocatingKg } = this;
    const { motion, ends } = this.parts;
    motion.processSlopes();
    const { pistonAreaM2, pistonMPerRad, pistonMPerRad2 } = motion;
    const { reachedPa } = ends;
    let torque = 0;
    let inertia = 0;
    let slope = 0;
    for (let k = 0; k < gasN.length; k++) {
      const arm = pistonMPerRad[k]!;
      const head = isDouble ? 2 * k : k;
      let force = (reachedPa[head]! - airPa) * pistonAreaM2[head]!;
      if (isDouble) force -= (reachedPa[head + 1]! - airPa) * pistonAreaM2[head + 1]!;
      gasN[k] = force;
      torque += force * arm;
      inertia += arm * arm;
      slope += arm * pistonMPerRad2[k]!;
    }
    this.torqueNm = torque;
    this.inertiaKgM2 = reciprocatingKg * inertia;
    this.inertiaKgM2PerRad = 2 * reciprocatingKg * slope;
  }

  /** Writes rod forces and speeds of pistons and valves, for what was last measured and the shaft's speed and acceleration. */
  record(): void {
    const { gasN, reciprocatingKg, voice } = this;
    const { pistonMPerRad, pistonMPerRad2, valveMPerRad } = this.parts.motion;
    const { rodForceN, pistonMPerS, valveMPerS } = voice;
    const speed = this.speedRadPerS;
    const acceleration = this.accelerationRadPerS2;
    for (let k = 0; k < gasN.length; k++) {
      const arm = pistonMPerRad[k]!;
      rodForceN[k] = gasN[k]! - reciprocatingKg * (pistonMPerRad2[k]! * speed * speed + arm * acceleration);
      pistonMPerS[k] = arm * speed;
      valveMPerS[k] = valveMPerRad[k]! * speed;
    }
  }
}
