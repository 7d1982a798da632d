import type { Engine } from "../engine/engine.js";
import { smokeboxDensityKgPerM3, smokeboxSoundSpeedMPerS } from "../engine/exhaust-network.js";
import type { PulseRecord } from "../engine/pulse-record.js";
import { NoiseStream } from "../quantities/random.js";
import { JetNoise } from "../sound/jet-noise.js";
import { Monopole } from "../sound/monopole.js";
import { TickInterpolator } from "../sound/tick-interpolator.js";
import { airDensityKgPerM3, airSoundSpeedMPerS } from "./ambient-air.js";
import { Blast } from "./blast.js";
import { makeChimneyPath, type ChimneyPath } from "./chimney-path.js";
import { noiseStreams } from "./noise-streams.js";
import type { VoiceSettings } from "./voice-settings.js";

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

  /** Tick by tick, three columns a mouth: volume flow, mass flow, velocity. */
  private readonly rows: Float64Array;
  private readonly interpolators: readonly TickInterpolator[];
  private readonly audio: readonly Float64Array[];
  private readonly totalFlow: Float64Array;
  private readonly record: PulseRecord;
  private readonly chimney: ChimneyPath | null;
  private readonly jetChimney: ChimneyPath | null;
  private readonly jetMonopole: Monopole;
  private readonly monopole: Monopole;
  private readonly jets: readonly JetNoise[];
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
    const columnCount = 3 * mouthCount;
    this.chunkFrames = ticksPerChunk * samplesPerTick;
    this.rows = new Float64Array(columnCount * ticksPerChunk);
    this.interpolators = Array.from({ length: columnCount }, () => new TickInterpolator(samplesPerTick));
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
    this.jetChimney = makeChimneyPath(engine, settings);
    const { smokebox } = description.exhaust;
    // Under a chimney the jet blows into hot gas, whose sound is faster, and is heard through the chimney.
    const around =
      this.jetChimney === null || smokebox === null
        ? air
        : {
            airDensityKgPerM3: smokeboxDensityKgPerM3(description.ambient.pressurePa, smokebox.temperatureK),
            airSoundSpeedMPerS: smokeboxSoundSpeedMPerS(smokebox.temperatureK),
            distanceM: 1,
          };
    this.jets = Array.from({ length: mouthCount }, (_, m) => {
      const stream = new NoiseStream(seed, noiseStreams.jet + m, settings.noisePeriod);
      return new JetNoise(sampleRateHz, stream, { ...around, boreM });
    });
    this.jetMonopole = new Monopole(sampleRateHz, air);
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
    this.chimney?.reset(0);
    this.monopole.reset(0);
    this.jetChimney?.reset(0);
    this.jetMonopole.reset(0);
    for (const jet of this.jets) jet.reset();
    this.jet.fill(0);
  }

  /** State only: as if the flows of the record had stood for long. */
  settle(): void {
    const { record, interpolators } = this;
    let flow = 0;
    let pushPa = 0;
    for (let m = 0; m < record.mouthVolumeM3PerS.length; m++) {
      const volume = record.mouthVolumeM3PerS[m]!;
      flow += volume;
      pushPa += this.blast.steadyPa(Math.max(0, record.mouthMassKgPerS[m]!), Math.max(0, record.mouthJetMPerS[m]!));
      interpolators[3 * m]!.reset(volume);
      interpolators[3 * m + 1]!.reset(record.mouthMassKgPerS[m]);
      interpolators[3 * m + 2]!.reset(record.mouthJetMPerS[m]);
    }
    this.chimney?.reset(flow, pushPa);
    this.monopole.reset(flow);
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    for (const jet of this.jets) jet.setNextSampleIndex(index);
  }

  /** Takes the record of one tick into row `t`; several ticks of one row are averaged, the first clears it. */
  take(t: number, isFirstOfRow: boolean): void {
    const { rows, record } = this;
    const mouthCount = record.mouthVolumeM3PerS.length;
    const share = 1 / this.settings.ticksPerSample;
    let at = 3 * t * mouthCount;
    for (let m = 0; m < mouthCount; m++) {
      const keep = isFirstOfRow ? 0 : 1;
      rows[at] = keep * rows[at]! + share * record.mouthVolumeM3PerS[m]!;
      rows[at + 1] = keep * rows[at + 1]! + share * record.mouthMassKgPerS[m]!;
      rows[at + 2] = keep * rows[at + 2]! + share * record.mouthJetMPerS[m]!;
      at += 3;
    }
  }

  /** Turns the rows taken into `pulse` and `jet`. */
  process(): void {
    const { rows, audio, chunkFrames, totalFlow, jet, jetSample, jetSum } = this;
    const columnCount = this.interpolators.length;
    const { ticksPerChunk } = this.settings;
    for (let c = 0; c < columnCount; c++) {
      this.interpolators[c]!.processTicks(rows, c, columnCount, ticksPerChunk, audio[c]!, 0);
    }
    totalFlow.fill(0);
    jetSum.fill(0);
    if (this.chimney !== null) this.blast.clear();
    for (let m = 0; m < this.jets.length; m++) {
      const flow = audio[3 * m]!;
      for (let i = 0; i < chunkFrames; i++) totalFlow[i] = totalFlow[i]! + flow[i]!;
      if (this.isMute) continue;
      if (this.chimney !== null) this.blast.add(audio[3 * m + 1]!, audio[3 * m + 2]!, chunkFrames);
      this.jets[m]!.process(audio[3 * m + 1]!, audio[3 * m + 2]!, jetSample, chunkFrames);
      for (let i = 0; i < chunkFrames; i++) jetSum[i] = jetSum[i]! + jetSample[i]!;
    }
    if (this.isMute) {
      this.pulse.fill(0);
      return;
    }
    if (this.jetChimney !== null) {
      this.jetChimney.processJet(jetSum, chunkFrames);
      this.jetMonopole.process(jetSum, jet, chunkFrames);
    } else {
      // The hiss is made a few samples ahead of the pulse, which the monopole delays; what is over waits for its time.
      const lag = jet.length - chunkFrames;
      jet.copyWithin(0, chunkFrames);
      jet.set(jetSum, lag);
    }
    if (this.chimney !== null) this.chimney.process(totalFlow, this.blast, chunkFrames);
    this.monopole.process(totalFlow, this.pulse, chunkFrames);
  }
}
