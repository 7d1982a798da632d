// Joints that one step may tell of. [common practice: more than the axles of a long train within a tick]
const MOST_CROSSINGS = 16;
// So near to a joint every step is looked at, so that rounding never hides one. [common practice: far above the rounding of a long road]
const NEAR_M = 1e-6;

/** Where rails end and axles stand. */
export interface JointedTrack {
  readonly railLengthM: number;
  /** From the first axle back. */
  readonly axlesM: readonly number[];
}

/**
 * When each axle runs over a rail joint: joint n lies n rails along the road, and the first axle stands where the road says.
 * Exact within the step, forwards and backwards; a road that jumps by half a rail or more has been set, not run.
 *
 * @example
 * const joints = new RailJoints({ railLengthM: 18.29, axlesM: [0, 2.6] }, 1e-4);
 * joints.reset(0);
 * joints.roadM = 0.01;
 * joints.integrate(); // joints.crossingCount within it
 */
export class RailJoints {
  /** Of the first axle at the end of the coming step. */
  roadM = 0.5;
  /** Crossings of the last step, and of each: time into the step, axle, joint. */
  crossingCount = 0;
  readonly crossingS = new Float64Array(MOST_CROSSINGS);
  readonly crossingAxle = new Int32Array(MOST_CROSSINGS);
  readonly crossingJoint = new Int32Array(MOST_CROSSINGS);

  private readonly railLengthM: number;
  private readonly axlesM: Float64Array;
  private previousM = 0.5;
  // Between these two places of the first axle no axle meets a joint.
  private leastM = 0.5;
  private mostM = 0.5;

  /** @param stepS length of every step, s @throws RangeError for rails of no length */
  constructor(
    track: JointedTrack,
    private readonly stepS: number,
  ) {
    if (!(track.railLengthM > 0)) {
      throw new RangeError(
        `RailJoints: railLengthM must be above 0 m, got ${track.railLengthM}. Leave out the track where rails are welded.`,
      );
    }
    this.railLengthM = track.railLengthM;
    this.axlesM = Float64Array.from(track.axlesM);
    this.reset(0);
  }

  /** State only: standing here. */
  reset(roadM: number): void {
    this.roadM = roadM;
    this.stand();
  }

  /** One step of the constructor's length, the road going to `roadM`. */
  integrate(): void {
    this.crossingCount = 0;
    const road = this.roadM;
    if (road > this.leastM && road < this.mostM) {
      this.previousM = road;
      return;
    }
    const { previousM, axlesM, railLengthM } = this;
    const gone = road - previousM;
    if (2 * gone >= railLengthM || 2 * gone <= -railLengthM) {
      this.stand();
      return;
    }
    for (let a = 0; a < axlesM.length; a++) {
      const before = Math.floor((previousM - axlesM[a]!) / railLengthM);
      const after = Math.floor((road - axlesM[a]!) / railLengthM);
      if (before === after || this.crossingCount === MOST_CROSSINGS) continue;
      const joint = after > before ? after : before;
      const i = this.crossingCount++;
      this.crossingS[i] = ((joint * railLengthM + axlesM[a]! - previousM) / gone) * this.stepS;
      this.crossingAxle[i] = a;
      this.crossingJoint[i] = joint;
    }
    this.stand();
  }

  private stand(): void {
    const { axlesM, railLengthM } = this;
    const road = this.roadM;
    this.previousM = road;
    this.crossingCount = Math.min(this.crossingCount, MOST_CROSSINGS);
    let ahead = railLengthM;
    let behind = railLengthM;
    for (let a = 0; a < axlesM.length; a++) {
      const place = road - axlesM[a]!;
      const past = place - Math.floor(place / railLengthM) * railLengthM;
      behind = Math.min(behind, past);
      ahead = Math.min(ahead, railLengthM - past);
    }
    this.leastM = road - behind + NEAR_M;
    this.mostM = road + ahead - NEAR_M;
  }
}
