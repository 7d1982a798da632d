import { JetNoise, type JetNoiseSetting } from "../sound/jet-noise.js";
import type { NoiseStream } from "../quantities/random.js";
import { TickRamp } from "../sound/tick-ramp.js";
import type { FlowRows } from "./flow-rows.js";
import type { VoiceSettings } from "./voice-settings.js";

/**
 * A jet whose mass flow and speed stand in two columns of the flow table. A bore outside what `JetNoise` takes, 0.1 mm to 5 m,
 * is held to it: no crack or port that is heard lies beyond.
 */
export class RowJet {
  /** Sound pressure of the chunk last made, Pa. */
  readonly pressurePa: Float64Array;
  private readonly jet: JetNoise;
  private readonly ticksPerChunk: number;
  private readonly mass: Float64Array;
  private readonly speed: Float64Array;
  private readonly massRamp: TickRamp;
  private readonly speedRamp: TickRamp;

  constructor(
    settings: VoiceSettings,
    noise: NoiseStream,
    setting: JetNoiseSetting,
    private readonly massColumn: number,
    private readonly speedColumn: number,
  ) {
    const { sampleRateHz, samplesPerTick, ticksPerChunk } = settings;
    const boreM = Math.min(5, Math.max(1e-4, setting.boreM));
    this.jet = new JetNoise(sampleRateHz, noise, { ...setting, boreM });
    this.ticksPerChunk = ticksPerChunk;
    // Rows are late already.
    this.massRamp = new TickRamp(samplesPerTick, 1);
    this.speedRamp = new TickRamp(samplesPerTick, 1);
    const frames = samplesPerTick * ticksPerChunk;
    this.pressurePa = new Float64Array(frames);
    this.mass = new Float64Array(frames);
    this.speed = new Float64Array(frames);
    this.reset();
  }

  /** State only. */
  reset(): void {
    this.massRamp.reset(0);
    this.speedRamp.reset(0);
    this.jet.reset();
    this.pressurePa.fill(0);
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    this.jet.setNextSampleIndex(index);
  }

  /** Makes the chunk. */
  process(table: FlowRows): void {
    const { ticksPerChunk, mass, speed } = this;
    const { rows, rowLength } = table;
    this.massRamp.processTicks(rows, this.massColumn, rowLength, ticksPerChunk, mass);
    this.speedRamp.processTicks(rows, this.speedColumn, rowLength, ticksPerChunk, speed);
    this.jet.process(mass, speed, this.pressurePa, mass.length);
  }
}
