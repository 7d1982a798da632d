import type { Engine } from "../engine/engine.js";

// A turn is full when this much of it is missing, for angles are sums of many parts. [common practice: far below a tick]
const slackTurns = 1e-6;

/**
 * Work, flow and time of the whole turns since time 0, so that means are taken over whole turns. Until the first is full,
 * `turns` is 0 and the sums are of the part gone so far.
 */
export class TurnMeter {
  /** Whole turns summed, of a shaft that may go either way. */
  turns = 0;
  seconds = 0;
  /** Through mouths and out past the rings, kg. */
  massOutKg = 0;
  /** Per end, J. */
  readonly workJ: Float64Array;

  private readonly firstWorkJ: Float64Array;
  private firstMassKg = 0;
  private firstS = 0;
  private lastRad = 0.5;
  private nextRad = 0.5;
  private goneRad = 0.5;
  private hasBegun = false;

  constructor(endCount: number) {
    this.workJ = new Float64Array(endCount);
    this.firstWorkJ = new Float64Array(endCount);
  }

  /** State only; the turns are counted from the first tick that ends at time 0 or later. */
  reset(): void {
    this.turns = this.seconds = this.massOutKg = 0;
    this.workJ.fill(0);
    this.hasBegun = false;
  }

  /** Takes note after a tick that ends at the time in `clockS[0]`. */
  follow(engine: Engine, clockS: Float64Array): void {
    const timeS = clockS[0]!;
    if (timeS < 0) return;
    const { shaftRad } = engine.record;
    const work = engine.ends.workJ;
    if (!this.hasBegun) {
      this.hasBegun = true;
      this.firstS = timeS;
      this.firstMassKg = engine.ledger.massOutKg;
      this.lastRad = shaftRad;
      this.goneRad = 0;
      for (let i = 0; i < work.length; i++) this.firstWorkJ[i] = work[i]!;
      return;
    }
    this.goneRad += Math.abs(shaftRad - this.lastRad);
    this.lastRad = shaftRad;
    if (this.turns > 0 && this.goneRad < this.nextRad) return;
    const turns = Math.floor(this.goneRad / (2 * Math.PI) + slackTurns);
    if (turns > 0 && turns === this.turns) return;
    this.turns = turns;
    this.nextRad = 2 * Math.PI * (turns + 1 - slackTurns);
    this.seconds = timeS - this.firstS;
    this.massOutKg = engine.ledger.massOutKg - this.firstMassKg;
    for (let i = 0; i < work.length; i++) this.workJ[i] = work[i]! - this.firstWorkJ[i]!;
  }
}
