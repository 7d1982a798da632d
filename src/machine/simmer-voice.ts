import { STANDARD_ATMOSPHERE_PA } from "../quantities/constants.js";
import { cbrt } from "../quantities/portable-maths.js";
import { NoiseStream } from "../quantities/random.js";
import { bubbleHz } from "../sound/bubble-pitch.js";
import { NoiseColour } from "../sound/noise-colour.js";
import { Patter } from "../sound/patter.js";
import { noiseStreams } from "./noise-streams.js";
import { positive, RowVoice } from "./row-voice.js";
import type { VoiceMaking } from "./voice.js";

// Of the heat, exp(-subcooling / this) goes into bubbles that collapse in the colder water. The work of a collapse is heat x
// subcooling / boiling point (Clausius and Clapeyron), so that work is greatest just this far from boiling; through the
// shell the singing is loudest somewhat later, for it drops in pitch.
// [source: a recorded kettle: level flat from some 45 to 20 K short of boiling, falling from there on, physics.stackexchange.com 375243, 2017]
const loudestK = 45;
// Colder than this no bubble leaves the plate; from there the singing sets in towards `loudestK`. [common practice: a kettle is heard
// from some 40 degC on]
const coldestK = 70;
// Share of that work that is heard outside, and of the work of lifting water that boiling bubbles do. [tuned: a kettle of 2 kW
// sings at some 62 dB 1 m off and boils 6 to 8 dB more softly, from memory, 2026-11-25]
const collapseEfficiency = 4e-6;
const boilEfficiency = 5e-6;
// A boiler's lagging and thick plate pass so much less than a bare kettle, full at and above this volume. [common practice: 10 dB]
const laggingRatio = 0.1;
const laggedM3 = 0.05;
// Radius of bubbles as they leave the plate, near boiling at 1 atm, smaller the farther from it; and of those that have run
// together on their way up and break the surface. [common practice]
const singingM = 0.0016;
const boilingM = 0.012;
// Those on the plate shrink with pressure as its root. [common practice]
// [source: IAPWS-IF97: saturated water at 1 atm 958, steam 0.598 kg/m3; steam's exponent 1.3]
const waterKgPerM3 = 958;
const steamKgPerM3AtOneAtm = 0.598;
const exponent = 1.3;
// Evaporation heat over heat, J/kg, for the count of bubbles. [source: IAPWS-IF97, 2.26 MJ/kg at 1 atm]
const evaporationJPerKg = 2.26e6;
const gravityMPerS2 = 9.81; // [common practice]
// Corner of the shell for a litre of water; it falls as the sixth root of the volume. [common practice: thicker plate passes less treble]
const shellHz = 900;
const litreM3 = 1e-3;

const singRate = 0;
const boilRate = 1;
const singExposure = 2;
const singPitch = 3;
const boilExposure = 4;
const boilPitch = 5;

/**
 * Boiler: the singing of bubbles that collapse in water still short of boiling, which swells, drops in pitch and gives way to
 * the softer, deeper sound of bubbles that break through the surface once it boils.
 */
export class SimmerVoice extends RowVoice {
  private readonly singing: Patter;
  private readonly boiling: Patter;
  private readonly shell: NoiseColour;
  private readonly partPa: Float64Array;
  private readonly perPower: number;
  private readonly depthM: number;

  constructor(private readonly making: VoiceMaking) {
    super("simmer", making, 6, 2);
    const { sampleRateHz, seed, noisePeriod, distanceM, airDensityKgPerM3, airSoundSpeedMPerS, description } = making;
    const stream = (k: number) => new NoiseStream(seed, noiseStreams.simmer + k, noisePeriod);
    const collapse = { spreadRatio: 1.9, quality: 6, sizePower: 1 } as const;
    this.singing = new Patter(sampleRateHz, stream(0), stream(1), collapse);
    const rising = { spreadRatio: 3, quality: 8, sizePower: 1 } as const;
    this.boiling = new Patter(sampleRateHz, stream(2), stream(3), rising);
    const volumeM3 = description.plant?.volumeM3 ?? litreM3;
    this.depthM = cbrt(volumeM3) * Math.max(0.05, description.plant?.waterRatio ?? 0);
    this.shell = new NoiseColour(sampleRateHz, [{ zeroRatio: Infinity, poleRatio: 1 }]);
    this.shell.baseHz = shellHz / Math.sqrt(cbrt(volumeM3 / litreM3));
    this.shell.follow();
    const lagging = Math.max(laggingRatio, Math.min(1, 1 - (1 - laggingRatio) * (volumeM3 / laggedM3)));
    this.perPower = (lagging * airDensityKgPerM3 * airSoundSpeedMPerS) / (4 * Math.PI * distanceM * distanceM);
    this.partPa = new Float64Array(this.chunkFrames);
    this.silence();
  }

