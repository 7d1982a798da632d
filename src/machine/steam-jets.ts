import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K, DRY_AIR_ISENTROPIC_EXPONENT } from "../quantities/constants.js";
import { NoiseStream } from "../quantities/random.js";
import { WetJet } from "../sound/wet-jet.js";
import { FaintJet } from "./faint-jet.js";
import { positive, RowVoice } from "./row-voice.js";
import type { VoiceMaking } from "./voice.js";

const columnsEach = 5;
const streamsEach = 7;
// Choked mass flux over p0 / sqrt(R T0). [source: isentropic ideal gas, Shapiro, Compressible Fluid Flow, 1953, chapter 4: 0.667 for an exponent of 1.3, 0.685 for 1.4]
const CHOKED_FLUX_RATIO = 0.667;

/** One jet, where it stands in its arrays. */
export interface JetSource {
  readonly massKgPerS: Float64Array;
  readonly jetMPerS: Float64Array;
  /** Null: no water comes with it. */
  readonly waterKgPerS: Float64Array | null;
  readonly index: number;
  readonly boreM: number;
}

/** How a set of jets is heard. */
export interface JetsHeard {
  /** Slugs of water a second. */
  readonly slugHz: number;
  /** Share of the sound power that reaches the listener, 1: all of it. */
  readonly heardRatio: number;
  /** Temperature at rest of what comes out, which settles how fast its own sound is, K. */
  readonly restK: number;
}

/**
 * Free jets of one kind, each tied to its own opening and its own pressure. Only those that blow cost anything.
 */
export class SteamJets extends RowVoice {
  private readonly jets: readonly WetJet[];
  private readonly scratch: Float64Array;
  // Where in the noise each jet's next sample is.
  private readonly blownUpTo: Float64Array;
  private readonly gain: number;
  private readonly soundSquare: number;
  private readonly coolingRatio: number;
  private readonly fluxPerPa: number;
  private readonly outsidePa: number;
  private readonly faint: FaintJet;

  /** @param firstStream of the noise streams, seven for each jet */
  constructor(
    stemName: string,
    making: VoiceMaking,
    private readonly sources: readonly JetSource[],
    heard: JetsHeard,
    firstStream: number,
  ) {
    // Mass and water drive; then speed, Mach number and open share of the mouth.
    super(stemName, making, columnsEach * sources.length, 2 * sources.length);
    const { sampleRateHz, seed, noisePeriod, distanceM, airDensityKgPerM3, airSoundSpeedMPerS } = making;
    this.jets = sources.map(({ boreM }, j) => {
      const streams = Array.from(
        { length: streamsEach },
        (_, k) => new NoiseStream(seed, firstStream + streamsEach * j + k, noisePeriod),
      );
      const setting = {
        boreM: Math.min(5, Math.max(1e-4, boreM)),
        slugHz: heard.slugHz,
        distanceM,
        airDensityKgPerM3,
        airSoundSpeedMPerS,
      };
      return new WetJet(sampleRateHz, streams, setting);
    });
    this.blownUpTo = new Float64Array(sources.length);
    this.scratch = new Float64Array(this.chunkFrames);
    this.gain = Math.sqrt(heard.heardRatio);
    const gas = gasOf(making);
    this.soundSquare = gas.isentropicExponent * gas.gasJPerKgK * heard.restK;
    this.coolingRatio = 0.5 * (gas.isentropicExponent - 1);
    this.fluxPerPa = CHOKED_FLUX_RATIO / Math.sqrt(gas.gasJPerKgK * heard.restK);
    this.faint = new FaintJet(making);
    this.outsidePa = making.description.ambient.pressurePa;
    this.silence();
  }

