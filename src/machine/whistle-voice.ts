import { slitAreaM2, WhistleSteam } from "../engine/whistle-steam.js";
import { expm1 } from "../quantities/portable-maths.js";
import { NoiseStream } from "../quantities/random.js";
import { JetNoise } from "../sound/jet-noise.js";
import { Monopole } from "../sound/monopole.js";
import { STEAM_IN_BELL, WhistleBell } from "../sound/whistle-bell.js";
import { noiseStreams } from "./noise-streams.js";
import { positive, RowVoice } from "./row-voice.js";
import { gasOf } from "./steam-jets.js";
import type { VoiceMaking } from "./voice.js";

// Steam takes so long to fill the cup below the slits. [common practice: cup of the bore's width and a third of its height, 2 to 10 ms]
const CUP_S = 0.006;
// Beside the sheet, which hides in the mouth, less is heard than all round. [source: vents at 90 degrees, some 7 dB less at the higher frequencies: Bies & Hansen, Engineering Noise Control, from memory]
const BREATH_RATIO = 0.2;
// Flux of the last breath out of the cup, after which it is empty. [common practice: 1/10,000 of that at 10 bar]
const LEAST_KG_PER_S_M2 = 0.15;
// A bell below this is still: 46 dB below what can be heard. [source: 20 uPa threshold of hearing, ISO 1683]
const STILL_PA = 1e-7;

const mass = 0;
const speed = 1;

/**
 * Whistle: its valve lets steam of the boiler's pressure into a cup, from whose slits sheets cross the mouths of the bells.
 * Every bell has steam by its slit's share. What sounds is the flow through the mouths, and the breath of the sheets.
 */
export class WhistleVoice extends RowVoice {
  private readonly steam: WhistleSteam;
  private readonly bells: readonly WhistleBell[];
  private readonly shares: Float64Array;
  private readonly breath: JetNoise;
  private readonly mouths: Monopole;
  private readonly pushN: Float64Array;
  private readonly bellFlow: Float64Array;
  private readonly flow: Float64Array;
  private readonly gasJPerKgK: number;
  private readonly fillRatio: number;
  private readonly leastKgPerS: number;
  private kgPerS = 0.5;
  private mPerS = 0.5;
  private isSounding = false;

  /** @throws RangeError where the machine has no whistle. */
  constructor(private readonly making: VoiceMaking) {
    super("whistle", making, 2, 1);
    const { description, sampleRateHz, samplesPerRow, seed, noisePeriod } = making;
    const { distanceM, airDensityKgPerM3, airSoundSpeedMPerS } = making;
    const whistle = description.fittings?.whistle ?? null;
    if (whistle === null)
      throw new RangeError("WhistleVoice: whistle must be described, got none. Make no such voice.");
    const { isentropicExponent, gasJPerKgK } = gasOf(making);
    this.gasJPerKgK = gasJPerKgK;
    this.steam = new WhistleSteam(whistle, isentropicExponent, description.ambient.pressurePa);
    const { slitM, cutUpRatio } = whistle;
    this.bells = whistle.bells.map(({ lengthM, boreM }, k) => {
      const noise = new NoiseStream(seed, noiseStreams.whistle + 1 + k, noisePeriod);
      return new WhistleBell(sampleRateHz, noise, { lengthM, boreM, slitM, cutUpRatio, gas: STEAM_IN_BELL });
    });
    this.leastKgPerS = LEAST_KG_PER_S_M2 * this.steam.slitsM2;
    this.shares = Float64Array.from(whistle.bells, ({ boreM }) => slitAreaM2(boreM, slitM) / this.steam.slitsM2);
    // Width of the eddies: between that of the slit and that of the mouth, where the sheet has spread.
    const mouthM = cutUpRatio * whistle.bells[0]!.boreM;
    const boreM = Math.min(5, Math.max(1e-4, Math.sqrt(slitM * mouthM)));
    const setting = { boreM, distanceM, airDensityKgPerM3, airSoundSpeedMPerS };
    this.breath = new JetNoise(sampleRateHz, new NoiseStream(seed, noiseStreams.whistle, noisePeriod), setting);
    this.mouths = new Monopole(sampleRateHz, { distanceM, airDensityKgPerM3 });
    this.pushN = new Float64Array(this.chunkFrames);
    this.bellFlow = new Float64Array(this.chunkFrames);
    this.flow = new Float64Array(this.chunkFrames);
    this.fillRatio = -expm1(-samplesPerRow / (CUP_S * sampleRateHz));
    this.silence();
  }

  protected override read(at: number): void {
    const { rows, steam, fillRatio } = this;
    this.draw();
    const wantedKgPerS = steam.massFlowKgPerS;
    this.kgPerS += fillRatio * (wantedKgPerS - this.kgPerS);
    this.mPerS += fillRatio * (steam.jetMPerS - this.mPerS);
    if (wantedKgPerS === 0 && this.kgPerS < this.leastKgPerS) this.kgPerS = this.mPerS = 0;
    rows[at + mass] = this.kgPerS;
    rows[at + speed] = this.mPerS;
  }

  override isStill(): boolean {
    return !(this.making.record.whistleRatio > 0) && this.kgPerS === 0 && this.mPerS === 0;
  }

  protected override make(): void {
    const { audio, pressurePa, pushN, bellFlow, flow, bells, shares, breath, chunkFrames } = this;
    if (this.isSeeking) this.seek();
    const kgPerS = audio[mass]!;
    const mPerS = audio[speed]!;
    flow.fill(0);
    for (let k = 0; k < bells.length; k++) {
      const share = shares[k]!;
      for (let i = 0; i < chunkFrames; i++) pushN[i] = share * kgPerS[i]! * mPerS[i]!;
      bells[k]!.process(pushN, mPerS, bellFlow, chunkFrames);
      for (let i = 0; i < chunkFrames; i++) flow[i] = flow[i]! + bellFlow[i]!;
    }
    this.mouths.process(flow, flow, chunkFrames);
    breath.process(kgPerS, mPerS, pressurePa, chunkFrames);
    const gain = Math.sqrt(BREATH_RATIO);
    let isSounding = false;
    for (let i = 0; i < chunkFrames; i++) {
      const pressure = gain * pressurePa[i]! + flow[i]!;
      pressurePa[i] = pressure;
      if (pressure > STILL_PA || pressure < -STILL_PA) isSounding = true;
    }
    this.isSounding = isSounding;
  }

  protected override isRinging(): boolean {
    return this.isSounding;
  }

  protected override settleEvents(): void {
    this.draw();
    this.kgPerS = this.steam.massFlowKgPerS;
    this.mPerS = this.steam.jetMPerS;
  }

  protected override silence(): void {
    for (const bell of this.bells) bell.reset();
    this.breath.reset();
    this.mouths.reset(0);
    this.kgPerS = this.mPerS = 0;
    this.isSounding = false;
  }

  // What comes to the slits once the cup is full.
  private draw(): void {
    const { steam } = this;
    const { record, description } = this.making;
    const boilerK = positive(record.boilerK);
    steam.boilerPa = positive(record.boilerPa);
    steam.gasJPerKg = this.gasJPerKgK * (boilerK > 0 ? boilerK : description.boiler.temperatureK);
    steam.openRatio = positive(record.whistleRatio);
    steam.measure();
  }

  private seek(): void {
    for (const bell of this.bells) bell.setNextSampleIndex(this.sampleIndex);
    this.breath.setNextSampleIndex(this.sampleIndex);
  }
}
