import type { Engine } from "../engine/engine.js";
import { smokeboxDensityKgPerM3, smokeboxSoundSpeedMPerS } from "../engine/exhaust-network.js";
import type { PulseRecord } from "../engine/pulse-record.js";
import { NoiseStream } from "../quantities/random.js";
import { JetExpansion } from "../sound/jet-expansion.js";
import { JetNoise } from "../sound/jet-noise.js";
import { Monopole } from "../sound/monopole.js";
import { ShockNoise } from "../sound/shock-noise.js";
import { TickInterpolator } from "../sound/tick-interpolator.js";
import { TickRamp } from "../sound/tick-ramp.js";
import { airDensityKgPerM3, airSoundSpeedMPerS } from "./ambient-air.js";
import { Blast } from "./blast.js";
import { makeChimneyPath, type ChimneyPath } from "./chimney-path.js";
import { noiseStreams } from "./noise-streams.js";
import type { VoiceSettings } from "./voice-settings.js";

const columnsEach = 4;
// Share of the sound power of a jet under a chimney that leaves by it. Free, half of it would go up; the chimney around the
// jet, the gas going along with it and the water in it take some 15 dB. [tuned: slope, decay and depth of a recorded
// locomotive's beats, 2026-11-25; ejectors and wet jets take 5 to 15 dB each off a free one, from memory]
const jetUpRatio = 0.0125;

/** The exhaust as it is heard: every mouth's flow carried to the audio rate, through the chimney where there is one. */
export class ExhaustVoices {
  /** Pressure at the listener for the chunk last filled, Pa: the flow's own pulse, and the jets' hiss. */
  readonly pulse: Float64Array;
  readonly jet: Float64Array;
  /** The push of the jets on a chimney's gas over the same chunk. */
  readonly blast: Blast;
  /** Samples by which the interpolated flows lag the fluid. */
  readonly flowDelaySamples: number;
  /** Samples by which `pulse` and `jet` lag the fluid. */
  readonly delaySamples: number;

  /** Tick by tick, four columns a mouth: volume flow, mass flow, speed and Mach number of the jet. */
  private readonly rows: Float64Array;
  private readonly interpolators: readonly TickInterpolator[];
  // What only sets the level and colour of noise is led straight from tick to tick.
  private readonly ramps: readonly TickRamp[];
  private readonly audio: readonly Float64Array[];
  private readonly totalFlow: Float64Array;
  private readonly record: PulseRecord;
  private readonly chimney: ChimneyPath | null;
  private readonly jetGain: number;
  private readonly monopole: Monopole;
  private readonly jets: readonly JetNoise[];
  private readonly shocks: readonly ShockNoise[];
  private readonly expansion: JetExpansion;
  // Of every mouth's jet at the last tick.
  private readonly jetMPerS: Float64Array;
  private readonly machNumber: Float64Array;
  private readonly jetSample: Float64Array;
  private readonly jetSum: Float64Array;
  private readonly chunkFrames: number;
  private readonly isMute: boolean;

