import { NoiseStream } from "../quantities/random.js";
import { CombustionRoar } from "../sound/combustion-roar.js";
import { Patter } from "../sound/patter.js";
import { noiseStreams } from "./noise-streams.js";
import { positive, RowVoice } from "./row-voice.js";
import type { VoiceMaking } from "./voice.js";

// Share of the roar's power that gets out of the firebox, by damper and door. [common practice]
const outRatio = 0.1;
// A fire that follows its control in this time or longer is of coal or wood, and crackles. [common practice]
const solidFuelS = 30;
// Cracks a second of a fire of 100 kW; they go as the root of the heat: a larger bed takes larger coal. [common practice]
const cracksPerS = 5;
const referenceW = 100_000;
// Sound energy of a crack for each joule of heat let loose meanwhile. [tuned: cracks some 16 dB under the roar on the mean, 2026-11-25]
const crackEfficiency = 2.5e-10;
const crackHz = 3200;
// Draught of the beats: how long the fire takes to answer it, and to grow used to it, s. [common practice]
const answerS = 0.06;
const usedS = 1;
// A fire burns so much of the beats' swing of draught. [common practice]
const breathRatio = 0.7;

const heat = 0;
const rate = 1;
const exposure = 2;
const pitch = 3;

/** Fire: the roar of its flames, which breathes with the draught of the exhaust, and the crackle of coal. */
export class FireVoice extends RowVoice {
  private readonly roar: CombustionRoar;
  private readonly crackle: Patter | null;
  private readonly cracksPa: Float64Array;
  private readonly perEnergy: number;
  private readonly answerShare: number;
  private readonly usedShare: number;
  private readonly isDrawn: boolean;
  private quickKgPerS = 0.5;
  private slowKgPerS = 0.5;

  constructor(private readonly making: VoiceMaking) {
    super("fire", making, 4, 1);
    const { sampleRateHz, samplesPerRow, seed, noisePeriod, description, distanceM } = making;
    const { airDensityKgPerM3, airSoundSpeedMPerS } = making;
    const stream = (k: number) => new NoiseStream(seed, noiseStreams.fire + k, noisePeriod);
    const air = { distanceM, airDensityKgPerM3, airSoundSpeedMPerS };
    this.roar = new CombustionRoar(sampleRateHz, stream(0), { ...air, outRatio });
    const isSolid = (description.plant?.fire?.responseS ?? 0) >= solidFuelS;
    const crack = { spreadRatio: 2.2, quality: 4, sizePower: 2 } as const;
    this.crackle = isSolid ? new Patter(sampleRateHz, stream(1), stream(2), crack) : null;
    this.cracksPa = new Float64Array(this.chunkFrames);
    this.perEnergy = (outRatio * airDensityKgPerM3 * airSoundSpeedMPerS) / (4 * Math.PI * distanceM * distanceM);
    const rowS = samplesPerRow / sampleRateHz;
    this.answerShare = rowS / (answerS + rowS);
    this.usedShare = rowS / (usedS + rowS);
    this.isDrawn = description.exhaust.chimney !== null && description.exhaust.smokebox !== null;
    this.silence();
  }

  protected override read(at: number): void {
    const { rows } = this;
    const { record } = this.making;
    const draught = this.isDrawn ? positive(record.exhaustKgPerS) : 0;
    this.quickKgPerS += this.answerShare * (draught - this.quickKgPerS);
    this.slowKgPerS += this.usedShare * (draught - this.slowKgPerS);
    // What it breathes about is a mean over longer than a loop, so in a loop it burns evenly.
    const isLooped = this.making.noisePeriod.samples > 0;
    const swing = !isLooped && this.slowKgPerS > 1e-9 ? this.quickKgPerS / this.slowKgPerS - 1 : 0;
    const breath = 1 + breathRatio * Math.min(2, Math.max(-1, swing));
    const fireW = positive(record.fireW);
    rows[at + heat] = fireW * breath;
    const cracks = cracksPerS * Math.sqrt(fireW / referenceW);
    rows[at + rate] = cracks;
    rows[at + exposure] = cracks > 0 ? (this.perEnergy * crackEfficiency * fireW) / cracks : 0;
    rows[at + pitch] = crackHz;
  }

  override isStill(): boolean {
    return !(this.making.record.fireW > 0);
  }

  protected override wake(): void {
    this.settleEvents();
  }

  protected override make(): void {
    const { roar, crackle, audio, pressurePa, cracksPa, chunkFrames } = this;
    if (this.isSeeking) roar.setNextSampleIndex(this.sampleIndex);
    roar.process(audio[heat]!, pressurePa, chunkFrames);
    if (crackle === null) return;
    if (this.isSeeking) crackle.setNextSampleIndex(this.sampleIndex);
    crackle.process(audio[rate]!, audio[exposure]!, audio[pitch]!, cracksPa, chunkFrames);
    for (let i = 0; i < chunkFrames; i++) pressurePa[i] = pressurePa[i]! + cracksPa[i]!;
  }

  protected override silence(): void {
    this.roar.reset();
    this.crackle?.reset();
    this.quickKgPerS = this.slowKgPerS = 0;
  }

  protected override settleEvents(): void {
    this.quickKgPerS = this.slowKgPerS = positive(this.making.record.exhaustKgPerS);
  }

  protected override isRinging(): boolean {
    return this.crackle !== null && this.crackle.isSounding;
  }
}
