import { NoiseStream } from "../quantities/random.js";
import { JetNoise } from "../sound/jet-noise.js";
import { NoiseColour } from "../sound/noise-colour.js";
import { Patter } from "../sound/patter.js";
import { noiseStreams } from "./noise-streams.js";
import { positive, RowVoice } from "./row-voice.js";
import type { VoiceMaking } from "./voice.js";

// Water that a kilogram of steam brings in. [common practice: 10 to 13]
const waterPerSteam = 12;
const waterKgPerM3 = 998; // [source: IAPWS-IF97 at 20 degrees]
// What comes through the injector's body and pipes, of the pressure inside. [source: IEC 60534-8-3:2010, worked examples: 33 to 39 dB from the power inside a steel pipe to that outside; 37 dB]
const wallRatio = 0.0141;
// Brass as thick as an injector's passes less and less treble from here on. [common practice]
const bodyHz = 3000;
// The water's jet in the combining cone sings where it meets the delivery cone: its frequency times width over speed, and
// the share of its power that is heard. [common practice: Strouhal number of free jets; efficiency tuned to some 65 dB at 7.5 m for a locomotive's, from memory]
const singStrouhal = 0.2;
const singEfficiency = 7e-7;
// Grains of the singing a second. [common practice: it wavers some]
const grainsPerS = 260;
// Steam at rest: 2 cp T of saturated steam at some 8 bar, J/kg; it cools with the pressure to the power 0.3 / 1.3. [source: ideal gas of exponent 1.3, Shapiro, 1953, chapter 4]
const twiceEnthalpyJPerKg = 2 * 2000 * 443;

const mass = 0;
const speed = 1;
const rate = 2;
const exposure = 3;
const pitch = 4;

/** Injector: steam rushing through its cones, and the singing of the water's jet, which rises as it takes hold. */
export class InjectorVoice extends RowVoice {
  private readonly rush: JetNoise;
  private readonly song: Patter;
  private readonly body: NoiseColour;
  private readonly songPa: Float64Array;
  private readonly perPower: number;
  private readonly throatM2: number;

  constructor(private readonly making: VoiceMaking) {
    super("feed", making, 5, 1);
    const { sampleRateHz, seed, noisePeriod, distanceM, airDensityKgPerM3, airSoundSpeedMPerS, description } = making;
    const stream = (k: number) => new NoiseStream(seed, noiseStreams.feed + k, noisePeriod);
    const fullKgPerS = description.plant?.feed?.massFlowKgPerS ?? 0;
    const headPa = Math.max(1e4, description.boiler.pressurePa - description.ambient.pressurePa);
    this.throatM2 = fullKgPerS / Math.sqrt(2 * headPa * waterKgPerM3);
    // The steam cone is about twice as wide as the throat of the delivery cone.
    const boreM = Math.min(5, Math.max(1e-4, 2 * Math.sqrt((4 / Math.PI) * this.throatM2)));
    const air = { distanceM, airDensityKgPerM3, airSoundSpeedMPerS };
    this.rush = new JetNoise(sampleRateHz, stream(0), { ...air, boreM });
    this.song = new Patter(sampleRateHz, stream(1), stream(2), { spreadRatio: 1.015, quality: 70, sizePower: 1 });
    this.body = new NoiseColour(sampleRateHz, [{ zeroRatio: Infinity, poleRatio: 1 }]);
    this.body.baseHz = bodyHz;
    this.body.follow();
    this.songPa = new Float64Array(this.chunkFrames);
    this.perPower = (airDensityKgPerM3 * airSoundSpeedMPerS) / (4 * Math.PI * distanceM * distanceM);
    this.silence();
  }

  protected override read(at: number): void {
    const { rows, throatM2 } = this;
    const { record, description } = this.making;
    const feed = positive(record.feedKgPerS);
    if (feed === 0) {
      rows.fill(0, at, at + 5);
      return;
    }
    const works = throatM2 > 0;
    rows[at + mass] = feed / waterPerSteam;
    const boilerPa = Math.max(description.ambient.pressurePa, positive(record.boilerPa));
    // To the power 0.2305 by roots of roots, for a function would hand its number over on the heap.
    const fourth = Math.sqrt(Math.sqrt(description.ambient.pressurePa / boilerPa));
    const sixtyFourth = Math.sqrt(Math.sqrt(Math.sqrt(Math.sqrt(fourth))));
    const cooling = works ? fourth / (sixtyFourth * Math.sqrt(Math.sqrt(sixtyFourth))) : 1;
    rows[at + speed] = Math.sqrt(twiceEnthalpyJPerKg * (1 - cooling));
    const waterMPerS = works ? feed / (waterKgPerM3 * throatM2) : 0;
    const powerW = 0.5 * feed * waterMPerS * waterMPerS;
    rows[at + rate] = works ? grainsPerS : 0;
    rows[at + exposure] = (this.perPower * singEfficiency * powerW) / grainsPerS;
    rows[at + pitch] = works ? (singStrouhal * waterMPerS) / Math.sqrt((4 / Math.PI) * throatM2) : 0;
  }

  override isStill(): boolean {
    return !(this.making.record.feedKgPerS > 0);
  }

  protected override make(): void {
    const { rush, song, audio, pressurePa, songPa, chunkFrames } = this;
    this.standAtOnce(speed);
    if (this.isSeeking) rush.setNextSampleIndex(this.sampleIndex);
    if (this.isSeeking) song.setNextSampleIndex(this.sampleIndex);
    rush.process(audio[mass]!, audio[speed]!, pressurePa, chunkFrames);
    this.body.process(pressurePa, 0, chunkFrames);
    song.process(audio[rate]!, audio[exposure]!, audio[pitch]!, songPa, chunkFrames);
    for (let i = 0; i < chunkFrames; i++) pressurePa[i] = wallRatio * pressurePa[i]! + songPa[i]!;
  }

  protected override silence(): void {
    this.rush.reset();
    this.body.reset();
    this.song.reset();
  }

  protected override isRinging(): boolean {
    return this.song.isSounding;
  }
}
