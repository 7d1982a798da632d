import { restingControls } from "../engine/engine-controls.js";
import type { Drive } from "./drive.js";

/** A loop as a machine runs it. */
export interface LoopTiming {
  /** Whole turns of the shaft, negative backwards. */
  readonly turns: number;
  /** Ticks in which they are made. */
  readonly ticks: number;
}

/** Steady turning in which every loop goes through the very same crank angles, tick for tick and bit for bit. */
export class LoopDrive implements Drive {
  shaftRad = 0.5;
  crankRad = 0.5;
  readonly side = restingControls();
  private readonly perTickRad: number;
  private readonly perLoopRad: number;

  /** @param tickS seconds between ticks */
  constructor(
    private readonly timing: LoopTiming,
    private readonly tickS: number,
    readonly regulatorRatio: number,
    readonly cutoffRatio: number,
  ) {
    this.perLoopRad = 2 * Math.PI * timing.turns;
    this.perTickRad = this.perLoopRad / timing.ticks;
    this.shaftRad = this.crankRad = 0;
  }

  /** Any time; the shaft stands at 0 at time 0. */
  advance(clockS: Float64Array): void {
    const { ticks } = this.timing;
    const tick = Math.round(clockS[0]! / this.tickS);
    const loop = Math.floor(tick / ticks);
    this.crankRad = (tick - loop * ticks) * this.perTickRad;
    this.shaftRad = this.crankRad + loop * this.perLoopRad;
  }
}
