import type { Vessel } from "../flow/vessel.js";
import type { Mouth } from "../flow/mouth.js";
import type { Motion } from "../gear/motion.js";
import type { CylinderEnds } from "./cylinder-ends.js";
import type { ExhaustNetwork } from "./exhaust-network.js";

/**
 * What the fluid engine tells the sound each tick: one row, overwritten by the next. Flows are positive as in normal
 * running: exhaust out of the cylinder, steam into it, mouth flows out to the air. Leakage is in its own places only.
 */
export class PulseRecord {
  /** Shaft angle at the end of the tick, counted forward, not folded. */
  shaftRad = 0.5;
  chestPressurePa = 0.5;
  readonly mouthMassKgPerS: Float64Array;
  /** At the outside pressure. */
  readonly mouthVolumeM3PerS: Float64Array;
  readonly mouthVelocityMPerS: Float64Array;
  readonly mouthPressurePa: Float64Array;
  /** Pressure and density with which the jet leaves; the pressure is that outside unless the mouth is choked. */
  readonly mouthJetPa: Float64Array;
  readonly mouthDensityKgPerM3: Float64Array;
  readonly endPressurePa: Float64Array;
  readonly endExhaustKgPerS: Float64Array;
  readonly endSteamKgPerS: Float64Array;
  /** Speed of the jet through the steam port, whichever way it goes; 0 where shut. */
  readonly endSteamMPerS: Float64Array;
  /** Through the regulator, either way, and the speed of its jet. */
  regulatorKgPerS = 0.5;
  regulatorMPerS = 0.5;
  /** Leaks past the valves into each cylinder's passage, and the speed of their jets. */
  readonly leakKgPerS: Float64Array;
  readonly leakMPerS: Float64Array;
  /** Leaks past each piston straight to the air (single-acting only), and the speed of their jets. */
  readonly airLeakKgPerS: Float64Array;
  readonly airLeakMPerS: Float64Array;

  private readonly arrays: Float64Array[] = [];

  /** @param chestEndCount ends that take their steam from the chest, the first ones: all but those of later stages */
  constructor(
    mouthCount: number,
    endCount: number,
    passageCount: number,
    cylinderCount: number,
    readonly chestEndCount: number = endCount,
  ) {
    const array = (count: number): Float64Array => {
      const made = new Float64Array(count);
      this.arrays.push(made);
      return made;
    };
    this.mouthMassKgPerS = array(mouthCount);
    this.mouthVolumeM3PerS = array(mouthCount);
    this.mouthVelocityMPerS = array(mouthCount);
    this.mouthPressurePa = array(mouthCount);
    this.mouthJetPa = array(mouthCount);
    this.mouthDensityKgPerM3 = array(mouthCount);
    this.endPressurePa = array(endCount);
    this.endExhaustKgPerS = array(endCount);
    this.endSteamKgPerS = array(endCount);
    this.endSteamMPerS = array(endCount);
    this.leakKgPerS = array(passageCount);
    this.leakMPerS = array(passageCount);
    this.airLeakKgPerS = array(cylinderCount);
    this.airLeakMPerS = array(cylinderCount);
    this.regulatorKgPerS = this.regulatorMPerS = 0;
    // Begun with halves, the fields hold doubles for good.
    this.shaftRad = this.chestPressurePa = 0;
  }

  /** State only: nothing flows anywhere. */
  reset(shaftRad: number): void {
    this.shaftRad = shaftRad;
    this.chestPressurePa = this.regulatorKgPerS = this.regulatorMPerS = 0;
    for (const array of this.arrays) array.fill(0);
  }

  /** Takes where shaft and pressures stand after the tick just run, and what the mouths did in it. */
  take({ shaftRad }: Motion, ends: CylinderEnds, chest: Vessel, mouths: readonly Mouth[]): void {
    const { endPressurePa } = this;
    const { middlePa } = ends;
    this.shaftRad = shaftRad[0]!;
    this.chestPressurePa = chest.pressurePa;
    for (let i = 0; i < endPressurePa.length; i++) endPressurePa[i] = middlePa[i]!;
    this.takeMouths(mouths);
  }

  private takeMouths(mouths: readonly Mouth[]): void {
    for (let i = 0; i < mouths.length; i++) {
      const mouth = mouths[i]!;
      this.mouthMassKgPerS[i] = mouth.massFlowKgPerS;
      this.mouthVolumeM3PerS[i] = mouth.volumeFlowM3PerS;
      this.mouthVelocityMPerS[i] = mouth.velocityMPerS;
      this.mouthPressurePa[i] = mouth.pressurePa;
      this.mouthJetPa[i] = mouth.jetPressurePa;
      this.mouthDensityKgPerM3[i] = mouth.densityKgPerM3;
    }
  }
}

/** The record of an engine's motion and pipes. */
export function pulseRecordOf({ mouths, portEnds }: ExhaustNetwork, { ends, stages, position }: Motion): PulseRecord {
  return new PulseRecord(mouths.length, ends.length, portEnds.length, position.length, stages[0]!.endCount);
}