  constructor(
    engine: Engine,
    private readonly settings: VoiceSettings,
  ) {
    const { sampleRateHz, samplesPerTick, ticksPerChunk, distanceM, seed } = settings;
    const { description, record } = engine;
    const boreM = engine.network.mouthBoreM;
    this.record = record;
    const mouthCount = record.mouthVolumeM3PerS.length;
    const columnCount = columnsEach * mouthCount;
    this.chunkFrames = ticksPerChunk * samplesPerTick;
    this.rows = new Float64Array(columnCount * ticksPerChunk);
    this.interpolators = Array.from({ length: mouthCount }, () => new TickInterpolator(samplesPerTick));
    this.ramps = Array.from({ length: 3 * mouthCount }, () => new TickRamp(samplesPerTick));
    this.audio = Array.from({ length: columnCount }, () => new Float64Array(this.chunkFrames));
    this.totalFlow = new Float64Array(this.chunkFrames);
    const air = {
      airDensityKgPerM3: airDensityKgPerM3(description.ambient),
      airSoundSpeedMPerS: airSoundSpeedMPerS(description.ambient),
      distanceM,
    };
    this.monopole = new Monopole(sampleRateHz, air);
    this.chimney = makeChimneyPath(engine, settings);
    this.blast = new Blast(sampleRateHz, description.exhaust.chimney?.boreM ?? boreM, boreM, this.chunkFrames);
    const { smokebox } = description.exhaust;
    // Under a chimney the jet blows into hot gas, whose sound is faster, and what leaves spreads in air.
    const hot =
      this.chimney === null || smokebox === null
        ? null
        : {
            airDensityKgPerM3: smokeboxDensityKgPerM3(description.ambient.pressurePa, smokebox.temperatureK),
            airSoundSpeedMPerS: smokeboxSoundSpeedMPerS(smokebox.temperatureK),
            distanceM,
          };
    const around = hot ?? air;
    this.jetGain =
      hot === null
        ? 1
        : Math.sqrt(
            (jetUpRatio * air.airDensityKgPerM3 * air.airSoundSpeedMPerS) /
              (hot.airDensityKgPerM3 * hot.airSoundSpeedMPerS),
          );
    this.jets = Array.from({ length: mouthCount }, (_, m) => {
      const stream = new NoiseStream(seed, noiseStreams.jet + m, settings.noisePeriod);
      return new JetNoise(sampleRateHz, stream, { ...around, boreM });
    });
    this.shocks = Array.from({ length: mouthCount }, (_, m) => {
      const stream = new NoiseStream(seed, noiseStreams.shock + m, settings.noisePeriod);
      return new ShockNoise(sampleRateHz, stream, { ...around, boreM });
    });
    this.expansion = new JetExpansion(engine.network.isentropicExponent, engine.network.outsidePa);
    this.jetMPerS = new Float64Array(mouthCount);
    this.machNumber = new Float64Array(mouthCount);
    const lag = this.monopole.delaySamples;
    this.jetSample = new Float64Array(this.chunkFrames);
    this.jet = new Float64Array(this.chunkFrames + lag);
    this.jetSum = new Float64Array(this.chunkFrames);
    this.pulse = new Float64Array(this.chunkFrames);
    // A tick's flows stand at its middle, half a tick after the sample it begins at.
    this.flowDelaySamples = this.interpolators[0]!.delaySamples - Math.floor(samplesPerTick / 2);
    this.delaySamples = this.flowDelaySamples + lag;
    this.isMute = description.exhaust.condenser !== null;
  }

  /** State only: silence, at the beginning of the noise. */
  reset(): void {
    for (const interpolator of this.interpolators) interpolator.reset(0);
    for (const ramp of this.ramps) ramp.reset(0);
    this.chimney?.reset(0);
    this.monopole.reset(0);
    for (const jet of this.jets) jet.reset();
    for (const shock of this.shocks) shock.reset();
    this.jet.fill(0);
  }

  /** State only: as if the flows of the record had stood for long. */
  settle(): void {
    const { record, interpolators, ramps } = this;
    this.expand();
    let flow = 0;
    let pushPa = 0;
    for (let m = 0; m < record.mouthVolumeM3PerS.length; m++) {
      const volume = record.mouthVolumeM3PerS[m]!;
      flow += volume;
      pushPa += this.blast.steadyPa(Math.max(0, record.mouthMassKgPerS[m]!), this.jetMPerS[m]!);
      interpolators[m]!.reset(volume);
      ramps[3 * m]!.reset(record.mouthMassKgPerS[m]);
      ramps[3 * m + 1]!.reset(this.jetMPerS[m]);
      ramps[3 * m + 2]!.reset(this.machNumber[m]);
    }
    this.chimney?.reset(flow, pushPa);
    this.monopole.reset(flow);
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    for (const jet of this.jets) jet.setNextSampleIndex(index);
    for (const shock of this.shocks) shock.setNextSampleIndex(index);
  }

