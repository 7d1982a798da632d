import { Engine } from "../engine/engine.js";
import type { EngineDescription } from "../engine/engine-description.js";
import { NoisePeriod, NoiseStream } from "../quantities/random.js";
import { Background } from "../sound/background.js";
import type { BeatLog } from "./beat-log.js";
import type { Drive } from "./drive.js";
import { Iron } from "./iron.js";
import { ExhaustVoices } from "./exhaust-voices.js";
import { MovedControls } from "./moved-controls.js";
import { noiseStreams } from "./noise-streams.js";
import { ticksPerNoiseRow } from "./flow-rows.js";
import type { MachineSettings } from "./machine-settings.js";
import { NoiseVoices } from "./noise-voices.js";
import { type PlumeTap, takePlume } from "./plume.js";
import { PulseTap } from "./pulse-tap.js";
import { ReleaseLog } from "./release-log.js";
import type { TickPlan } from "../engine/tick-plan.js";
import { TurnMeter } from "./turn-meter.js";
import { VoiceStems } from "./voice-stems.js";
import { voiceMaking } from "./voices.js";

/** The stems of the steam's way through every machine, in the order in which `process` fills them; voices and background come after them. */
export const stemNames = ["exhaust-pulse", "exhaust-noise", "exhaust-jet", "inlet", "leaks"] as const;

const aboutSamplesPerChunk = 128;

/**
 * Engine and sound together: owns the sample clock, carries each tick of the fluid engine to the audio rate, and gives one
 * stem for each kind of sound, in pascals at the listener. All stems carry the same delay, `delaySamples`.
 *
 * @example
 * const machine = new Machine(description, { sampleRateHz: 48_000, fidelity: 4, seed: 1, distanceM: 7.5 }, drive);
 * const stems = machine.stemNames.map(() => new Float64Array(512));
 * machine.process(stems, 512);
 */
export class Machine {
  readonly engine: Engine;
  /** `stemNames`, those of the voices that this machine has, and "background" where one is asked for. */
  readonly stemNames: readonly string[];
  /** One place a stem: 0 where the last `process` gave nothing but zeros. */
  readonly heard: Uint8Array;
  readonly sampleRateHz: number;
  /** Seconds between ticks. */
  readonly tickS: number;
  /** Samples by which every stem lags the fluid. */
  readonly delaySamples: number;
  /** The same of the pulse tap. */
  readonly pulseDelaySamples: number;
  readonly meter: TurnMeter;
  readonly iron: Iron;
  /** Null until asked for: pressures and flows at one interpolator a column; what leaves the mouths, and who takes it. */
  pulses: PulseTap | null = null;
  plume: PlumeTap | null = null;

  private readonly plan: TickPlan;
  private readonly ticksPerChunk: number;
  private readonly chunkFrames: number;
  private readonly noisePeriod = new NoisePeriod();
  private loopTicks = 0;
  private readonly releases: ReleaseLog;
  private readonly voices: ExhaustVoices;
  private readonly noises: NoiseVoices;
  private readonly voiceStems: VoiceStems;
  private readonly background: Background | null = null;
  private readonly backgroundPa: Float64Array | null = null;
  // The chunk last made, in the order of `stemNames`.
  private readonly chunkStems: readonly Float64Array[];
  private readonly clockS = new Float64Array(1);
  private readonly controls: MovedControls;
  private cutoffRatio = NaN;
  private readonly boilerLives: boolean;
  private nextTick = 0;
  private chunkRead = 0;
  private chunkFilled = 0;
  private isSounding = true;

