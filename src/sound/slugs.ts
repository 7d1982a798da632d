import type { NoiseStream } from "../quantities/random.js";
import { UNIFORM_TO_UNIT_VARIANCE } from "../quantities/random.js";
import { requireSampleRateHz } from "./setting-range.js";

const CHUNK_SAMPLES = 128;
// How fast a slug's front passes the opening, of its own length: the opening is neither shut nor free for about a sixth of the
// time. [common practice]
const EDGE_RATIO = 2.5;
// The normal law's quantile of a share of time, near enough: within 0.15 from 0.1 to 0.9, 2.7 where it is 2.3 at 0.01.
// [tuned: (1 - 2 s) / sqrt(s (1 - s) + floor) against the normal law, 2026-11-25]
const QUANTILE_RATIO = 0.55;
const QUANTILE_FLOOR = 0.03;
const LEAST_SHARE = 1e-4;

/**
 * Water that passes an opening in slugs, by turns with steam: the share of the opening that is free, 0 to 1, from moment to
 * moment. The opening is shut for the asked share of the time, by slugs that follow each other some `slugHz` times a second,
 * by chance. Without water it is free, and stays just so.
 *
 * Sample n uses the noise at index n of its stream: `setNextSampleIndex` seeks.
 *
 * @example
 * const slugs = new Slugs(48000, new NoiseStream(7, 3));
 * slugs.process(waterRatio, slugHz, freeRatio, 128);
 */
export class Slugs {
  private readonly sampleRateHz: number;
  private readonly white = new Float64Array(CHUNK_SAMPLES);
  private first = 0.5;
  private second = 0.5;
  private nextSampleIndex = 0;

  /** @throws RangeError for a rate outside 8 to 768 kHz. */
  constructor(
    sampleRateHz: number,
    private readonly noise: NoiseStream,
  ) {
    this.sampleRateHz = requireSampleRateHz("Slugs", sampleRateHz);
    this.reset();
  }

  /** State only: no slug under way, at sample 0. */
  reset(): void {
    this.first = this.second = 0;
    this.nextSampleIndex = 0;
  }

  /** Position in the noise of the next sample, a whole number; the slug under way goes on. */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
  }

  /** Passes over samples without water. */
  skip(frameCount: number): void {
    this.nextSampleIndex += frameCount;
  }

  /** Share of the time that water takes, 0 to 1, and slugs a second, above 0, to the free share of the opening. */
  process(waterRatio: Float64Array, slugHz: Float64Array, freeRatio: Float64Array, frameCount: number): void {
    const { white } = this;
    const perHz = (2 * Math.PI) / this.sampleRateHz;
    let { first, second } = this;
    for (let start = 0; start < frameCount; start += CHUNK_SAMPLES) {
      const count = Math.min(CHUNK_SAMPLES, frameCount - start);
      let isFilled = false;
      for (let i = 0; i < count; i++) {
        const share = waterRatio[start + i]!;
        if (!(share > LEAST_SHARE)) {
          freeRatio[start + i] = 1;
          continue;
        }
        if (!isFilled) this.noise.fill(this.nextSampleIndex, white, count);
        isFilled = true;
        let keep = perHz * slugHz[start + i]!;
        if (!(keep < 0.5)) keep = 0.5;
        first += keep * (white[i]! - first);
        second += keep * (first - second);
        const held = share < 1 - LEAST_SHARE ? share : 1 - LEAST_SHARE;
        // Two poles in a row pass keep / 4 of the variance of white noise.
        const swing = UNIFORM_TO_UNIT_VARIANCE * second * Math.sqrt(4 / keep);
        const limit = (QUANTILE_RATIO * (1 - 2 * held)) / Math.sqrt(QUANTILE_FLOOR + held * (1 - held));
        const free = 0.5 + EDGE_RATIO * (limit - swing);
        freeRatio[start + i] = free > 1 ? 1 : free > 0 ? free : 0;
      }
      this.nextSampleIndex += count;
    }
    this.first = first;
    this.second = second;
  }
}
