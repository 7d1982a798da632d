import type { CylinderMetal } from "./cylinder-metal.js";
import type { EngineParts } from "./engine-parts.js";

/** Heat between every cylinder's metal and the gas in its ends: measured now and then, given every tick. */
export class MetalHeat {
  /** While held, metal keeps its temperature. */
  isHeld = false;

  private readonly heatToGasW: Float64Array;

  constructor(
    private readonly parts: EngineParts,
    private readonly metals: readonly CylinderMetal[],
  ) {
    this.heatToGasW = new Float64Array(parts.ends.count);
  }

  /** State only; the metals keep theirs. */
  reset(): void {
    this.heatToGasW.fill(0);
  }

  /** Finds the heat from metal to gas, to be held for `holdTicks` ticks. */
  measure(holdTicks: number): void {
    const { metals, heatToGasW } = this;
    const { ends, motion } = this.parts;
    const stepS = holdTicks * this.parts.stepS;
    const perCylinder = ends.count / metals.length;
    for (let k = 0; k < metals.length; k++) {
      const metal = metals[k]!;
      const { query, answer } = metal;
      answer[1] = 0;
      for (let j = 0; j < perCylinder; j++) {
        const i = k * perCylinder + j;
        query[0] = ends.temperatureK[i]!;
        query[1] = ends.volumeM3[i]! - motion.clearanceM3[i]!;
        query[2] = ends.massKg[i]!;
        query[3] = stepS;
        query[4] = ends.wetJPerKg[i]!;
        metal.exchange();
        heatToGasW[i] = answer[0]!;
      }
      if (!this.isHeld) metal.advance();
    }
  }

  /** Gives the gas the heat last measured, one tick of it. */
  process(): void {
    const heat = this.heatToGasW;
    const energyFlow = this.parts.ends.energyFlowW;
    let sum = 0;
    for (let i = 0; i < heat.length; i++) {
      energyFlow[i] = energyFlow[i]! + heat[i]!;
      sum += heat[i]!;
    }
    this.parts.ledger.heatW += sum;
  }
}
