import { exp } from "../quantities/portable-maths.js";
import type { FireDescription } from "./plant-description.js";

// With less water than this share of its volume the fire's heat no longer all finds water. [common practice]
const bareRatio = 0.005;
// A control followed at once is followed within this. [common practice]
const leastResponseS = 1e-3;

/** A boiler's fire: it follows its control in its own time, and a share of its heat reaches the water, while there is any. */
export class FireHeat {
  /** To be set: control, and the boiler's share of water. */
  controlRatio = 0.5;
  waterRatio = 0.5;
  /** Results: heat let loose, and heat that reaches the water. */
  powerW = 0.5;
  heatW = 0.5;
  /** Whether plates stand without water. */
  isBare = false;
  private burningRatio = 0.5;
  private readonly follow: number;

  /** @param stepS from one `advance` to the next */
  constructor(
    private readonly fire: FireDescription,
    stepS: number,
  ) {
    this.follow = 1 - exp(-stepS / Math.max(leastResponseS, fire.responseS));
    this.controlRatio = this.waterRatio = 0;
    this.reset();
  }

  /** Burns as its control has it. State only. */
  reset(): void {
    this.burningRatio = this.controlRatio;
    this.give();
  }

  /** Follows the control for a step. */
  advance(): void {
    this.burningRatio += this.follow * (this.controlRatio - this.burningRatio);
    this.give();
  }

  private give(): void {
    const { fire, waterRatio } = this;
    this.isBare = waterRatio < bareRatio;
    this.powerW = fire.powerW * this.burningRatio;
    this.heatW = this.powerW * fire.efficiencyRatio * (this.isBare ? waterRatio / bareRatio : 1);
  }
}
