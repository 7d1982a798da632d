import type { ControlTrack } from "./control-track.js";

/** What turns the shaft and moves the controls. `advance` sets the fields for a moment of time. */
export interface Drive {
  /** Shaft angle at that moment, counted forward, not folded. */
  readonly shaftRad: number;
  /** The same less any whole turns: where it stands in a loop, to the last bit. */
  readonly crankRad: number;
  readonly regulatorRatio: number;
  readonly cutoffRatio: number;
  /** For the time in `clockS[0]`, in seconds. */
  advance(clockS: Float64Array): void;
}

/** Controls written down beforehand: speed in rpm, regulator 0 to 1, nominal cut-off (negative is backward gear). */
export class TimedDrive implements Drive {
  shaftRad = 0.5;
  crankRad = 0.5;
  regulatorRatio = 0.5;
  cutoffRatio = 0.5;

  constructor(
    readonly speedRpm: ControlTrack,
    private readonly regulator: ControlTrack,
    private readonly cutoff: ControlTrack,
  ) {
    this.advance(new Float64Array(1));
  }

  /** Any time; before 0 the first settings hold and the shaft stands where steady running would bring it to 0 at 0. */
  advance(clockS: Float64Array): void {
    this.speedRpm.follow(clockS);
    this.regulator.follow(clockS);
    this.cutoff.follow(clockS);
    this.shaftRad = (Math.PI / 30) * this.speedRpm.integral;
    this.crankRad = this.shaftRad;
    this.regulatorRatio = this.regulator.value;
    this.cutoffRatio = this.cutoff.value;
  }
}
