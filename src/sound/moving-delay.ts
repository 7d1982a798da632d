import { requireWithin } from "./setting-range.js";
import { WINDOWED_TAPS, windowedTaps, WINDOWED_PHASES } from "./windowed-taps.js";

/** Shortest travel that can be carried: the interpolator needs half its taps on either side. */
export const LEAST_TRAVEL_SAMPLES = WINDOWED_TAPS / 2 + 1; // [common practice]

// The taps are written out below.
const half = 6;

/**
 * Sound that travels from a source to a listener while the distance between them changes. Samples and travelling times are
 * taken where they leave: row by row the owner says how long what leaves at the row's end will be under way. What arrives
 * is read by turning that round, with a cubic through both ends of every row and their slopes, so that pitch follows the
 * speed without steps: f'/f = 1/(1 + rate of the travelling time). Interpolation: twelve taps; the error is 60 dB down to a
 * quarter of the sample rate and 55 dB to 0.31.
 *
 * The first row begins as if the same motion had gone on for ever, in silence.
 */
export class MovingDelay {
  /** For what leaves at the end of the next row, one number a channel. Settings, which the owner writes. */
  readonly gains: Float64Array;
  /**
   * For what leaves then: samples under way, from `LEAST_TRAVEL_SAMPLES` to the room kept; and their rate of change, samples
   * per sample: range rate over the speed of sound, above -1. Settings, which the owner writes.
   */
  readonly travel = Float64Array.of(LEAST_TRAVEL_SAMPLES, 0);

  private readonly buffer: Float64Array;
  private readonly mask: number;
  private readonly knotMask: number;
  /** Of every row's end: how long it is under way, in samples, and how fast the leaving time goes as it arrives. */
  private readonly travels: Float64Array;
  private readonly paces: Float64Array;
  private readonly knotGains: Float64Array;
  private readonly scratch: Float64Array;
  private readonly weights = new Float64Array(WINDOWED_TAPS);
  /** Leaving time within the row being read: travel of its beginning, then the three coefficients and the step. */
  private readonly curve = new Float64Array(5);
  /** Rows begun, and the row whose arrival is being read. */
  private rows = 0;
  private readRow = 0;
  private written = 0;

  /**
   * @param greatestTravelSamples room to keep, 7 to 16,777,216 samples
   * @param rowSamples 8 to 4096
   * @param channelCount outputs that `process` adds to, each with a gain of its own
   * @throws RangeError outside these
   */
  constructor(
    greatestTravelSamples: number,
    private readonly rowSamples: number,
    private readonly channelCount: number,
  ) {
    const least = LEAST_TRAVEL_SAMPLES;
    requireWithin("MovingDelay", "greatestTravelSamples", greatestTravelSamples, least, 16_777_216, " samples");
    requireWithin("MovingDelay", "rowSamples", rowSamples, 8, 4096, " samples");
    requireWithin("MovingDelay", "channelCount", channelCount, 1, 16, "");
    let size = 64;
    while (size < greatestTravelSamples + 2 * rowSamples + 2 * WINDOWED_TAPS) size *= 2;
    // The first taps stand a second time behind the end, so that a reading never wraps.
    this.buffer = new Float64Array(size + WINDOWED_TAPS);
    this.mask = size - 1;
    let knots = 4;
    while (knots < size / rowSamples + 4) knots *= 2;
    this.knotMask = knots - 1;
    this.travels = new Float64Array(knots);
    this.paces = new Float64Array(knots);
    this.knotGains = new Float64Array(knots * channelCount);
    this.gains = new Float64Array(channelCount);
    this.scratch = new Float64Array(rowSamples);
    this.reset();
  }

  /** State only: silence; the settings are taken for the moment at which the first sample leaves. */
  reset(): void {
    this.buffer.fill(0);
    this.rows = this.readRow = this.written = 0;
    this.putKnot(0);
  }

