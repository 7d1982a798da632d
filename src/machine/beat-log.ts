/** The last releases of exhaust, oldest first, in a ring of fixed size. */
export class BeatLog {
  /** Beats since `clear`, dropped ones included. */
  count = 0;
  private readonly timesS: Float64Array;
  private readonly shaftRad: Float64Array;
  private readonly ends: Int32Array;

  constructor(private readonly capacity: number) {
    this.timesS = new Float64Array(capacity);
    this.shaftRad = new Float64Array(capacity);
    this.ends = new Int32Array(capacity);
  }

  /** Forgets all beats. */
  clear(): void {
    this.count = 0;
  }

  /** @param end index of the cylinder end */
  push(timeS: number, shaftRad: number, end: number): void {
    const at = this.count % this.capacity;
    this.timesS[at] = timeS;
    this.shaftRad[at] = shaftRad;
    this.ends[at] = end;
    this.count++;
  }

  /** Time of beat `index`, which must be among the last `capacity`. */
  timeS(index: number): number {
    return this.timesS[index % this.capacity]!;
  }

  /** Shaft angle of release of beat `index`. */
  shaftRadOf(index: number): number {
    return this.shaftRad[index % this.capacity]!;
  }

  /** Cylinder end of beat `index`, in the order of the engine's ends. */
  endOf(index: number): number {
    return this.ends[index % this.capacity]!;
  }
}
