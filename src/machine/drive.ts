import { restingControls, sideControlIndex, sideControls, type SideControl } from "../engine/engine-controls.js";
import type { ControlTrack } from "./control-track.js";

/** What turns the shaft and moves the controls. `advance` sets the fields for a moment of time. */
export interface Drive {
  /** Shaft angle at that moment, counted forward, not folded. */
  readonly shaftRad: number;
  /** The same less any whole turns: where it stands in a loop, to the last bit. */
  readonly crankRad: number;
  readonly regulatorRatio: number;
  readonly cutoffRatio: number;
  /** Everything else that is set, in the order of `sideControls`. */
  readonly side: Float64Array;
  /** For the time in `clockS[0]`, in seconds. */
  advance(clockS: Float64Array): void;
}

/** Tracks of the side controls that are ever touched. */
export type SideTracks = { readonly [K in SideControl]?: ControlTrack };

/** Controls written down beforehand: speed in rpm, regulator 0 to 1, nominal cut-off (negative is backward gear), and the rest. */
export class TimedDrive implements Drive {
  shaftRad = 0.5;
  crankRad = 0.5;
  regulatorRatio = 0.5;
  cutoffRatio = 0.5;
  readonly side = restingControls();

  // Those that ever move.
  private readonly sideTracks: readonly ControlTrack[];
  private readonly sidePlaces: Int32Array;

  constructor(
    readonly speedRpm: ControlTrack,
    private readonly regulator: ControlTrack,
    private readonly cutoff: ControlTrack,
    tracks: SideTracks = {},
  ) {
    const touched = sideControls.filter((name) => tracks[name] !== undefined);
    for (const name of touched) this.side[sideControlIndex[name]] = tracks[name]!.valueAt(0);
    const moving = touched.filter((name) => !tracks[name]!.isSteady);
    this.sideTracks = moving.map((name) => tracks[name]!);
    this.sidePlaces = Int32Array.from(moving, (name) => sideControlIndex[name]);
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
    const { side, sideTracks, sidePlaces } = this;
    for (let i = 0; i < sideTracks.length; i++) {
      const track = sideTracks[i]!;
      track.follow(clockS);
      side[sidePlaces[i]!] = track.value;
    }
  }
}
