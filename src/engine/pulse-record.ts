/**
 * What the fluid engine tells the sound each tick: one row, overwritten by the next. Flows are positive as in normal
 * running: exhaust out of the cylinder, steam into it, mouth flows out to the air. Leakage is not included.
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
  readonly endPressurePa: Float64Array;
  readonly endExhaustKgPerS: Float64Array;
  readonly endSteamKgPerS: Float64Array;

  constructor(mouthCount: number, endCount: number) {
    this.mouthMassKgPerS = new Float64Array(mouthCount);
    this.mouthVolumeM3PerS = new Float64Array(mouthCount);
    this.mouthVelocityMPerS = new Float64Array(mouthCount);
    this.mouthPressurePa = new Float64Array(mouthCount);
    this.endPressurePa = new Float64Array(endCount);
    this.endExhaustKgPerS = new Float64Array(endCount);
    this.endSteamKgPerS = new Float64Array(endCount);
  }
}
