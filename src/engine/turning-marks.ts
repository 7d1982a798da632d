// Marks that one step may tell of. [common practice: far more than teeth can pass in a tick]
const MOST_MARKS = 16;

/**
 * When marks on a shaft, or on what it drives without slip, pass: teeth at their mesh, links at their sprocket, the lap of a
 * belt. Mark n passes as the crankshaft's angle passes n / `marksPerTurn` turns, exactly, forwards and backwards: the rate is
 * marks times turns, and each passing has the number of its mark. An angle that jumps has been set in a loop: what it is short
 * of whole turns counts as turned.
 *
 * @example
 * const teeth = new TurningMarks(13, 1e-4);
 * teeth.reset(0);
 * teeth.shaftRad = 0.03;
 * teeth.integrate(); // teeth.passingCount within it
 */
export class TurningMarks {
  /** Of the crankshaft at the end of the coming step. */
  shaftRad = 0.5;
  /** Passings of the last step, and of each: time into the step, and number of the mark. */
  passingCount = 0;
  readonly passingS = new Float64Array(MOST_MARKS);
  readonly passingMark = new Float64Array(MOST_MARKS);

  private readonly perRad: number;
  private previousRad = 0.5;

  /** @param stepS length of every step, s @throws RangeError for no marks */
  constructor(
    marksPerTurn: number,
    private readonly stepS: number,
  ) {
    if (!(marksPerTurn > 0 && marksPerTurn < Infinity)) {
      throw new RangeError(`TurningMarks: marksPerTurn must be above 0, got ${marksPerTurn}. Count the teeth.`);
    }
    this.perRad = marksPerTurn / (2 * Math.PI);
    this.reset(0);
  }

  /** State only: standing here. */
  reset(shaftRad: number): void {
    this.shaftRad = this.previousRad = shaftRad;
    this.passingCount = 0;
  }

  /** One step of the constructor's length, the shaft going to `shaftRad`. */
  integrate(): void {
    const { perRad } = this;
    const shaft = this.shaftRad;
    let before = this.previousRad;
    this.previousRad = shaft;
    this.passingCount = 0;
    const gone = shaft - before;
    if (gone === 0) return;
    if (gone > Math.PI || gone < -Math.PI) before += 2 * Math.PI * Math.round(gone / (2 * Math.PI));
    const from = before * perRad;
    const to = shaft * perRad;
    const first = Math.floor(from);
    const last = Math.floor(to);
    if (first === last) return;
    const share = this.stepS / (to - from);
    const count = Math.min(MOST_MARKS, last > first ? last - first : first - last);
    for (let i = 0; i < count; i++) {
      const mark = last > first ? first + 1 + i : first - i;
      this.passingS[i] = (mark - from) * share;
      this.passingMark[i] = mark;
    }
    this.passingCount = count;
  }
}
