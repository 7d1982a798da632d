import { TonePool } from "../sound/tone-pool.js";

const mostBlows = 64;
const placeCount = 24;

/**
 * Small pieces of iron struck now and then: discs of valves, plates that tick. A blow sounds as the lowest modes of a free
 * round plate, each weaker and shorter than the one before.
 */
export class SmallIron {
  // [source: free circular plate, Leissa, Vibration of Plates, NASA SP-160 (1969): 5.25, 9.08, 12.2, 20.5, from memory]
  private static readonly ratios = Float64Array.of(1, 1.73, 2.33, 3.91);
  // Of a blow's exposure. [common practice]
  private static readonly shares = Float64Array.of(0.45, 0.27, 0.18, 0.1);
  private readonly pool: TonePool;
  private readonly offsets = new Int32Array(mostBlows);
  private readonly exposures = new Float64Array(mostBlows);
  private readonly pitches = new Float64Array(mostBlows);
  private count = 0;

  /** @param quality pi times the swings in which a mode falls by a factor e */
  constructor(
    sampleRateHz: number,
    private readonly quality: number,
  ) {
    this.pool = new TonePool(sampleRateHz, placeCount);
  }

  /** State only: silence, no blows. */
  reset(): void {
    this.pool.reset();
    this.count = 0;
  }

  get isSounding(): boolean {
    return this.count > 0 || this.pool.isSounding;
  }

  /** Lays down a blow in the next chunk, later than those before. */
  strike(offsetSamples: number, exposurePa2S: number, pitchHz: number): void {
    if (this.count === mostBlows) return;
    this.offsets[this.count] = offsetSamples;
    this.exposures[this.count] = exposurePa2S;
    this.pitches[this.count] = pitchHz;
    this.count++;
  }

  /** Adds the chunk to `pressurePa`, and forgets its blows. */
  add(pressurePa: Float64Array, frameCount: number): void {
    const { pool } = this;
    let heard = 0;
    for (let b = 0; b < this.count; b++) {
      const offset = Math.min(frameCount - 1, Math.max(heard, this.offsets[b]!));
      pool.add(pressurePa, heard, offset - heard);
      heard = offset;
      for (let k = 0; k < SmallIron.ratios.length; k++) {
        const hz = SmallIron.ratios[k]! * this.pitches[b]!;
        pool.strikeHz = hz;
        pool.strikeDecayPerS = (Math.PI * hz) / this.quality;
        pool.strikeExposurePa2S = SmallIron.shares[k]! * this.exposures[b]!;
        pool.strike();
      }
    }
    pool.add(pressurePa, heard, frameCount - heard);
    this.count = 0;
  }
}