  /** Takes the record of one tick into row `t`; several ticks of one row are averaged, the first clears it. */
  take(t: number, isFirstOfRow: boolean): void {
    const { rows, record, jetMPerS, machNumber } = this;
    this.expand();
    const mouthCount = record.mouthVolumeM3PerS.length;
    const share = 1 / this.settings.ticksPerSample;
    let at = columnsEach * t * mouthCount;
    for (let m = 0; m < mouthCount; m++) {
      const keep = isFirstOfRow ? 0 : 1;
      rows[at] = keep * rows[at]! + share * record.mouthVolumeM3PerS[m]!;
      rows[at + 1] = keep * rows[at + 1]! + share * record.mouthMassKgPerS[m]!;
      rows[at + 2] = keep * rows[at + 2]! + share * jetMPerS[m]!;
      rows[at + 3] = keep * rows[at + 3]! + share * machNumber[m]!;
      at += columnsEach;
    }
  }

  /** Turns the rows taken into `pulse` and `jet`. */
  process(): void {
    const { rows, audio, chunkFrames, totalFlow, jet, jetSample, jetSum } = this;
    const mouthCount = this.interpolators.length;
    const columnCount = columnsEach * mouthCount;
    const { ticksPerChunk } = this.settings;
    for (let m = 0; m < mouthCount; m++) {
      const first = columnsEach * m;
      this.interpolators[m]!.processTicks(rows, first, columnCount, ticksPerChunk, audio[first]!, 0);
      for (let k = 1; k < columnsEach; k++) {
        this.ramps[3 * m + k - 1]!.processTicks(rows, first + k, columnCount, ticksPerChunk, audio[first + k]!);
      }
    }
    totalFlow.fill(0);
    jetSum.fill(0);
    if (this.chimney !== null) this.blast.clear();
    for (let m = 0; m < this.jets.length; m++) {
      const flow = audio[columnsEach * m]!;
      for (let i = 0; i < chunkFrames; i++) totalFlow[i] = totalFlow[i]! + flow[i]!;
      if (this.isMute) continue;
      if (this.chimney !== null) this.blast.add(audio[columnsEach * m + 1]!, audio[columnsEach * m + 2]!, chunkFrames);
      this.jets[m]!.process(audio[columnsEach * m + 1]!, audio[columnsEach * m + 2]!, jetSample, chunkFrames);
      for (let i = 0; i < chunkFrames; i++) jetSum[i] = jetSum[i]! + jetSample[i]!;
      this.shocks[m]!.process(audio[columnsEach * m + 2]!, audio[columnsEach * m + 3]!, jetSample, chunkFrames);
      for (let i = 0; i < chunkFrames; i++) jetSum[i] = jetSum[i]! + jetSample[i]!;
    }
    if (this.isMute) {
      this.pulse.fill(0);
      return;
    }
    // The hiss is made a few samples ahead of the pulse, which the monopole delays; what is over waits for its time.
    const lag = jet.length - chunkFrames;
    const { jetGain } = this;
    jet.copyWithin(0, chunkFrames);
    for (let i = 0; i < chunkFrames; i++) jet[lag + i] = jetGain * jetSum[i]!;
    if (this.chimney !== null) this.chimney.process(totalFlow, this.blast, chunkFrames);
    this.monopole.process(totalFlow, this.pulse, chunkFrames);
  }

  // What the jets come to once they have expanded to the pressure outside.
  private expand(): void {
    const { record, jetMPerS, machNumber } = this;
    const { mouthJetPa, mouthDensityKgPerM3, mouthVelocityMPerS } = record;
    this.expansion.process(
      mouthJetPa,
      mouthDensityKgPerM3,
      mouthVelocityMPerS,
      jetMPerS,
      machNumber,
      mouthVelocityMPerS.length,
    );
  }
}
