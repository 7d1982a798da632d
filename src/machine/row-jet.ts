import { JetNoise, type JetNoiseSetting } from "../sound/jet-noise.js";
import type { NoiseStream } from "../quantities/random.js";
import type { FlowRows } from "./flow-rows.js";
import type { VoiceSettings } from "./voice-settings.js";

/** A jet whose mass flow and speed stand in two columns of the flow table. */
export class RowJet {
  /** Sound pressure of the chunk last made, Pa. */
  readonly pressurePa: Float64Array;
  private readonly jet: JetNoise;
  private readonly samplesPerTick: number;
  private readonly ticksPerChunk: number;
  private readonly mass: Float64Array;
  private readonly speed: Float64Array;
  private lastMass = 0.5;
  private lastSpeed = 0.5;

  constructor(
    settings: VoiceSettings,
    noise: NoiseStream,
    setting: JetNoiseSetting,
    private readonly massColumn: number,
    private readonly speedColumn: number,
  ) {
    this.jet = new JetNoise(settings.sampleRateHz, noise, setting);
    this.samplesPerTick = settings.samplesPerTick;
    this.ticksPerChunk = settings.ticksPerChunk;
    const frames = this.samplesPerTick * this.ticksPerChunk;
    this.pressurePa = new Float64Array(frames);
    this.mass = new Float64Array(frames);
    this.speed = new Float64Array(frames);
    this.reset();
  }

  /** State only. */
  reset(): void {
    this.lastMass = this.lastSpeed = 0;
    this.jet.reset();
    this.pressurePa.fill(0);
  }

  /** Position of the next chunk's first sample in the noise. */
  setNextSampleIndex(index: number): void {
    this.jet.setNextSampleIndex(index);
  }

  /** Makes the chunk. */
  process(table: FlowRows): void {
    const { samplesPerTick, ticksPerChunk, mass, speed } = this;
    const { rows, rowLength } = table;
    const share = 1 / samplesPerTick;
    let { lastMass, lastSpeed } = this;
    let n = 0;
    for (let t = 0; t < ticksPerChunk; t++) {
      const massStep = share * (rows[t * rowLength + this.massColumn]! - lastMass);
      const speedStep = share * (rows[t * rowLength + this.speedColumn]! - lastSpeed);
      for (let s = 0; s < samplesPerTick; s++) {
        lastMass += massStep;
        lastSpeed += speedStep;
        mass[n] = lastMass;
        speed[n++] = lastSpeed;
      }
    }
    this.lastMass = lastMass;
    this.lastSpeed = lastSpeed;
    this.jet.process(mass, speed, this.pressurePa, n);
  }
}
