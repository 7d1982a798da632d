/**
 * Several values over one evenly stepped quantity, joined by cubics whose slopes run on across the steps. A loop writes `at[0]` and
 * calls `look`; nothing takes room on the heap. Beyond its ends the table holds the state of the end.
 */
export class SmoothTable {
  readonly at = new Float64Array(1);
  readonly values: Float64Array;
  /** Per unit of what the table runs over. */
  readonly slopes: Float64Array;
  readonly last: number;
  private readonly nodes: Float64Array;

  /** @param fill writes values and slopes at one place: `fill(at, values, slopes)` */
  constructor(
    readonly first: number,
    private readonly step: number,
    private readonly stepCount: number,
    private readonly valueCount: number,
    fill: (at: number, values: Float64Array, slopes: Float64Array) => void,
  ) {
    this.last = first + step * stepCount;
    this.values = new Float64Array(valueCount);
    this.slopes = new Float64Array(valueCount);
    this.nodes = new Float64Array((stepCount + 1) * 2 * valueCount);
    for (let i = 0; i <= stepCount; i++) {
      fill(first + i * step, this.values, this.slopes);
      for (let k = 0; k < valueCount; k++) {
        this.nodes[2 * (i * valueCount + k)] = this.values[k]!;
        this.nodes[2 * (i * valueCount + k) + 1] = this.slopes[k]! * step;
      }
    }
    this.at[0] = first;
    this.look();
  }

  /** Fills `values` and `slopes` for `at[0]`. */
  look(): void {
    const { nodes, values, slopes, step, valueCount, stepCount } = this;
    const place = (this.at[0]! - this.first) / step;
    let i = place | 0;
    if (i < 0) i = 0;
    if (i >= stepCount) i = stepCount - 1;
    let x = place - i;
    if (x > 1) x = 1;
    if (!(x > 0)) x = 0;
    const y = 1 - x;
    const base = 2 * i * valueCount;
    const next = base + 2 * valueCount;
    for (let k = 0; k < valueCount; k++) {
      const a = nodes[base + 2 * k]!;
      const b = nodes[next + 2 * k]!;
      const fromA = nodes[base + 2 * k + 1]! - (b - a);
      const fromB = b - a - nodes[next + 2 * k + 1]!;
      const bend = fromA * y + fromB * x;
      values[k] = a + x * (b - a + y * bend);
      slopes[k] = (b - a + (y - x) * bend + x * y * (fromB - fromA)) / step;
    }
  }
}