  /** Adds what arrives to the first samples of each output from `offset` on, as many as leave. */
  process(
    input: Float64Array,
    inputOffset: number,
    outputs: readonly Float64Array[],
    offset: number,
    frameCount: number,
  ): void {
    let done = 0;
    while (done < frameCount) {
      const within = this.written % this.rowSamples;
      if (within === 0) {
        this.rows++;
        this.putKnot(this.rows);
      }
      const count = Math.min(frameCount - done, this.rowSamples - within) | 0;
      this.write(input, inputOffset + done, count);
      this.read(outputs, offset + done, count);
      this.written += count;
      done += count;
    }
  }

  /** The same where nothing leaves and nothing is under way any more: only time goes on. */
  skip(frameCount: number): void {
    let done = 0;
    while (done < frameCount) {
      const within = this.written % this.rowSamples;
      if (within === 0) {
        this.rows++;
        this.putKnot(this.rows);
      }
      const count = Math.min(frameCount - done, this.rowSamples - within) | 0;
      this.written += count;
      done += count;
    }
    this.findRow(this.written);
  }

  private putKnot(row: number): void {
    const { knotMask, channelCount, gains, knotGains, travel } = this;
    const at = row & knotMask;
    this.travels[at] = travel[0]!;
    this.paces[at] = 1 / (1 + travel[1]!);
    for (let c = 0; c < channelCount; c++) knotGains[at * channelCount + c] = gains[c]!;
  }

  private write(input: Float64Array, from: number, count: number): void {
    const { buffer, mask } = this;
    const start = this.written;
    for (let i = 0; i < count; i++) {
      const at = (start + i) & mask;
      const x = input[from + i]!;
      buffer[at] = x;
      if (at < WINDOWED_TAPS) buffer[mask + 1 + at] = x;
    }
  }

  private findRow(sample: number): void {
    const { travels, knotMask, rowSamples } = this;
    let row = this.readRow;
    while (row + 1 < this.rows && travels[(row + 1) & knotMask]! <= sample - (row + 1) * rowSamples) row++;
    this.readRow = row;
  }

  private read(outputs: readonly Float64Array[], offset: number, count: number): void {
    const { travels, paces, knotMask, rowSamples, scratch, channelCount, knotGains, curve } = this;
    let done = 0;
    while (done < count) {
      const sample = this.written + done;
      this.findRow(sample);
      const row = this.readRow;
      const from = row & knotMask;
      const to = (row + 1) & knotMask;
      const travel = travels[from]!;
      const start = row * rowSamples;
      const since = sample - start;
      const width = rowSamples + (travels[to]! - travel);
      const isBefore = since < travel; // only ahead of the very first row
      const left = (isBefore ? travel : travel + width) - since;
      const whole = left | 0;
      const run = Math.min(count - done, whole < left ? whole + 1 : Math.max(1, whole)) | 0;
      const early = paces[from]! * width;
      const late = paces[to]! * width;
      const step = 1 / width;
      curve[0] = travel;
      if (early === rowSamples && late === rowSamples) {
        this.stand(sample, run);
      } else {
        curve[1] = early;
        curve[2] = isBefore ? 0 : 3 * rowSamples - 2 * early - late;
        curve[3] = isBefore ? 0 : early + late - 2 * rowSamples;
        curve[4] = step;
        this.interpolate(start, sample, run);
      }
      for (let c = 0; c < channelCount; c++) {
        const output = outputs[c]!;
        const at = offset + done;
        const gain = knotGains[from * channelCount + c]!;
        const rise = isBefore ? 0 : step * (knotGains[to * channelCount + c]! - gain);
        if (rise === 0) for (let i = 0; i < run; i++) output[at + i] = output[at + i]! + gain * scratch[i]!;
        else {
          for (let i = 0; i < run; i++) {
            output[at + i] = output[at + i]! + (gain + rise * (since + i - travel)) * scratch[i]!;
          }
        }
      }
      done += run;
    }
  }

