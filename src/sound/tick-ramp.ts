import { INTERPOLATOR_DELAY_TICKS } from "./tick-interpolator.js";

// Ticks kept besides the one just pushed.
const KEPT = INTERPOLATOR_DELAY_TICKS - 1;

/**
 * From fluid ticks to the audio rate along straight lines, as late as a `TickInterpolator`: for what only sets the level or
 * the colour of a noise, where its images are not heard.
 *
 * @example
 * const ramp = new TickRamp(4);
 * ramp.processTicks(rows, 2, rowLength, 32, audio); // column 2 of 32 rows -> 128 samples
 */
export class TickRamp {
  private readonly waiting = new Float64Array(KEPT);
  private level = 0.5;

  /** @param samplesPerTick audio samples per fluid tick, a whole number above 0 */
  constructor(private readonly samplesPerTick: number) {
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
    const share = 1 / samplesPerTick;
    let level = this.level;
    let n = 0;
    for (let t = 0; t < tickCount; t++) {
      const wanted = t < KEPT ? waiting[t]! : rows[(t - KEPT) * rowLength + column]!;
      const step = share * (wanted - level);
      for (let s = 0; s < samplesPerTick; s++) {
        output[n++] = level;
        level += step;
      }
      level = wanted;
    }
    this.level = level;
    if (tickCount >= KEPT) {
      for (let k = 0; k < KEPT; k++) waiting[k] = rows[(tickCount - KEPT + k) * rowLength + column]!;
    } else {
      waiting.copyWithin(0, tickCount);
      for (let k = 0; k < tickCount; k++) waiting[KEPT - tickCount + k] = rows[k * rowLength + column]!;
    }
  }
}
