import { NoiseStream } from "../quantities/random.js";
import { JetNoise } from "../sound/jet-noise.js";
import { WATER_QUIETING } from "../sound/wet-jet.js";
import { faintJetFlux, faintRowCount } from "./faint-jet.js";
import { leakBoreM } from "./leak-bore.js";
import { noiseStreams } from "./noise-streams.js";
import { RowVoice } from "./row-voice.js";
import type { VoiceMaking } from "./voice.js";

const mass = 0;
const speed = 1;

/**
 * What blows past the packing of the glands: the hiss of a crack, quieter the more water comes with the steam. All glands are
 * one jet, as fast as the fastest of them.
 */
export class GlandVoice extends RowVoice {
  private readonly jet: JetNoise;
  private readonly faintFlux: number;
  private readonly restRows: number;
  private faintRows = 0;

  constructor(private readonly making: VoiceMaking) {
    super("glands", making, 2, 1);
    const { sampleRateHz, seed, noisePeriod, distanceM, airDensityKgPerM3, airSoundSpeedMPerS, description } = making;
    const boreM = Math.min(5, Math.max(1e-4, leakBoreM(description.fittings?.glandAreaM2 ?? 0)));
    const stream = new NoiseStream(seed, noiseStreams.gland, noisePeriod);
    this.jet = new JetNoise(sampleRateHz, stream, { boreM, distanceM, airDensityKgPerM3, airSoundSpeedMPerS });
    this.faintFlux = faintJetFlux(making);
    this.restRows = faintRowCount(making);
    this.silence();
  }

  protected override read(at: number): void {
    const { rows } = this;
    const { glandKgPerS, glandMPerS, glandWaterKgPerS } = this.making.record;
    rows[at + mass] = rows[at + speed] = 0;
    for (let k = 0; k < glandKgPerS.length; k++) {
      const steam = glandKgPerS[k]!;
      if (!(steam > 0 && steam < 1e6)) continue;
      const water = glandWaterKgPerS[k]! > 0 ? glandWaterKgPerS[k]! : 0;
      // A jet's power goes with its mass flow: what drops take is taken from that.
      rows[at + mass] = rows[at + mass]! + steam / (1 + (WATER_QUIETING * water) / steam);
      if (glandMPerS[k]! > rows[at + speed]!) rows[at + speed] = glandMPerS[k]!;
    }
    // What dies away keeps its colour.
    if (rows[at + mass] === 0) rows[at + speed] = rows[(at === 0 ? rows.length : at) - 2 + speed]!;
  }

  override isStill(): boolean {
    const { glandKgPerS, glandMPerS } = this.making.record;
    let flux = 0;
    let blows = false;
    for (let k = 0; k < glandKgPerS.length; k++) {
      if (!(glandKgPerS[k]! > 0)) continue;
      blows = true;
      const speed = glandMPerS[k]!;
      const cube = speed * speed * speed;
      flux += glandKgPerS[k]! * cube * cube * speed;
    }
    if (!blows) return true;
    this.faintRows = flux < this.faintFlux ? this.faintRows + 1 : 0;
    return this.faintRows > this.restRows;
  }

  protected override make(): void {
    const { jet, audio, pressurePa, chunkFrames } = this;
    this.standAtOnce(speed);
    if (this.isSeeking) jet.setNextSampleIndex(this.sampleIndex);
    jet.process(audio[mass]!, audio[speed]!, pressurePa, chunkFrames);
  }

  protected override silence(): void {
    this.jet.reset();
    this.faintRows = 0;
  }
}
