import { UNFLANGED_END_CORRECTION_RATIO } from "../quantities/constants.js";
import { DelayLine, LEAST_DELAY_SAMPLES } from "./delay-line.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";

const CHUNK_SAMPLES = 128;
// Part of a wave that comes back from either end, slow swings: what goes out, and what a stream carries away. [common practice]
const RETURN_RATIO = 0.75;
// An end sends back half of the power at about this share of k a = 1. [source: Levine & Schwinger, Phys. Rev. 73 (1948) 383, figure: |R|^2 = 0.5 near k a = 1]
const END_CORNER_KA = 1;

export interface OpenPipeShape {
  /** 20 mm to 50 m. */
  readonly lengthM: number;
  /** 1 mm to 5 m. */
  readonly boreM: number;
  /** Of the gas in it, 100 to 1000 m/s. */
  readonly soundSpeedMPerS: number;
}

/**
 * A noise let in at one end of a pipe open at both, as it comes out of the other: it swells at whole multiples of c / 2 (l +
 * 0.61 bores), the less the higher they are, and keeps its level on the whole.
 *
 * @example
 * const chimney = new OpenPipe(48000, { lengthM: 1.2, boreM: 0.4, soundSpeedMPerS: 430 });
 * chimney.process(pressurePa, pressurePa, 128);
 */
export class OpenPipe {
  /** Travelling along the pipe is part of the sound. */
  readonly delaySamples = 0;
  private readonly line: DelayLine;
  private readonly keep: number;
  private readonly level: number;
  private readonly returned = new Float64Array(CHUNK_SAMPLES);
  private state = 0.5;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a shape outside its ranges. */
  constructor(sampleRateHz: number, shape: OpenPipeShape) {
    const where = "OpenPipe";
    const rate = requireSampleRateHz(where, sampleRateHz);
    const length = requireWithin(where, "lengthM", shape.lengthM, 0.02, 50, " m");
    const bore = requireWithin(where, "boreM", shape.boreM, 1e-3, 5, " m");
    const speed = requireWithin(where, "soundSpeedMPerS", shape.soundSpeedMPerS, 100, 1000, " m/s");
    const angle = (END_CORNER_KA * speed) / (0.5 * bore * rate);
    this.keep = angle / (1 + angle);
    // The low-pass is late by (1 - keep) / keep samples for slow swings.
    const lateSamples = (1 - this.keep) / this.keep;
    // A correction in radii at either end is one in bores for both.
    const roundTrip = (2 * rate * (length + UNFLANGED_END_CORRECTION_RATIO * bore)) / speed;
    // Out of the line comes what has just gone round.
    const delay = Math.max(LEAST_DELAY_SAMPLES, roundTrip - lateSamples);
    this.line = new DelayLine(delay + 1);
    this.line.setDelaySamples(delay);
    // Power of a comb of returns r: 1 / (1 - r^2).
    const power = RETURN_RATIO * RETURN_RATIO;
    this.level = Math.sqrt(1 - power * power);
    this.reset();
  }

  /** State only. */
  reset(): void {
    this.line.reset(0);
    this.state = 0;
  }

  /** `output` may be `input`. */
  process(input: Float64Array, output: Float64Array, frameCount: number): void {
    const { line, keep, level, returned } = this;
    const comeBack = RETURN_RATIO * RETURN_RATIO;
    let state = this.state;
    let done = 0;
    while (done < frameCount) {
      const count = Math.min(line.samplesAhead(), CHUNK_SAMPLES, frameCount - done);
      line.read(returned, 0, count);
      for (let i = 0; i < count; i++) {
        state += keep * (returned[i]! - state);
        // Keeps what dies away from crawling through denormal numbers.
        if (state < 1e-30 && state > -1e-30) state = 0;
        const wave = input[done + i]! + comeBack * state;
        returned[i] = wave;
        output[done + i] = level * wave;
      }
      line.write(returned, 0, count);
      done += count;
    }
    this.state = state;
  }
}