  /** @throws RangeError for a description that cannot turn, or settings out of range */
  constructor(
    readonly description: EngineDescription,
    settings: MachineSettings,
    private drive: Drive,
  ) {
    const sampleRateHz = (this.sampleRateHz = settings.sampleRateHz);
    this.engine = new Engine(description, sampleRateHz, settings.fidelity);
    const plan = (this.plan = this.engine.plan);
    this.tickS = plan.stepS;
    this.boilerLives = settings.boilerLives ?? false;
    this.engine.startsCold = settings.startsCold ?? false;
    this.iron = new Iron(this.engine, settings);
    this.controls = new MovedControls(plan.stepS);
    this.ticksPerChunk =
      ticksPerNoiseRow * Math.max(1, Math.ceil(aboutSamplesPerChunk / (ticksPerNoiseRow * plan.samplesPerTick)));
    this.chunkFrames = this.ticksPerChunk * plan.samplesPerTick;
    const voiceSettings = {
      sampleRateHz,
      samplesPerTick: plan.samplesPerTick,
      ticksPerChunk: this.ticksPerChunk,
      ticksPerSample: plan.ticksPerSample,
      seed: settings.seed,
      noisePeriod: this.noisePeriod,
      distanceM: settings.distanceM,
    };
    this.voices = new ExhaustVoices(this.engine, voiceSettings);
    this.noises = new NoiseVoices(this.engine, this.voices.blast, voiceSettings);
    const [{ pulse, jet }, { noise, inlet, leaks }] = [this.voices, this.noises];
    this.pulseDelaySamples = this.voices.flowDelaySamples;
    this.delaySamples = this.voices.delaySamples;
    const making = voiceMaking(this.engine, voiceSettings);
    // A voice reaches its row's level when the row ends; a tick's flows stand at its middle.
    const lag = this.delaySamples - making.samplesPerRow + Math.floor(plan.samplesPerTick / 2);
    this.voiceStems = new VoiceStems(making, settings.hasVoices ?? true, Math.max(0, lag));
    const beside = this.voiceStems.stems;
    const chunks = [pulse, noise, jet, inlet, leaks].map((stem) => stem.subarray(0, this.chunkFrames));
    this.chunkStems = [...chunks, ...beside.map((stem) => stem.pressurePa)];
    this.stemNames = [...stemNames, ...beside.map((stem) => stem.name)];
    if (settings.backgroundDb !== undefined && settings.backgroundDb !== null) {
      const stream = new NoiseStream(settings.seed, noiseStreams.background, this.noisePeriod);
      this.background = new Background(sampleRateHz, stream, settings.backgroundDb);
      this.backgroundPa = new Float64Array(this.chunkFrames);
      this.chunkStems = [...this.chunkStems, this.backgroundPa];
      this.stemNames = [...this.stemNames, "background"];
    }
    this.heard = new Uint8Array(this.stemNames.length);
    this.releases = new ReleaseLog(this.engine, this.iron.shaftRad, plan.stepS);
    this.meter = new TurnMeter(this.engine.ends.count);
    this.reset(0);
  }

  /** Switches on the pulse tap; call before `reset` or `seek`. */
  tapPulses(): PulseTap {
    this.pulses = new PulseTap(this.engine.record, this.plan.samplesPerTick, this.ticksPerChunk);
    return this.pulses;
  }

  /** State only: everything at rest at the moment of a tick (0 is time 0; negative is before). */
  reset(tick: number): void {
    this.voices.reset();
    this.noises.reset();
    this.voiceStems.reset();
    this.background?.reset();
    this.seek(tick);
    this.controls.snap(this.drive);
    this.setControls();
    this.engine.reset(this.drive.shaftRad);
    this.iron.reset();
    this.noises.settle();
    this.voiceStems.settle();
  }

  /** Moves the clock without touching the gas: the shaft goes on from where the drive has it then. */
  seek(tick: number): void {
    this.nextTick = tick;
    this.chunkRead = this.chunkFilled = 0;
    this.clockS[0] = tick * this.plan.stepS;
    this.drive.advance(this.clockS);
    const sample = (this.filledSamples = Math.floor((tick * this.plan.samplesPerTick) / this.plan.ticksPerSample));
    this.pulses?.reset();
    this.voices.setNextSampleIndex(sample);
    this.noises.setNextSampleIndex(sample);
    this.voiceStems.setNextSampleIndex(sample);
    this.background?.setNextSampleIndex(sample);
    this.releases.clear();
    this.meter.reset();
  }

  /** Hands the shaft and the controls to another drive. */
  setDrive(drive: Drive): void {
    this.drive = drive;
    this.clockS[0] = this.nextTick * this.plan.stepS;
    drive.advance(this.clockS);
  }

  /**
   * Settings only: everything repeats after `loopTicks` ticks, counted from tick 0, if the drive does: noise, and exchanges
   * that are held for several ticks. A whole number of samples; 0 for never.
   */
  setLoop(loopTicks: number): void {
    this.loopTicks = loopTicks;
    this.noisePeriod.samples = (loopTicks * this.plan.samplesPerTick) / this.plan.ticksPerSample;
  }

  /** Releases since the clock was last moved. */
  get beats(): BeatLog {
    return this.releases.beats;
  }

  /** The tick that comes next. */
  get tick(): number {
    return this.nextTick;
  }

