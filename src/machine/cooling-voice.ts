import { exp } from "../quantities/portable-maths.js";
import { NoiseStream } from "../quantities/random.js";
import { noiseStreams } from "./noise-streams.js";
import { RowVoice } from "./row-voice.js";
import { SmallIron } from "./small-iron.js";
import type { VoiceMaking } from "./voice.js";

// Lagging and joints let go once in this much of cooling, for each cylinder. [common practice: a hot engine ticks every few
// seconds at first, at some kelvins a minute]
const kelvinsPerTick = 0.12;
// Steam heats and cools a cylinder's skin at every stroke: what the iron as a whole does is the mean over this. [common practice]
const wholeS = 4;
// Elastic energy of the piece that lets go: half of stiffness x (expansion x kelvins)^2 x volume; of steel, a sheet of 1 mm over
// the barrel. [source: E 205 GPa, 12e-6 /K: Machinery's Handbook, from memory]
const youngPa = 205e9;
const perKelvin = 12e-6;
const sheetM = 1e-3;
// Kelvins over which strain gathers before a piece lets go, and the share of its energy heard. [tuned: ticks some 45 dB at 1 m
// while they ring, from memory, 2026-11-25]
const gatheredK = 6;
const heardRatio = 3e-7;
// Note of a tick for a cylinder of 0.1 m bore, and how widely they differ: by 2.2 up and down. [common practice]
const tickHz = 2600;
const referenceM = 0.1;
const spreadNepers = 0.8;
const quality = 45;
const drawCount = 3;

/**
 * Ticking of iron as it cools: contraction is let go a little at a time, so that there are as many ticks a second as it cools
 * fast. Which tick sounds how is settled by the temperature at which it comes. It is still while the iron warms.
 */
export class CoolingVoice extends RowVoice {
  private readonly iron: SmallIron;
  private readonly noise: NoiseStream;
  private readonly draw = new Float64Array(drawCount);
  private readonly meanK: Float64Array;
  private readonly lowestK: Float64Array;
  private readonly meanShare: number;
  private readonly exposurePa2S: number;
  private readonly pitchHz: number;
  private isKnown = false;

  constructor(private readonly making: VoiceMaking) {
    super("cooling", making, 1, 1);
    const { sampleRateHz, samplesPerRow, seed, noisePeriod, distanceM, description, record } = making;
    const { airDensityKgPerM3, airSoundSpeedMPerS } = making;
    this.iron = new SmallIron(sampleRateHz, quality);
    this.noise = new NoiseStream(seed, noiseStreams.cooling, noisePeriod);
    this.meanK = new Float64Array(record.metalK.length);
    this.lowestK = new Float64Array(record.metalK.length);
    const rowS = samplesPerRow / sampleRateHz;
    this.meanShare = rowS / (wholeS + rowS);
    const { boreM, strokeM } = description.gear.cylinder;
    const strain = perKelvin * gatheredK;
    const energyJ = 0.5 * youngPa * strain * strain * sheetM * Math.PI * boreM * strokeM;
    const perEnergy = (airDensityKgPerM3 * airSoundSpeedMPerS) / (4 * Math.PI * distanceM * distanceM);
    // A tick lets go one share of what is gathered.
    this.exposurePa2S = (perEnergy * heardRatio * energyJ * kelvinsPerTick) / gatheredK;
    this.pitchHz = Math.min(5000, Math.max(500, (tickHz * referenceM) / boreM));
  }

  protected override read(at: number): void {
    const { rows, meanK, lowestK } = this;
    const { metalK } = this.making.record;
    rows[at] = 0;
    for (let c = 0; c < meanK.length; c++) {
      const metal = metalK[c]! > 0 ? metalK[c]! : 0;
      if (!this.isKnown) {
        meanK[c] = metal;
        this.findNext(c);
      }
      meanK[c] = meanK[c]! + this.meanShare * (metal - meanK[c]!);
      // Iron that warms gathers anew.
      if (meanK[c]! > lowestK[c]! + 2 * kelvinsPerTick) this.findNext(c);
      if (meanK[c]! > lowestK[c]!) continue;
      rows[at] = 1;
      this.tick(at * this.making.samplesPerRow, c);
      this.findNext(c);
    }
    this.isKnown = true;
  }

  protected override make(): void {
    this.pressurePa.fill(0);
    this.iron.add(this.pressurePa, this.chunkFrames);
  }

  protected override silence(): void {
    this.iron.reset();
    this.isKnown = false;
  }

  protected override settleEvents(): void {
    this.isKnown = false;
  }

  protected override isRinging(): boolean {
    return this.iron.isSounding;
  }

  // The tick below a cylinder's temperature: one in every step of the scale, somewhere in it.
  private findNext(cylinder: number): void {
    const { meanK, lowestK, draw } = this;
    let step = Math.floor(meanK[cylinder]! / kelvinsPerTick);
    lowestK[cylinder] = meanK[cylinder]! - kelvinsPerTick;
    for (let k = 0; k < 3; k++) {
      this.drawFor(step, cylinder);
      const at = kelvinsPerTick * (step + 0.5 + 0.45 * draw[0]!);
      if (at < meanK[cylinder]!) {
        lowestK[cylinder] = at;
        return;
      }
      step--;
    }
  }

  private tick(offset: number, cylinder: number): void {
    this.drawFor(Math.floor(this.lowestK[cylinder]! / kelvinsPerTick), cylinder);
    const size = 0.5 * (1 + this.draw[1]!);
    // Few are strong: mean of the fourth power of an even chance is a fifth.
    const exposure = 5 * this.exposurePa2S * size * size * size * size;
    this.iron.strike(offset, exposure, this.pitchHz * exp(spreadNepers * this.draw[2]!));
  }

  private drawFor(step: number, cylinder: number): void {
    this.noise.fill(drawCount * (step * this.meanK.length + cylinder), this.draw, drawCount);
  }
}
