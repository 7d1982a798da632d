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
