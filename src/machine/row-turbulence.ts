import { FlowNoise } from "../sound/flow-noise.js";
import type { NoiseStream } from "../quantities/random.js";
import type { FlowRows } from "./flow-rows.js";
import type { VoiceSettings } from "./voice-settings.js";

/** Turbulence whose velocity head and rates, of the opening and of the pipe, stand in three columns of the flow table. */
export class RowTurbulence {
  /** Pressure of the source for the chunk last made, Pa. */
  readonly pressurePa: Float64Array;
  private readonly noise: FlowNoise;
  private readonly ticksPerChunk: number;

  constructor(
    settings: VoiceSettings,
    noise: NoiseStream,
    private readonly headColumn: number,
    private readonly openingColumn: number,
    private readonly pipeColumn: number,
  ) {
    const { sampleRateHz, samplesPerTick, ticksPerChunk } = settings;
    this.noise = new FlowNoise(sampleRateHz, samplesPerTick, noise);
    this.ticksPerChunk = ticksPerChunk;
    this.pressurePa = new Float64Array(samplesPerTick * ticksPerChunk);
  }

  /** State only. */
  reset(): void {
    this.noise.reset();
    this.pressurePa.fill(0);
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    this.noise.setNextSampleIndex(index);
  }

  /** Makes the chunk. */
  process({ rows, rowLength }: FlowRows): void {
    const { headColumn, openingColumn, pipeColumn, ticksPerChunk, pressurePa } = this;
    this.noise.process(rows, rowLength, headColumn, openingColumn, pipeColumn, ticksPerChunk, pressurePa);
  }
}
