import { requireWithin } from "./setting-range.js";

/**
 * Meeting point of pipes without volume or loss: all ends at one pressure, flows summing to nothing. Pressure waves in and
 * out; the reflection of branch i is (2 Y_i - sum of Y) / (sum of Y). Two branches are a step of area.
 *
 * Admittances may be in any unit, for only their ratios count: area / (rho c), or the area where the gas is the same.
 */
export class ScatteringJunction {
  private readonly admittances: Float64Array;
  // Share of each branch's wave in the pressure of the meeting point: 2 Y_i / sum of Y.
  private readonly weights: Float64Array;

  /** All branches alike. @throws RangeError unless `branchCount` is a whole number from 1 to 64. */
  constructor(readonly branchCount: number) {
    if (!Number.isInteger(branchCount) || branchCount < 1 || branchCount > 64) {
      throw new RangeError(
        `ScatteringJunction: branchCount must be a whole number from 1 to 64, got ${branchCount}. Chain junctions for more.`,
      );
    }
    this.admittances = new Float64Array(branchCount).fill(1);
    this.weights = new Float64Array(branchCount);
    this.weigh();
  }

  /** Settings only. 1e-12 to 1e12. @throws RangeError outside, or for a branch that is not there. */
  setAdmittance(branchIndex: number, admittance: number): void {
    const last = this.branchCount - 1;
    requireWithin("ScatteringJunction", "branchIndex", branchIndex, 0, last, "");
    requireWithin("ScatteringJunction", "admittance", admittance, 1e-12, 1e12, "");
    this.admittances[branchIndex] = admittance;
    this.weigh();
  }

  /** There is no state: here so that every unit can be treated alike. */
  reset(): void {}

  /**
   * Frames of `branchCount` waves: those that arrive to those that leave. `leaving` may be `arriving`.
   */
  process(arriving: Float64Array, leaving: Float64Array, frameCount: number): void {
    const weights = this.weights;
    const count = this.branchCount;
    for (let start = 0; start < frameCount * count; start += count) {
      let pressure = 0;
      for (let i = 0; i < count; i++) pressure += weights[i]! * arriving[start + i]!;
      for (let i = 0; i < count; i++) leaving[start + i] = pressure - arriving[start + i]!;
    }
  }

  private weigh(): void {
    let sum = 0;
    for (let i = 0; i < this.branchCount; i++) sum += this.admittances[i]!;
    for (let i = 0; i < this.branchCount; i++) this.weights[i] = (2 * this.admittances[i]!) / sum;
  }
}
