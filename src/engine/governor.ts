import type { GovernorDescription } from "./running-description.js";

/**
 * A speed governor: masses against a spring that swing about where the speed would have them, with the time of their own
 * swing, and stop dead at both ends of their travel. At its speed it stands in the middle; a change by half the droop brings
 * it to an end.
 *
 * Small droop and slack damping beside a light flywheel make it hunt.
 */
export class Governor {
  /** How far it holds the valve open, or of the cut-off, 0 to 1. */
  openRatio = 0.5;
  /** Of the shaft, for `advance`; either direction. */
  speedRadPerS = 0.5;

  private ratePerS = 0.5;
  private readonly ownRadPerS: number;
  private readonly perRadPerS: number;
  private readonly atRadPerS: number;

  /** @throws RangeError for a governor that could not swing, or one whose swing a tick cannot follow */
  constructor(
    private readonly stepS: number,
    private readonly description: GovernorDescription,
  ) {
    const { speedRpm, droopRatio, periodS, dampingRatio } = description;
    requireAbove("speed", speedRpm, 0, "rpm", "Give the speed at which it stands in the middle.");
    requireAbove("droop", droopRatio, 0, "", "5 % is usual; without any it could not come to rest.");
    requireAbove("period", periodS, 8 * stepS, "s", "Give the time of its own swing.");
    if (!(dampingRatio >= 0 && dampingRatio < Infinity)) {
      throw new RangeError(`governor: damping must be 0 or more, got ${dampingRatio}. 1 is critical.`);
    }
    this.atRadPerS = (Math.PI / 30) * speedRpm;
    this.perRadPerS = 1 / (droopRatio * this.atRadPerS);
    this.ownRadPerS = (2 * Math.PI) / periodS;
    this.reset(0);
  }

  /** State only: at rest where a speed would have it. */
  reset(speedRadPerS: number): void {
    this.speedRadPerS = speedRadPerS;
    this.openRatio = Math.min(1, Math.max(0, this.calledRatio()));
    this.ratePerS = 0;
  }

  /** One tick at the speed in `speedRadPerS`. */
  advance(): void {
    const { stepS, ownRadPerS } = this;
    const turn = ownRadPerS * stepS;
    const damping = 1 + 2 * this.description.dampingRatio * turn;
    let rate = (this.ratePerS + turn * ownRadPerS * (this.calledRatio() - this.openRatio)) / damping;
    let open = this.openRatio + stepS * rate;
    if (open < 0 || open > 1) {
      open = open < 0 ? 0 : 1;
      rate = 0;
    }
    this.openRatio = open;
    this.ratePerS = rate;
  }

  private calledRatio(): number {
    return 0.5 - this.perRadPerS * (Math.abs(this.speedRadPerS) - this.atRadPerS);
  }
}

function requireAbove(name: string, value: number, least: number, unit: string, way: string): void {
  if (value > least && value < Infinity) return;
  throw new RangeError(`governor: ${name} must be more than ${`${least} ${unit}`.trim()}, got ${value}. ${way}`);
}
