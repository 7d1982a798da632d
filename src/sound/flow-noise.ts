import type { NoiseStream } from "../quantities/random.js";
import { UNIFORM_TO_UNIT_VARIANCE } from "../quantities/random.js";
import { requireSampleRateHz } from "./setting-range.js";

/**
 * Pressure fluctuation of confined turbulent flow as a share of its push on the pipe, velocity head x area ratio. [tuned:
 * decay, attack, crest, slope and scatter of a recorded locomotive's beats, 2026-11-25]
 */
export const TURBULENCE_RATIO = 0.018;

/** Frequency of an eddy times its width over its speed. [tuned: slope of a recorded locomotive's beats, 2026-11-25; free jets peak at 0.2] */
export const TURBULENCE_STROUHAL = 0.3;

// Pressure of the small eddies, of the opening's width, beside that of the large ones that fill the pipe, at the same
// frequency. [tuned: octave levels of a recorded locomotive's beats, 2026-11-25]
const FINE_RATIO = 0.05;

// Corners are held within these shares of the sample rate: below, silence would have no noise to shape. [common practice]
const LEAST_CORNER_SHARE = 2e-5;
const GREATEST_CORNER_SHARE = 8;

/**
 * Turbulence in one opening of a pipe as a source of pressure: noise in proportion to the velocity head, flat up to
 * 0.3 x speed / width where the jet has grown to fill the pipe, falling by 6 dB an octave to a shelf 26 dB lower
 * that ends at 0.3 x speed / width of the opening. Figures come row by row: the level is led straight from one to the
 * next, the corners step. What lies beyond half the sample rate is left out, not folded in.
 *
 * Sample n uses the noise at index n of its stream: `setNextSampleIndex` seeks.
 * [source: fluctuating force in proportion to the velocity head: Nelson & Morfey, Aerodynamic sound production in low speed
 * flow ducts, JSV 79 (1981), from memory]
 *
 * @example
 * const noise = new FlowNoise(48000, 4, new NoiseStream(1, 3));
 * noise.process(rows, rowLength, 0, 1, 2, 32, pressurePa); // head, speed over width at the opening and in the pipe
 */
export class FlowNoise {
  private readonly sampleRateHz: number;
  private nextSampleIndex = 0;
  private gain = 0.5;
  private first = 0.5;
  private second = 0.5;

  /** @throws RangeError for a rate outside 8 to 768 kHz. `samplesPerTick`: a whole number above 0. */
  constructor(
    sampleRateHz: number,
    private readonly samplesPerTick: number,
    private readonly noise: NoiseStream,
  ) {
    this.sampleRateHz = requireSampleRateHz("FlowNoise", sampleRateHz);
    this.reset();
  }

  /** State only: silence, at sample 0. */
  reset(): void {
    this.gain = this.first = this.second = 0;
    this.nextSampleIndex = 0;
  }

  /** Position in the noise of the next sample, a whole number; the filters keep their states. */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
  }

  /**
   * `tickCount` ticks, the first rows of a table with `rowLength` places a row: velocity head in Pa in column `headColumn`,
   * speed over width in 1/s, of the opening and of the jet where it fills the pipe, in the other two. Fills `pressurePa`.
   */
  process(
    rows: Float64Array,
    rowLength: number,
    headColumn: number,
    openingColumn: number,
    pipeColumn: number,
    tickCount: number,
    pressurePa: Float64Array,
  ): void {
    const { samplesPerTick, sampleRateHz } = this;
    const frameCount = tickCount * samplesPerTick;
    this.noise.fill(this.nextSampleIndex, pressurePa, frameCount);
    this.nextSampleIndex += frameCount;
    const perRate = TURBULENCE_STROUHAL / sampleRateHz;
    let { gain, first, second } = this;
    let at = 0;
    for (let t = 0; t < tickCount; t++) {
      let share = perRate * rows[at + openingColumn]!;
      if (!(share > LEAST_CORNER_SHARE)) share = LEAST_CORNER_SHARE;
      else if (share > GREATEST_CORNER_SHARE) share = GREATEST_CORNER_SHARE;
      let slowShare = perRate * rows[at + pipeColumn]!;
      if (!(slowShare > LEAST_CORNER_SHARE)) slowShare = LEAST_CORNER_SHARE;
      else if (slowShare > GREATEST_CORNER_SHARE) slowShare = GREATEST_CORNER_SHARE;
      // Where what comes through the opening has all but stopped, the stream in the pipe still has its own colour.
      if (share < slowShare) share = slowShare;
      const angle = 2 * Math.PI * share;
      const keep = angle / (1 + angle);
      const slowAngle = 2 * Math.PI * slowShare;
      const slowKeep = slowAngle / (1 + slowAngle);
      // Unit variance over all frequencies, of which the sample rate takes its part.
      const density = share * (slowShare + FINE_RATIO * FINE_RATIO * share);
      const spectrum = Math.sqrt((share + slowShare) / (Math.PI * density));
      const wanted = UNIFORM_TO_UNIT_VARIANCE * TURBULENCE_RATIO * rows[at + headColumn]! * spectrum;
      const step = (wanted - gain) / samplesPerTick;
      const start = t * samplesPerTick;
      for (let i = start; i < start + samplesPerTick; i++) {
        gain += step;
        const white = pressurePa[i]!;
        first += slowKeep * (white - first);
        second += keep * (first + FINE_RATIO * (white - first) - second);
        pressurePa[i] = gain * second;
      }
      gain = wanted;
      at += rowLength;
    }
    this.gain = gain;
    this.first = first;
    this.second = second;
  }
}