  /** Index of the sample after the last one made; sample n carries the fluid of sample n - `delaySamples`. */
  filledSamples = 0;

  /** Index of the sample that `process` gives next. */
  get nextSample(): number {
    return this.filledSamples - (this.chunkFilled - this.chunkRead);
  }

  /** One tick of gas and iron without sound: for running in. */
  runSilent(tickCount: number): void {
    this.isSounding = false;
    for (let i = 0; i < tickCount; i++) this.runTick();
    this.isSounding = true;
    this.voices.settle();
    this.noises.settle();
    this.voiceStems.settle();
    this.seek(this.nextTick);
  }

  /** Runs at least `tickCount` ticks with sound, thrown away, and ends just before the chunk that holds the tick after. */
  runUp(tickCount: number): void {
    const perChunk = this.ticksPerChunk * this.plan.ticksPerSample;
    const odd = tickCount % perChunk;
    if (odd > 0) this.runSilent(odd);
    for (let t = odd; t < tickCount; t += perChunk) this.fillChunk();
    this.chunkRead = this.chunkFilled = 0;
    this.releases.clear();
  }

  /** Fills one array a stem, in pascals, as many stems as there are arrays. Any block length gives the same samples. */
  process(stems: readonly Float64Array[], frameCount: number): void {
    const { chunkStems, heard } = this;
    const stemCount = stems.length < chunkStems.length ? stems.length : chunkStems.length;
    let done = 0;
    heard.fill(0);
    while (done < frameCount) {
      if (this.chunkRead === this.chunkFilled) this.fillChunk();
      const from = this.chunkRead;
      const run = Math.min(frameCount - done, this.chunkFilled - from);
      for (let s = 0; s < stemCount; s++) {
        const made = chunkStems[s]!;
        const out = stems[s]!;
        if (this.voiceStems.isSilent(s - stemNames.length)) {
          out.fill(0, done, done + run);
          continue;
        }
        heard[s] = 1;
        if (run === this.chunkFrames) out.set(made, done);
        else for (let i = 0; i < run; i++) out[done + i] = made[from + i]!;
      }
      done += run;
      this.chunkRead = from + run;
    }
  }

  private fillChunk(): void {
    const { voices, noises, voiceStems, pulses, ticksPerChunk } = this;
    const { ticksPerSample } = this.plan;
    for (let t = 0; t < ticksPerChunk; t++) {
      for (let s = 0; s < ticksPerSample; s++) {
        this.runTick();
        voices.take(t, s === 0);
      }
      if (t % ticksPerNoiseRow === 0) {
        noises.take(t / ticksPerNoiseRow);
        voiceStems.take(t / ticksPerNoiseRow);
      }
      if (pulses !== null) pulses.pushTick(t);
    }
    if (pulses !== null) pulses.fill(this.filledSamples);
    this.filledSamples += this.chunkFrames;
    voices.process();
    noises.process();
    voiceStems.process();
    if (this.background !== null) this.background.process(this.backgroundPa!, this.chunkFrames);
    this.chunkRead = 0;
    this.chunkFilled = this.chunkFrames;
  }

  private setControls(): void {
    const { controls, engine, iron } = this;
    engine.regulatorRatio[0] = controls.regulatorRatio * iron.regulatorShareRatio;
    const cutoffRatio = controls.cutoffRatio * iron.cutoffShareRatio;
    if (cutoffRatio !== this.cutoffRatio) {
      engine.motion.cutoffRatio[0] = this.cutoffRatio = cutoffRatio;
      engine.motion.takeCutoff();
    }
    controls.handSideTo(engine.side);
  }

  private runTick(): void {
    const { engine, drive, controls, iron, releases } = this;
    iron.begin(this.nextTick, drive);
    releases.begin();
    if (this.loopTicks > 0 && this.nextTick % this.loopTicks === 0) engine.restartSlowExchanges();
    this.nextTick++;
    this.clockS[0] = this.nextTick * this.plan.stepS;
    drive.advance(this.clockS);
    controls.advance(drive);
    this.setControls();
    if (engine.plant !== null) engine.plant.isHeld = iron.isHeld || !this.boilerLives;
    iron.advance(drive);
    engine.process();
    if (!this.isSounding) return;
    if (this.plume !== null && this.nextTick > 0) takePlume(this.plume);
    this.meter.follow(engine, this.clockS);
    releases.end(this.nextTick);
  }
}
