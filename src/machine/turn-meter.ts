import type { Engine } from "../engine/engine.js";

/** Work, flow and time between the first and the last turn mark passed, so that means are taken over whole turns. */
export class TurnMeter {
  /** Whole turns between the marks. */
  turns = 0;
  seconds = 0;
  /** Through mouths and out past the rings, kg. */
  massOutKg = 0;
  /** Per end, J. */
  readonly workJ: Float64Array;

  private readonly firstWorkJ: Float64Array;
  private firstMassKg = 0;
  private firstS = 0;
  private lastMark = 0;
  private firstMark = 0;
  private hasMark = false;

  constructor(endCount: number) {
    this.workJ = new Float64Array(endCount);
    this.firstWorkJ = new Float64Array(endCount);
  }

  /** State only; the next mark passed is the first. */
  reset(shaftRad: number): void {
    this.turns = this.seconds = this.massOutKg = 0;
    this.workJ.fill(0);
    this.hasMark = false;
    this.lastMark = Math.floor(shaftRad / (2 * Math.PI) + 1e-9);
  }

  /** Takes note after a tick that ends at the time in `clockS[0]`. */
  follow(engine: Engine, clockS: Float64Array): void {
    const mark = Math.floor(engine.record.shaftRad / (2 * Math.PI) + 1e-9);
    if (mark === this.lastMark) return;
    this.lastMark = mark;
    const timeS = clockS[0]!;
    const work = engine.ends.workJ;
    if (!this.hasMark) {
      this.hasMark = true;
      this.firstMark = mark;
      this.firstS = timeS;
      this.firstMassKg = engine.ledger.massOutKg;
      for (let i = 0; i < work.length; i++) this.firstWorkJ[i] = work[i]!;
      return;
    }
    this.turns = Math.abs(mark - this.firstMark);
    this.seconds = timeS - this.firstS;
    this.massOutKg = engine.ledger.massOutKg - this.firstMassKg;
    for (let i = 0; i < work.length; i++) this.workJ[i] = work[i]! - this.firstWorkJ[i]!;
  }
}
