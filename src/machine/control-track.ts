/** A value that ramps between points in time. */
export interface TrackPoint {
  /** When the value is reached. */
  readonly atS: number;
  /** Length of the ramp that ends at `atS`. */
  readonly overS: number;
  readonly value: number;
}

/** One control over a run: piecewise linear, held between ramps; its integral is exact at any time. */
export class ControlTrack {
  private readonly timesS: Float64Array;
  private readonly values: Float64Array;
  private readonly integrals: Float64Array;
  /** At the time last followed. */
  value = 0.5;
  integral = 0.5;

  private cursor = 0;
  private readonly ask = new Float64Array(1);

  /** @param start value before the first ramp @param points in order of time; a ramp longer than the room before it starts at once */
  constructor(start: number, points: readonly TrackPoint[]) {
    const times: number[] = [0];
    const values: number[] = [start];
    for (const point of points) {
      const lastS = times[times.length - 1]!;
      const lastValue = values[values.length - 1]!;
      const fromS = Math.max(lastS, point.atS - point.overS);
      const toS = Math.max(point.atS, fromS);
      if (toS <= 0) {
        values[values.length - 1] = point.value;
        continue;
      }
      if (fromS > lastS) {
        times.push(fromS);
        values.push(lastValue);
      }
      times.push(toS);
      values.push(point.value);
    }
    this.timesS = Float64Array.from(times);
    this.values = Float64Array.from(values);
    this.integrals = new Float64Array(times.length);
    for (let i = 1; i < times.length; i++) {
      this.integrals[i] = this.integrals[i - 1]! + 0.5 * (values[i]! + values[i - 1]!) * (times[i]! - times[i - 1]!);
    }
  }

  /** Whether the value is the same at any time. */
  get isSteady(): boolean {
    return this.timesS.length === 1;
  }

  /** Value at a time; before 0 that of 0. */
  valueAt(timeS: number): number {
    this.ask[0] = timeS;
    this.follow(this.ask);
    return this.value;
  }

  /** Integral from 0 to a time; before 0 the first value goes on backwards for ever. */
  integralAt(timeS: number): number {
    this.ask[0] = timeS;
    this.follow(this.ask);
    return this.integral;
  }

  /** Sets `value` and `integral` for the time in `clockS[0]`; allocates nothing. Quickest while time goes forward. */
  follow(clockS: Float64Array): void {
    const timeS = clockS[0]!;
    const times = this.timesS;
    let i = this.cursor;
    while (i > 0 && times[i]! > timeS) i--;
    while (i + 1 < times.length && times[i + 1]! <= timeS) i++;
    this.cursor = i;
    const startS = times[i]!;
    const startValue = this.values[i]!;
    let value = startValue;
    if (timeS > startS && i + 1 < times.length) {
      value += (this.values[i + 1]! - startValue) * ((timeS - startS) / (times[i + 1]! - startS));
    }
    this.value = value;
    this.integral = this.integrals[i]! + 0.5 * (startValue + value) * (timeS - startS);
  }

  /** Greatest and least value over the whole run. */
  range(): { least: number; greatest: number } {
    return { least: Math.min(...this.values), greatest: Math.max(...this.values) };
  }
}