  protected override read(at: number): void {
    const { rows, sources, soundSquare, coolingRatio } = this;
    const count = sources.length;
    const before = (at === 0 ? rows.length : at) - columnsEach * count;
    for (let j = 0; j < count; j++) {
      const { massKgPerS, jetMPerS, waterKgPerS, index, boreM } = sources[j]!;
      const mass = positive(massKgPerS[index]!);
      rows[at + j] = mass;
      if (mass === 0) {
        // What dies away keeps its colour.
        for (let k = 2; k < columnsEach; k++) rows[at + k * count + j] = rows[before + k * count + j]!;
        rows[at + count + j] = 0;
        continue;
      }
      const speed = positive(jetMPerS[index]!);
      rows[at + count + j] = waterKgPerS === null ? 0 : positive(waterKgPerS[index]!);
      rows[at + 2 * count + j] = speed;
      // Of an ideal gas, U^2 = 2 (c0^2 - c^2) / (gamma - 1); held below Mach 5. Written out: numbers that functions hand over can
      // cost heap.
      const square = speed * speed;
      const left = soundSquare - coolingRatio * square;
      const mach = 25 * left > square ? Math.sqrt(square / left) : 5;
      rows[at + 3 * count + j] = mach;
      // What passes beside what would pass through the whole bore from the pressure that gives this jet.
      const heat = 1 + coolingRatio * mach * mach;
      const restPa = this.outsidePa * heat * heat * heat * heat * (1 + (heat - 1) / 3);
      const whole = this.fluxPerPa * restPa * 0.25 * Math.PI * boreM * boreM;
      rows[at + 4 * count + j] = mass < whole ? mass / whole : 1;
    }
  }

  override isStill(): boolean {
    const { sources } = this;
    let flux = 0;
    let blows = false;
    for (let j = 0; j < sources.length; j++) {
      const { massKgPerS, jetMPerS, waterKgPerS, index } = sources[j]!;
      const mass = massKgPerS[index]!;
      if (!(mass > 0)) continue;
      blows = true;
      const speed = jetMPerS[index]!;
      const cube = speed * speed * speed;
      flux += mass * cube * cube * speed;
      if (waterKgPerS !== null && waterKgPerS[index]! > 0) flux = Infinity;
    }
    return !blows || this.faint.mayRest(flux);
  }

  protected override make(): void {
    const { jets, audio, pressurePa, scratch, gain, chunkFrames } = this;
    const count = jets.length;
    pressurePa.fill(0);
    for (let j = 0; j < count; j++) {
      const jet = jets[j]!;
      if (!this.columnDrives(j) && !jet.isSounding) continue;
      for (let k = 2; k < columnsEach; k++) this.standAtOnce(k * count + j);
      if (this.isSeeking || this.blownUpTo[j] !== this.sampleIndex) jet.setNextSampleIndex(this.sampleIndex);
      this.blownUpTo[j] = this.sampleIndex + chunkFrames;
      const open = audio[4 * count + j]!;
      const mach = audio[3 * count + j]!;
      jet.process(audio[j]!, audio[2 * count + j]!, mach, open, audio[count + j]!, scratch, chunkFrames);
      for (let i = 0; i < chunkFrames; i++) pressurePa[i] = pressurePa[i]! + gain * scratch[i]!;
    }
  }

  protected override silence(): void {
    for (const jet of this.jets) jet.reset();
    this.blownUpTo.fill(NaN);
    this.faint.reset();
  }

  protected override isRinging(): boolean {
    for (let j = 0; j < this.jets.length; j++) if (this.jets[j]!.isSounding) return true;
    return false;
  }
}

/** Isentropic exponent and gas constant of what the machine works with. */
export function gasOf(making: VoiceMaking): { readonly isentropicExponent: number; readonly gasJPerKgK: number } {
  return making.description.workingFluid === "air" ? { ...air } : { ...steam };
}

// [source: ideal-gas stand-in for steam: exponent 1.3, common practice, and IAPWS R7-97]
const air = {
  isentropicExponent: DRY_AIR_ISENTROPIC_EXPONENT,
  gasJPerKgK: DRY_AIR_GAS_CONSTANT_J_PER_KG_K,
};
const steam = { isentropicExponent: 1.3, gasJPerKgK: 461.5 };

/** Bore of a round opening of an area, m. */
export function roundBoreM(areaM2: number): number {
  return Math.sqrt((4 / Math.PI) * Math.max(0, areaM2));
}
