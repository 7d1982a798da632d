/**
 * What the fluid engine tells the sound each tick: one row, overwritten by the next. Flows are positive as in normal
 * running: exhaust out of the cylinder, steam into it, mouth flows out to the air. Leakage is in its own places only.
 */
export class PulseRecord {
  /** Shaft angle at the end of the tick, counted forward, not folded. */
  shaftRad = 0;
  chestPressurePa = 0;
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

  constructor(mouthCount: number, endCount: number, passageCount: number, cylinderCount: number) {
    this.mouthMassKgPerS = new Float64Array(mouthCount);
    this.mouthVolumeM3PerS = new Float64Array(mouthCount);
    this.mouthVelocityMPerS = new Float64Array(mouthCount);
    this.mouthPressurePa = new Float64Array(mouthCount);
    this.mouthJetPa = new Float64Array(mouthCount);
    this.mouthDensityKgPerM3 = new Float64Array(mouthCount);
    this.endPressurePa = new Float64Array(endCount);
    this.endExhaustKgPerS = new Float64Array(endCount);
    this.endSteamKgPerS = new Float64Array(endCount);
    this.endSteamMPerS = new Float64Array(endCount);
    this.leakKgPerS = new Float64Array(passageCount);
    this.leakMPerS = new Float64Array(passageCount);
    this.airLeakKgPerS = new Float64Array(cylinderCount);
    this.airLeakMPerS = new Float64Array(cylinderCount);
    this.regulatorKgPerS = this.regulatorMPerS = 0;
  }
}