  // Every sample's place is worked out from its row alone, so that it depends neither on where a block begins nor on how long
  // the run has been going.
  private interpolate(start: number, sample: number, run: number): void {
    const { buffer, mask, scratch, curve } = this;
    const taps = windowedTaps;
    const travel = curve[0]!;
    const since = sample - start;
    const first = curve[1]!;
    const square = curve[2]!;
    const cube = curve[3]!;
    const step = curve[4]!;
    const phases = WINDOWED_PHASES;
    const from = start - half + 1;
    for (let i = 0; i < run; i++) {
      const u = (since + i - travel) * step;
      const place = u * (first + u * (square + u * cube));
      let whole = place | 0;
      if (whole > place) whole--;
      const phase = (place - whole) * phases;
      const k = phase | 0;
      const share = phase - k;
      const w = k * 12;
      const b = (from + whole) & mask;
      // Two sums for the taps as they are and for what the next phase has more, written out: it is the whole cost.
      const own =
        buffer[b]! * taps[w]! +
        buffer[b + 1]! * taps[w + 1]! +
        buffer[b + 2]! * taps[w + 2]! +
        buffer[b + 3]! * taps[w + 3]! +
        buffer[b + 4]! * taps[w + 4]! +
        buffer[b + 5]! * taps[w + 5]! +
        buffer[b + 6]! * taps[w + 6]! +
        buffer[b + 7]! * taps[w + 7]! +
        buffer[b + 8]! * taps[w + 8]! +
        buffer[b + 9]! * taps[w + 9]! +
        buffer[b + 10]! * taps[w + 10]! +
        buffer[b + 11]! * taps[w + 11]!;
      const rise =
        buffer[b]! * taps[w + 12]! +
        buffer[b + 1]! * taps[w + 13]! +
        buffer[b + 2]! * taps[w + 14]! +
        buffer[b + 3]! * taps[w + 15]! +
        buffer[b + 4]! * taps[w + 16]! +
        buffer[b + 5]! * taps[w + 17]! +
        buffer[b + 6]! * taps[w + 18]! +
        buffer[b + 7]! * taps[w + 19]! +
        buffer[b + 8]! * taps[w + 20]! +
        buffer[b + 9]! * taps[w + 21]! +
        buffer[b + 10]! * taps[w + 22]! +
        buffer[b + 11]! * taps[w + 23]!;
      scratch[i] = own + share * (rise - own);
    }
  }

  // The same for a travelling time that stands: the taps are the same all along.
  private stand(sample: number, run: number): void {
    const { buffer, mask, scratch, weights, curve } = this;
    const travel = curve[0]!;
    const whole = travel | 0;
    const first = sample - whole - 1;
    const phase = (1 - (travel - whole)) * WINDOWED_PHASES;
    const k = Math.min(phase | 0, WINDOWED_PHASES - 1);
    const share = phase - k;
    const w = k * WINDOWED_TAPS;
    for (let t = 0; t < WINDOWED_TAPS; t++) {
      const tap = windowedTaps[w + t]!;
      weights[t] = tap + share * (windowedTaps[w + WINDOWED_TAPS + t]! - tap);
    }
    const w0 = weights[0]!;
    const w1 = weights[1]!;
    const w2 = weights[2]!;
    const w3 = weights[3]!;
    const w4 = weights[4]!;
    const w5 = weights[5]!;
    const w6 = weights[6]!;
    const w7 = weights[7]!;
    const w8 = weights[8]!;
    const w9 = weights[9]!;
    const w10 = weights[10]!;
    const w11 = weights[11]!;
    for (let i = 0; i < run; i++) {
      const b = (first + i - half + 1) & mask;
      scratch[i] =
        buffer[b]! * w0 +
        buffer[b + 1]! * w1 +
        buffer[b + 2]! * w2 +
        buffer[b + 3]! * w3 +
        buffer[b + 4]! * w4 +
        buffer[b + 5]! * w5 +
        buffer[b + 6]! * w6 +
        buffer[b + 7]! * w7 +
        buffer[b + 8]! * w8 +
        buffer[b + 9]! * w9 +
        buffer[b + 10]! * w10 +
        buffer[b + 11]! * w11;
    }
  }
}