  protected override read(at: number): void {
    const { rows, perPower } = this;
    const { record } = this.making;
    if (!(record.heatW > 0 || record.steamRaisedKgPerS > 0)) {
      rows.fill(0, at, at + 6);
      return;
    }
    const boilerPa = Math.max(1000, positive(record.boilerPa));
    const denser = boilerPa / STANDARD_ATMOSPHERE_PA;
    const smaller = 1 / Math.sqrt(denser);
    const steamKgPerM3 = steamKgPerM3AtOneAtm * denser;
    const shortK = positive(record.subcoolingK);
    // e^-x as (1 - x/64)^64, within 1 % of e^-1: a function would hand its number over on the heap.
    let share = Math.max(0, 1 - shortK / (64 * loudestK));
    for (let k = 0; k < 6; k++) share *= share;
    const onset = shortK > loudestK ? Math.max(0, coldestK - shortK) / (coldestK - loudestK) : 1;
    const heatW = shortK > 0 ? positive(record.heatW) * share * onset : 0;
    const boilingK = positive(record.boilerK) + shortK;
    const workW = boilingK > 0 ? (heatW * shortK) / boilingK : 0;
    const radiusM = (singingM * smaller) / (1 + shortK / loudestK);
    const sings = heatW / (evaporationJPerKg * steamKgPerM3 * sphereM3(radiusM));
    rows[at + singRate] = workW > 0 ? sings : 0;
    rows[at + singExposure] = sings > 0 ? (perPower * collapseEfficiency * workW) / sings : 0;
    rows[at + singPitch] = bubbleHz(radiusM, boilerPa, exponent, waterKgPerM3);
    const raised = positive(record.steamRaisedKgPerS);
    const volumeM3PerS = raised / steamKgPerM3;
    const boils = volumeM3PerS / sphereM3(boilingM);
    const liftW = waterKgPerM3 * gravityMPerS2 * this.depthM * volumeM3PerS;
    rows[at + boilRate] = boils;
    rows[at + boilExposure] = boils > 0 ? (perPower * boilEfficiency * liftW) / boils : 0;
    rows[at + boilPitch] = bubbleHz(boilingM, boilerPa, exponent, waterKgPerM3);
  }

  override isStill(): boolean {
    const { record } = this.making;
    return !(record.heatW > 0 || record.steamRaisedKgPerS > 0);
  }

  protected override make(): void {
    const { singing, boiling, shell, audio, pressurePa, partPa, chunkFrames, sampleIndex } = this;
    if (this.isSeeking) singing.setNextSampleIndex(sampleIndex);
    if (this.isSeeking) boiling.setNextSampleIndex(sampleIndex);
    singing.process(audio[singRate]!, audio[singExposure]!, audio[singPitch]!, pressurePa, chunkFrames);
    boiling.process(audio[boilRate]!, audio[boilExposure]!, audio[boilPitch]!, partPa, chunkFrames);
    for (let i = 0; i < chunkFrames; i++) pressurePa[i] = pressurePa[i]! + partPa[i]!;
    shell.process(pressurePa, 0, chunkFrames);
  }

  protected override silence(): void {
    this.singing.reset();
    this.boiling.reset();
    this.shell.reset();
  }

  protected override isRinging(): boolean {
    return this.singing.isSounding || this.boiling.isSounding;
  }
}

function sphereM3(radiusM: number): number {
  return (4 / 3) * Math.PI * radiusM * radiusM * radiusM;
}
