import type { ControlTrack } from "./control-track.js";

/** What turns the shaft and moves the controls. `advance` sets the fields for a moment of time. */
export interface Drive {
  /** Shaft angle at that moment, counted forward, not folded. */
  readonly shaftRad: number;
  readonly regulatorRatio: number;
  readonly cutoffRatio: number;
  advance(timeS: number): void;
}

/** Controls written down beforehand: speed in rpm, regulator 0 to 1, nominal cut-off (negative is backward gear). */
export class TimedDrive implements Drive {
  shaftRad = 0;
  regulatorRatio = 1;
  cutoffRatio = 0;

  constructor(
    readonly speedRpm: ControlTrack,
    private readonly regulator: ControlTrack,
    private readonly cutoff: ControlTrack,
  ) {
    this.advance(0);
  }

  /** Any time; before 0 the first settings hold and the shaft stands where steady running would bring it to 0 at 0. */
  advance(timeS: number): void {
    this.shaftRad = (Math.PI / 30) * this.speedRpm.integralAt(timeS);
    this.regulatorRatio = this.regulator.valueAt(timeS);
    this.cutoffRatio = this.cutoff.valueAt(timeS);
  }
}
