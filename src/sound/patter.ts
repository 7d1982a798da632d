import { exp, log } from "../quantities/portable-maths.js";
import type { NoiseStream } from "../quantities/random.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";
import { TonePool } from "./tone-pool.js";

const CHUNK_SAMPLES = 128;
const PLACE_COUNT = 16;
const DRAW_STEPS = 1024;
// Tones overlap until they have fallen by 30 dB: ln 10^1.5. [source: exact, definition of the decibel]
const HEARD_NEPERS = 3.4538776394910684;
// Most tones begun in a sample; above, they are fewer and stronger. [common practice: chance of two at once is small]
const GREATEST_CHANCE = 0.1;

/** How the tones of a patter are like each other. */
export interface PatterSetting {
  /** Pitches lie evenly, by octaves, from 1 / this to this times the pitch asked for: 1 to 16. */
  readonly spreadRatio: number;
  /** Pi times the swings in which pressure falls by a factor e: 0.5 (a thud) to 1000 (a bell). */
  readonly quality: number;
  /** Energies go as the power 0 (all alike) to 4 (most faint, few strong) of a chance that falls off exponentially. */
  readonly sizePower: 0 | 1 | 2 | 3 | 4;
}

/**
 * Patter of drops, bubbles, cracks: short tones struck by chance, so many a second on the average, each with its share of a
 * given mean exposure. The mean square of the pressure is rate x mean exposure, whatever pitch and decay are. Where they
 * follow each other so fast that they run together, fewer are struck, each the stronger: the level is kept.
 *
 * Whether one is struck at sample n and how is in the noise at index n of its streams: `setNextSampleIndex` seeks, and a
 * loop repeats by seeking.
 *
 * @example
 * const drops = new Patter(48000, new NoiseStream(7, 1), new NoiseStream(7, 2), { spreadRatio: 2, quality: 4, sizePower: 1 });
 * drops.process(ratePerS, exposurePa2S, pitchHz, pressurePa, 128);
 */
export class Patter {
  /** A tone begins where it is struck. */
  readonly delaySamples = 0;
  private readonly sampleRateHz: number;
  private readonly pool: TonePool;
  private readonly perQuality: number;
  // Pitch over the one asked for, and energy over the mean, of a draw in so many steps.
  private readonly pitches = new Float64Array(DRAW_STEPS);
  private readonly energies = new Float64Array(DRAW_STEPS);
  private readonly white = new Float64Array(CHUNK_SAMPLES);
  private readonly draw = new Float64Array(2);
  private nextSampleIndex = 0;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a setting outside its range. */
  constructor(
    sampleRateHz: number,
    private readonly chance: NoiseStream,
    private readonly draws: NoiseStream,
    setting: PatterSetting,
  ) {
    this.sampleRateHz = requireSampleRateHz("Patter", sampleRateHz);
    const spreadNepers = log(requireWithin("Patter", "spreadRatio", setting.spreadRatio, 1, 16, ""));
    this.perQuality = Math.PI / requireWithin("Patter", "quality", setting.quality, 0.5, 1000, "");
    const power = requireWithin("Patter", "sizePower", setting.sizePower, 0, 4, "");
    let sum = 0;
    for (let k = 0; k < DRAW_STEPS; k++) {
      const share = (k + 0.5) / DRAW_STEPS;
      this.pitches[k] = exp(spreadNepers * (2 * share - 1));
      const size = -log(share);
      let energy = 1;
      for (let n = 0; n < power; n++) energy *= size;
      this.energies[k] = energy;
      sum += energy;
    }
    for (let k = 0; k < DRAW_STEPS; k++) this.energies[k] = (this.energies[k]! * DRAW_STEPS) / sum;
    this.pool = new TonePool(sampleRateHz, PLACE_COUNT);
  }

  /** State only: silence, at sample 0. */
  reset(): void {
    this.pool.reset();
    this.nextSampleIndex = 0;
  }

  /** Position in the noise of the next sample, a whole number; what rings rings on. */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
  }

  /** Passes over samples in which nothing is struck and nothing rings. */
  skip(frameCount: number): void {
    this.nextSampleIndex += frameCount;
  }

  /** Whether something still rings. */
  get isSounding(): boolean {
    return this.pool.isSounding;
  }

  /** Tones a second, mean exposure of one in Pa2 s, and pitch in Hz, sample by sample, to sound pressure in Pa. */
  process(
    ratePerS: Float64Array,
    exposurePa2S: Float64Array,
    pitchHz: Float64Array,
    pressurePa: Float64Array,
    frameCount: number,
  ): void {
    const { pool, white, sampleRateHz } = this;
    const mostPerHz = (PLACE_COUNT * this.perQuality) / (HEARD_NEPERS * sampleRateHz);
    for (let start = 0; start < frameCount; start += CHUNK_SAMPLES) {
      const count = Math.min(CHUNK_SAMPLES, frameCount - start);
      let isFilled = false;
      let heard = 0;
      // Rates are read before the output is written: they may be the same array.
      for (let i = 0; i < count; i++) {
        const rate = ratePerS[start + i]!;
        if (!(rate > 0)) continue;
        if (!isFilled) this.chance.fill(this.nextSampleIndex, white, count);
        isFilled = true;
        let most = mostPerHz * pitchHz[start + i]!;
        if (!(most < GREATEST_CHANCE)) most = GREATEST_CHANCE;
        const wanted = rate / sampleRateHz;
        const chance = wanted < most ? wanted : most;
        if (!(0.5 * (white[i]! + 1) < chance)) continue;
        this.ring(pressurePa, start + heard, i - heard);
        heard = i;
        pool.strikeExposurePa2S = (wanted / chance) * exposurePa2S[start + i]!;
        pool.strikeHz = pitchHz[start + i]!;
        this.strikeAt(i);
      }
      this.ring(pressurePa, start + heard, count - heard);
      this.nextSampleIndex += count;
    }
  }

  private ring(pressurePa: Float64Array, from: number, count: number): void {
    for (let i = from; i < from + count; i++) pressurePa[i] = 0;
    this.pool.add(pressurePa, from, count);
  }

  private strikeAt(i: number): void {
    const { pool, draw } = this;
    this.draws.fill(2 * (this.nextSampleIndex + i), draw, 2);
    const half = 0.5 * DRAW_STEPS;
    const hz = pool.strikeHz * this.pitches[Math.floor(half * (1 + draw[0]!))]!;
    pool.strikeHz = hz;
    pool.strikeDecayPerS = this.perQuality * hz;
    pool.strikeExposurePa2S *= this.energies[Math.floor(half * (1 + draw[1]!))]!;
    pool.strike();
  }
}
