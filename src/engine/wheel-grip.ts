// Creep at which wheels of steel on steel grip best, as a share of the speed. [common practice: 1 to 2 per cent, dry]
export const bestCreepRatio = 0.01;
// Slip beyond that in which half of what is lost by slipping is lost, m/s. [source: Polach, Creep forces in simulations of
// traction vehicles running on adhesion limit, Wear 258 (2005) 992, equation 3; B = 0.6 s/m for dry rails, from memory]
const fadingMPerS = 1 / 0.6;

/**
 * Grip of wheels on rails or road: it grows with the creep up to the adhesion, and fades as the wheels slip. Standing wheels
 * need no creep to hold.
 *
 * `solve` finds the slip at a tick's end for what it would be without grip; the law is met there, so that no step is too long.
 */
export class WheelGrip {
  /** Greatest grip of rolling wheels, N, and of wheels that slip for good. */
  adhesionN = 0.5;
  slippingN = 0.5;

  /** For `solve`: slip without grip, m/s; slip that a newton takes away in the tick, m/s/N; and the greater of rim's and road's speed. */
  freeMPerS = 0.5;
  yieldMPerSN = 0.5;
  rollingMPerS = 0.5;
  /** Found: grip on the wheels forward if the rim is faster than the road, N. */
  gripN = 0.5;

  private readonly describedN: number;
  private readonly describedSlippingN: number;

  /** @throws RangeError for grip that is not there, or that is better slipping than rolling */
  constructor(adhesionKg: number, adhesionRatio: number, slipRatio: number, gravityMPerS2: number) {
    if (!(adhesionKg > 0 && adhesionKg < Infinity)) {
      throw new RangeError(
        `train: adhesionMass must be more than 0 kg, got ${adhesionKg}. Give what stands on driven wheels.`,
      );
    }
    if (!(adhesionRatio > 0 && adhesionRatio <= 1.5)) {
      throw new RangeError(
        `train: adhesion must be above 0 and at most 1.5, got ${adhesionRatio}. Dry rails give about 0.3.`,
      );
    }
    if (!(slipRatio > 0 && slipRatio <= adhesionRatio)) {
      throw new RangeError(
        `train: slip must be above 0 and at most the adhesion, ${adhesionRatio}, got ${slipRatio}. About half of it is usual.`,
      );
    }
    this.describedN = adhesionRatio * adhesionKg * gravityMPerS2;
    this.describedSlippingN = slipRatio * adhesionKg * gravityMPerS2;
    this.setRail(1);
    this.reset();
  }

  /** Settings only: what the rail leaves of the grip, 1 as described, less where it is wet or greasy, more where it is sanded. */
  setRail(gripRatio: number): void {
    this.adhesionN = gripRatio * this.describedN;
    this.slippingN = gripRatio * this.describedSlippingN;
  }

  /** State only. */
  reset(): void {
    this.freeMPerS = this.yieldMPerSN = this.rollingMPerS = this.gripN = 0;
  }

  /** Creep at which the grip is greatest, for `rollingMPerS`. */
  get bestMPerS(): number {
    return bestCreepRatio * this.rollingMPerS;
  }

  /** Grip at a slip beyond the best, N, positive. */
  fadedN(slipMPerS: number): number {
    const beyond = Math.max(0, slipMPerS - this.bestMPerS);
    return this.slippingN + ((this.adhesionN - this.slippingN) * fadingMPerS) / (fadingMPerS + beyond);
  }

  /** Finds `gripN`. */
  solve(): void {
    const { adhesionN, slippingN, yieldMPerSN } = this;
    const best = bestCreepRatio * this.rollingMPerS;
    const free = Math.abs(this.freeMPerS);
    const full = yieldMPerSN * adhesionN;
    let grip: number;
    if (free <= best + full) {
      grip = (adhesionN * free) / (best + full);
    } else {
      // With y the slip beyond the best: (y - short)(fading + y) + full lost fading = 0, one root above 0.
      const lost = yieldMPerSN * (adhesionN - slippingN) * fadingMPerS;
      const short = free - best - yieldMPerSN * slippingN;
      const half = 0.5 * (short - fadingMPerS);
      const beyond = half + Math.sqrt(Math.max(0, half * half + short * fadingMPerS - lost));
      grip = slippingN + ((adhesionN - slippingN) * fadingMPerS) / (fadingMPerS + Math.max(0, beyond));
    }
    this.gripN = this.freeMPerS < 0 ? -grip : grip;
  }
}
