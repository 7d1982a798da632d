/** Which pipes there are. Branches start at ports; they meet in a trunk, or each has a mouth of its own. */
export interface PipeNoiseShape {
  readonly branchCount: number;
  readonly hasTrunk: boolean;
  /** Room for delays up to this, s. Longer ones are held to it. */
  readonly longestDelayS: number;
  /**
   * What a mouth pushes outside, mass and resistance side by side, over the pipe's rho c / area: the resistance as a ratio,
   * the mass as a time. 0 for none.
   */
  readonly mouthLoadRatio: number;
  readonly mouthLoadS: number;
  /** Pressure left of a wave after one passage of each pipe, trunk last: wall loss. */
  readonly passRatios: readonly number[];
}

/** Where each figure stands in a row of the table that `PipeNoise.process` reads. */
export class PipeNoiseColumns {
  /** Per pipe, trunk last: delays in s, with and against the flow, and the admittance at the junction's end. */
  readonly downstreamS: number;
  readonly upstreamS: number;
  readonly junctionAdmittance: number;
  /** Per branch. */
  readonly portReflection: number;
  /** Per mouth: low-frequency reflection, and volume flow per pressure in the pipe before it. */
  readonly mouthReflection: number;
  readonly mouthAdmittance: number;
  /** Columns used, from `first` on. */
  readonly count: number;

  constructor(first: number, pipeCount: number, branchCount: number, mouthCount: number) {
    this.downstreamS = first;
    this.upstreamS = first + pipeCount;
    this.junctionAdmittance = first + 2 * pipeCount;
    this.portReflection = first + 3 * pipeCount;
    this.mouthReflection = this.portReflection + branchCount;
    this.mouthAdmittance = this.mouthReflection + mouthCount;
    this.count = this.mouthAdmittance + mouthCount - first;
  }
}
