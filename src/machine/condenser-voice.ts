import { cbrt } from "../quantities/portable-maths.js";
import { NoiseStream } from "../quantities/random.js";
import { JetNoise } from "../sound/jet-noise.js";
import { Patter } from "../sound/patter.js";
import { noiseStreams } from "./noise-streams.js";
import { positive, RowVoice } from "./row-voice.js";
import { SmallIron } from "./small-iron.js";
import { StrokeEvents } from "./stroke-events.js";
import type { VoiceMaking } from "./voice.js";

// Shares of a stroke's work against the atmosphere that are heard: of the gulp of air and water, and of the valves' fall.
// [tuned: a pump of 0.4 m some 65 dB at 7.5 m at its loudest, from memory, 2026-11-25]
const gulpEfficiency = 1e-8;
const valveEfficiency = 3e-9;
// Gulp of a pump of 0.1 m a side: bubbles through the foot valve; larger pumps are deeper. [common practice]
const gulpHz = 620;
const valveHz = 1500;
const referenceM = 0.1;
const bubblesPerS = 350;
// Rubber or bronze discs in water ring little. [common practice]
const quality = 9;
// [source: IEC 60534-8-3:2010, worked examples: 33 to 39 dB from the power inside a steel pipe to that outside; 37 dB]
const wallRatio = 0.0141;
// Steam that enters: of a condenser at some 60 degrees. [common practice]
const steamJPerKg = 461.5 * 333;
const soundMPerS = 440;
const usualBoreM = 0.1;

const gulp = 0;
const hissKg = 1;
const exposure = 2;
const pitch = 3;
const hissSpeed = 4;

/** Condenser: its air pump sucks and clicks, stroke by stroke with the shaft, and steam hisses in through the wall. */
export class CondenserVoice extends RowVoice {
  private readonly bubbles: Patter;
  private readonly hiss: JetNoise;
  private readonly iron: SmallIron;
  private readonly strokes: StrokeEvents;
  private readonly hissPa: Float64Array;
  private readonly perEnergy: number;
  private readonly strokeJ: number;
  private readonly sideM: number;
  private readonly strokesPerTurn: number;
  private readonly pipeM2: number;
  private readonly steamKgPerM3: number;
  private hissedUpTo = 0.5;

  constructor(private readonly making: VoiceMaking) {
    super("condenser", making, 5, 2);
    const { sampleRateHz, samplesPerRow, seed, noisePeriod, distanceM, description } = making;
    const { airDensityKgPerM3, airSoundSpeedMPerS } = making;
    const stream = (k: number) => new NoiseStream(seed, noiseStreams.condenser + k, noisePeriod);
    const pump = description.fittings?.airPump ?? { strokesPerTurn: 0, boreM: 0, strokeM: 0 };
    this.strokesPerTurn = pump.strokesPerTurn;
    const sweptM3 = 0.25 * Math.PI * pump.boreM * pump.boreM * pump.strokeM;
    this.sideM = Math.max(1e-3, cbrt(sweptM3));
    const { exhaust, ambient } = description;
    const condenserPa = exhaust.condenser?.pressurePa ?? ambient.pressurePa;
    this.strokeJ = sweptM3 * Math.max(0, ambient.pressurePa - condenserPa);
    this.bubbles = new Patter(sampleRateHz, stream(0), stream(1), { spreadRatio: 2, quality: 4, sizePower: 1 });
    const boreM = Math.min(5, Math.max(1e-3, exhaust.blastPipe?.boreM ?? exhaust.passage?.boreM ?? usualBoreM));
    this.hiss = new JetNoise(sampleRateHz, stream(2), { distanceM, airDensityKgPerM3, airSoundSpeedMPerS, boreM });
    this.pipeM2 = exhaust.condenser === null ? 0 : 0.25 * Math.PI * boreM * boreM;
    this.steamKgPerM3 = condenserPa / steamJPerKg;
    this.iron = new SmallIron(sampleRateHz, quality);
    this.strokes = new StrokeEvents(pump.strokesPerTurn, samplesPerRow);
    this.perEnergy = (airDensityKgPerM3 * airSoundSpeedMPerS) / (4 * Math.PI * distanceM * distanceM);
    this.hissPa = new Float64Array(this.chunkFrames);
    this.silence();
  }

  protected override read(at: number): void {
    const { rows, strokes, strokeJ, sideM, strokesPerTurn, perEnergy } = this;
    const { record } = this.making;
    const strokesPerS = (Math.abs(record.shaftRadPerS) * strokesPerTurn) / (2 * Math.PI);
    const isPumping = strokeJ > 0 && strokesPerS > 0 && strokesPerS < 1e3;
    // Sucks on the way out: half a swing, as a parabola, whose square has the mean of 4/15 over the stroke.
    const stroke = (record.shaftRad * strokesPerTurn) / (2 * Math.PI);
    const part = stroke - Math.floor(stroke);
    const swing = isPumping && part < 0.5 ? 8 * part * (1 - 2 * part) : 0;
    rows[at + gulp] = bubblesPerS * swing * swing;
    // Energy of a stroke over its bubbles: the faster, the fewer and the stronger.
    rows[at + exposure] = isPumping ? (perEnergy * gulpEfficiency * strokeJ * strokesPerS * 3.75) / bubblesPerS : 0;
    rows[at + pitch] = Math.max(40, (gulpHz * referenceM) / sideM);
    const steam = this.pipeM2 > 0 ? positive(record.exhaustKgPerS) : 0;
    rows[at + hissKg] = steam;
    rows[at + hissSpeed] = steam > 0 ? Math.min(soundMPerS, steam / (this.steamKgPerM3 * this.pipeM2)) : 0;
    const before = at === 0 ? 0 : strokes.count;
    strokes.shaftRad = record.shaftRad;
    strokes.take(at / 5);
    if (!isPumping) return;
    for (let k = before; k < strokes.count; k++) {
      const hz = Math.min(6000, Math.max(120, (valveHz * referenceM) / sideM));
      this.iron.strike(strokes.offsets[k]!, perEnergy * valveEfficiency * strokeJ, hz);
    }
  }

  protected override make(): void {
    const { bubbles, hiss, iron, audio, pressurePa, hissPa, chunkFrames } = this;
    if (this.isSeeking) bubbles.setNextSampleIndex(this.sampleIndex);
    bubbles.process(audio[gulp]!, audio[exposure]!, audio[pitch]!, pressurePa, chunkFrames);
    if (this.columnDrives(hissKg)) {
      this.standAtOnce(hissSpeed);
      if (this.isSeeking || this.hissedUpTo !== this.sampleIndex) hiss.setNextSampleIndex(this.sampleIndex);
      this.hissedUpTo = this.sampleIndex + chunkFrames;
      hiss.process(audio[hissKg]!, audio[hissSpeed]!, hissPa, chunkFrames);
      for (let i = 0; i < chunkFrames; i++) pressurePa[i] = pressurePa[i]! + wallRatio * hissPa[i]!;
    }
    iron.add(pressurePa, chunkFrames);
  }

  protected override silence(): void {
    this.bubbles.reset();
    this.hiss.reset();
    this.hissedUpTo = NaN;
    this.iron.reset();
    this.strokes.reset();
  }

  protected override isRinging(): boolean {
    return this.iron.isSounding || this.bubbles.isSounding;
  }
}
