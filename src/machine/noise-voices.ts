import type { Engine } from "../engine/engine.js";
import { NoiseStream } from "../quantities/random.js";
import { airDensityKgPerM3, airSoundSpeedMPerS } from "./ambient-air.js";
import type { Blast } from "./blast.js";
import { FlowRows, ticksPerNoiseRow } from "./flow-rows.js";
import { InletVoice } from "./inlet-voice.js";
import { leakBoreM } from "./leak-bore.js";
import { noiseStreams } from "./noise-streams.js";
import { PipedNoise } from "./piped-noise.js";
import { RowJet } from "./row-jet.js";
import type { VoiceSettings } from "./voice-settings.js";

/** Flow noise from the exhaust's pipes, leaks, and the inlet: what is noise and not a free jet of the exhaust. */
export class NoiseVoices {
  /** Pressure at the listener for the chunk last filled, Pa; as late as the interpolated flows and `delaySamples` more. */
  readonly noise: Float64Array;
  readonly leaks: Float64Array;
  readonly inlet: Float64Array;

  private readonly table: FlowRows;
  private readonly piped: PipedNoise;
  private readonly airJets: readonly RowJet[];
  private readonly inletVoice: InletVoice;
  private readonly chunkFrames: number;

  constructor(engine: Engine, blast: Blast, ofTicks: VoiceSettings) {
    const { description, flowNoise, record } = engine;
    // To noise a row is what a tick is to the pulse.
    const settings: VoiceSettings = {
      ...ofTicks,
      samplesPerTick: ticksPerNoiseRow * ofTicks.samplesPerTick,
      ticksPerChunk: ofTicks.ticksPerChunk / ticksPerNoiseRow,
    };
    const { ticksPerChunk, samplesPerTick, seed, distanceM } = settings;
    this.chunkFrames = ticksPerChunk * samplesPerTick;
    this.table = new FlowRows(flowNoise, record, ticksPerChunk);
    this.piped = new PipedNoise(engine, this.table, blast, settings);
    this.inletVoice = new InletVoice(engine, this.table, settings);
    const { ringsM2 } = description.leaks;
    const leaksToAir = description.gear.cylinder.acting === "single" && !description.idealised && ringsM2 > 0;
    const gap = {
      boreM: leakBoreM(ringsM2),
      airDensityKgPerM3: airDensityKgPerM3(description.ambient),
      airSoundSpeedMPerS: airSoundSpeedMPerS(description.ambient),
      distanceM,
    };
    this.airJets = Array.from({ length: leaksToAir ? record.airLeakKgPerS.length : 0 }, (_, k) => {
      const stream = new NoiseStream(seed, noiseStreams.airLeak + k, settings.noisePeriod);
      return new RowJet(settings, stream, gap, this.table.airLeakMass + k, this.table.airLeakSpeed + k);
    });
    this.noise = this.piped.noise;
    this.leaks = new Float64Array(this.chunkFrames + this.piped.delaySamples);
    this.inlet = new Float64Array(this.chunkFrames + this.piped.delaySamples);
  }

  /** State only: silence. */
  reset(): void {
    this.piped.reset();
    this.inletVoice.reset();
    for (const jet of this.airJets) jet.reset();
    this.leaks.fill(0);
    this.inlet.fill(0);
    this.settle();
  }

  /** State only: as if the flows had stood as they are for long. */
  settle(): void {
    this.table.settle();
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    this.piped.setNextSampleIndex(index);
    this.inletVoice.setNextSampleIndex(index);
    for (const jet of this.airJets) jet.setNextSampleIndex(index);
  }

  /** Takes the engine's records for row `r` of the chunk, at its first tick. */
  take(r: number): void {
    this.table.take(r);
  }

  /** Makes the chunk of all stems. */
  process(): void {
    const { leaks, inlet, chunkFrames, piped, airJets, table } = this;
    piped.process();
    this.inletVoice.process();
    // What does not go through the simple source waits as long as that takes.
    const lag = piped.delaySamples;
    leaks.copyWithin(0, chunkFrames);
    leaks.fill(0, lag);
    inlet.copyWithin(0, chunkFrames);
    inlet.set(this.inletVoice.pressurePa, lag);
    for (let j = 0; j < airJets.length; j++) {
      airJets[j]!.process(table);
      const one = airJets[j]!.pressurePa;
      for (let i = 0; i < chunkFrames; i++) leaks[lag + i] = leaks[lag + i]! + one[i]!;
    }
    const throughPipes = piped.leaks;
    for (let i = 0; i < chunkFrames; i++) leaks[i] = leaks[i]! + throughPipes[i]!;
    table.advance();
  }
}
