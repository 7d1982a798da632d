import type { LoadDescription } from "./running-description.js";

/**
 * A load at the shaft by its law. `constant` and `pump` are friction that holds a standing shaft; `linear` and `square`
 * follow the speed; `hoist` drives backwards at all times.
 */
export class Load {
  /** As set: torque that drives, friction that holds, and resistance by the speed and its square. */
  driveNm = 0.5;
  dryNm = 0.5;
  linearNmS = 0.5;
  squareNmS2 = 0.5;

  private readonly atRadPerS: number;

  /** @throws RangeError for a torque below 0, or a speed law without a speed */
  constructor(private readonly description: LoadDescription) {
    const { law, torqueNm, atRpm } = description;
    if (!(torqueNm >= 0 && torqueNm < Infinity)) {
      throw new RangeError(
        `load: torque must be 0 Nm or more, got ${torqueNm}. It stands against the motion by itself.`,
      );
    }
    this.atRadPerS = (Math.PI / 30) * Math.abs(atRpm);
    if ((law === "linear" || law === "square") && !(this.atRadPerS > 0 && this.atRadPerS < Infinity)) {
      throw new RangeError(
        `load: atRpm must be other than 0 rpm, got ${atRpm}. Give the speed at which torque is met.`,
      );
    }
    this.driveNm = this.dryNm = this.linearNmS = this.squareNmS2 = 0;
    this.setRatio(1);
  }

  /** Settings only: 0 none, 1 as described, more is overload; below 0 counts as 0. */
  setRatio(loadRatio: number): void {
    const torque = Math.max(0, loadRatio) * this.description.torqueNm;
    switch (this.description.law) {
      case "constant":
      case "pump":
        this.dryNm = torque;
        break;
      case "linear":
        this.linearNmS = torque / this.atRadPerS;
        break;
      case "square":
        this.squareNmS2 = torque / (this.atRadPerS * this.atRadPerS);
        break;
      case "hoist":
        this.driveNm = -torque;
        break;
    }
  }
}
