import { INTERPOLATOR_DELAY_TICKS } from "./tick-interpolator.js";

/**
 * From fluid ticks to the audio rate along straight lines: for what only sets the level or the colour of a noise, where its
 * images are not heard.
 *
 * @example
 * const ramp = new TickRamp(4);
 * ramp.processTicks(rows, 2, rowLength, 32, audio); // column 2 of 32 rows -> 128 samples
 */
export class TickRamp {
  private readonly waiting: Float64Array;
  private level = 0.5;

  /**
   * @param samplesPerTick audio samples per fluid tick, a whole number above 0
   * @param delayTicks by how much the output is late: 1, or more; left out, as late as a `TickInterpolator`
   */
  constructor(
    private readonly samplesPerTick: number,
    delayTicks = INTERPOLATOR_DELAY_TICKS,
  ) {
    // Led over a tick to a value, it is reached when the tick ends.
    this.waiting = new Float64Array(delayTicks - 1);
    this.reset(0);
  }

  /** State only: as if `value` had stood for ever. */
  reset(value = 0): void {
    this.waiting.fill(value);
    this.level = value;
  }

  /** Ticks in one column of a table with `rowLength` places a row to audio samples. */
  processTicks(rows: Float64Array, column: number, rowLength: number, tickCount: number, output: Float64Array): void {
    const { waiting, samplesPerTick } = this;
    const kept = waiting.length;
    const share = 1 / samplesPerTick;
    let level = this.level;
    let n = 0;
    for (let t = 0; t < tickCount; t++) {
      const wanted = t < kept ? waiting[t]! : rows[(t - kept) * rowLength + column]!;
      const step = share * (wanted - level);
      for (let s = 0; s < samplesPerTick; s++) {
        output[n++] = level;
        level += step;
      }
      level = wanted;
    }
    this.level = level;
    if (tickCount >= kept) {
      for (let k = 0; k < kept; k++) waiting[k] = rows[(tickCount - kept + k) * rowLength + column]!;
    } else {
      waiting.copyWithin(0, tickCount);
      for (let k = 0; k < tickCount; k++) waiting[kept - tickCount + k] = rows[k * rowLength + column]!;
    }
  }
}
