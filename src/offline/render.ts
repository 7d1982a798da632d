import { LoopDrive } from "../machine/loop-drive.js";
import { Machine } from "../machine/machine.js";
import { plumeUntil } from "../machine/plume.js";
import { settleLoop, type LoopSettled } from "../machine/settle-loop.js";
import { settle, type Settled } from "../machine/settle.js";
import type { TurnMeter } from "../machine/turn-meter.js";
import { airSoundSpeedMPerS } from "../machine/ambient-air.js";
import { Balance, requireFiniteGas } from "./balance.js";
import { beatsPerTurnOf } from "./beats-per-turn.js";
import { ruledFullScalePa } from "./full-scale.js";
import { makeHearing } from "./hearing.js";
import { planLoop, type LoopPlan } from "./loop-plan.js";
import { LoopSeam, loopWarnings } from "./loop-seam.js";
import type { BeatRow, RenderedBlock, RenderRequest, RenderSummary } from "./render-request.js";
import { plantWarnings } from "./plant-warnings.js";
import { driveOf, planRun, type RunPlan } from "./run-plan.js";
import { steadyDescription } from "./steady-pump.js";
import { StemMix } from "./stem-mix.js";
import { troubleWarnings, unsettledWarnings } from "./trouble-warnings.js";

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** Longest stretch that a render hands out. [common practice] */
export const blockFrames = 4096;
// How far the machine is run on at a time once the file is full.
const spareFrames = 64;
const ownDistanceM = 7.5; // [common practice: pass-by measuring distance]
// Filters and what rings hear this much before the first sample, so that files start settled. [common practice: iron rings for some seconds; a loop has to forget how it began]
const leadS = 3;
const loopLeadS = 10;
// A loop's beats that fall nearer than this to its seam are at it. [common practice: far below a sample]
const seamS = 1e-9;

/**
 * A machine or a run rendered block by block in constant memory: stems and mix in units of full scale, high-passed at
 * 8 Hz, with sample 0 the moment when the shaft stands at 0 (plus the sound's travel if the listener's delay is asked for).
 *
 * @example
 * const render = new OfflineRender(request);
 * for (let block = render.next(); block !== null; block = render.next()) write(block.mix, block.frameCount);
 * render.summary().powerW;
 */
export class OfflineRender {
  /** Those of the machine, and the background where the run's listener has one. */
  readonly stemNames: readonly string[];
  readonly totalFrames: number;
  readonly fullScalePa: number;
  readonly pulseNames: readonly string[];
  /** Called with one row an audio sample while set; set it before the first `next`. The row is reused. */
  onPulse: ((rowIndex: number, row: Float64Array) => void) | null = null;

  /** What leaves the mouths at so many rows a second, row by row; call before the first `next`. */
  tapPlume(rateHz: number, onRow: (row: Float64Array) => void): readonly string[] {
    this.machine.plume = plumeUntil(this.machine.engine, rateHz, this.plan.seconds, onRow);
    return this.machine.plume.record.columnNames;
  }

  private readonly plan: RunPlan;
  private readonly loop: LoopPlan | null;
  private readonly loopSettled: LoopSettled | null = null;
  private readonly seam: LoopSeam | null = null;
  private readonly machine: Machine;
  private readonly settled: Settled;
  private readonly sound: StemMix;
  private readonly block: Mutable<RenderedBlock>;
  private readonly beatRows: BeatRow[] = [];
  private readonly pulseRow: Float64Array;
  private readonly spare: Float64Array[];
  private readonly firstSample: number;
  private balance: Balance | null = null;
  private beatsRead = 0;
  // Where a pump that is found at work stands at the first sample.
  private firstRad = 0;
  private firstBoilerPa = 0;
  private frame = 0;
  private nextPulse = 0;
  private isStarted = false;

  /**
   * @param passCount how often a loop is gone through, each pass made anew: for judging the seam
   * @throws RangeError in words for values that cannot be rendered
   */
  constructor(
    private readonly request: RenderRequest,
    passCount = 1,
  ) {
    const { machine: file, run, rateHz } = request;
    this.loop = request.loop ? planLoop(request) : null;
    this.plan = this.loop ?? planRun(request);
    this.totalFrames = (this.loop?.frameCount ?? Math.round(this.plan.seconds * rateHz)) * passCount;
    this.fullScalePa =
      request.fullScalePa ?? run?.fullScalePa ?? file.fullScalePa ?? ruledFullScalePa(file.description);
    const listener = run?.listener ?? null;
    const distanceM = listener?.distanceM ?? ownDistanceM;
    this.machine = new Machine(
      run === null ? steadyDescription(file.description) : file.description,
      {
        sampleRateHz: rateHz,
        fidelity: request.fidelity,
        seed: request.seed ?? run?.seed ?? 1,
        distanceM,
        backgroundDb: request.backgroundDb ?? listener?.backgroundDbA ?? null,
        turnsItself: this.plan.turnsItself,
        strokesAlready: run === null,
        boilerLives: run?.boilerLives ?? false,
        startsCold: run?.start === "cold",
      },
      driveOf(this.plan),
    );
    const travelFrames =
      listener?.delay === true ? Math.round((distanceM / airSoundSpeedMPerS(file.description.ambient)) * rateHz) : 0;
    const hearing = makeHearing(this.machine, listener, this.plan, blockFrames);
    // Unless its delay is asked for, sound is heard as it leaves: of a machine that passes, at its nearest.
    const underWay = hearing === null ? 0 : listener?.delay === true ? 0 : hearing.nearestFrames;
    this.firstSample = this.machine.delaySamples + underWay - (hearing === null ? travelFrames : 0);
    const aheadS = (travelFrames + (hearing?.travelFrames ?? 0)) / rateHz;
    const leadTicks = Math.ceil((aheadS + (this.loop === null ? leadS : loopLeadS)) / this.machine.tickS);
    if (this.loop === null) this.settled = settle(this.machine, this.plan.speedRpm.valueAt(0), leadTicks);
    else {
      const { timing, loopRpm } = this.loop;
      const { regulatorRatio, cutoffRatio } = driveOf(this.plan);
      this.machine.setDrive(new LoopDrive(timing, this.machine.tickS, regulatorRatio, cutoffRatio));
      this.settled = this.loopSettled = settleLoop(this.machine, timing, loopRpm, leadTicks);
      this.seam = new LoopSeam(this.totalFrames / passCount / Math.abs(timing.turns), rateHz);
    }
    this.stemNames = this.machine.stemNames;
    this.spare = this.stemNames.map(() => new Float64Array(spareFrames));
    this.sound = new StemMix(this.machine, this.fullScalePa, blockFrames, hearing);
    const { channels, stems } = this.sound;
    this.block = { frameCount: 0, mix: channels[0]!, channels, stems };
    const ends = this.machine.engine.motion.ends;
    this.pulseNames = [
      "timeS",
      "shaftDeg",
      "nozzleFlowKgPerS",
      "nozzleVolumeFlowM3PerS",
      "nozzlePressurePa",
      ...ends.flatMap(({ cylinder, end }) => {
        const name = `c${cylinder}${end === "head" ? "Head" : "Crank"}`;
        return [`${name}PressurePa`, `${name}ExhaustKgPerS`];
      }),
    ];
    this.pulseRow = new Float64Array(this.pulseNames.length);
  }

  /** Of the sound: 1, 2 or 4. */
  get channelCount(): number {
    return this.sound.channels.length;
  }

  /** Whether a stem, by its place among `stemNames`, has given anything but silence so far. */
  wasHeard(stem: number): boolean {
    return this.sound.wasHeard(stem);
  }

  /** The next stretch, or null at the end. Arrays are reused. */
  next(): RenderedBlock | null {
    if (!this.isStarted) this.start();
    if (this.frame >= this.totalFrames) {
      this.closeLoop();
      return null;
    }
    const frames = Math.min(blockFrames, this.totalFrames - this.frame);
    this.sound.make(frames);
    if (this.seam !== null) this.seam.take(this.block.mix, frames);
    this.frame += frames;
    if (this.frame >= this.totalFrames) this.runToEnd();
    requireFiniteGas(this.machine.engine, `${(this.frame / this.request.rateHz).toFixed(3)} s into the render`);
    this.collectBeats();
    if (this.onPulse !== null) this.passPulses();
    this.block.frameCount = frames;
    return this.block;
  }

  /** Releases so far, in order of time, none where nothing exhausts to the air. */
  beats(): readonly BeatRow[] {
    return this.beatRows;
  }

  /** What the model knows of the render so far. */
  summary(): RenderSummary {
    const { machine, plan } = this;
    const { engine } = machine;
    const elapsedS = this.frame / this.request.rateHz;
    const turns = this.turnsAt(elapsedS);
    const { seconds, workJ, massOutKg, turns: wholeTurns } = this.totals();
    const { least, greatest } = plan.speedRpm.range();
    // A shaft that never turns does no work; of one that has not gone round there is no telling.
    const stands = plan.turnsItself ? turns === 0 : least === 0 && greatest === 0;
    const isTelling = wholeTurns > 0 || stands;
    const perTurn = (joule: number, i: number) => joule / (Math.max(wholeTurns, 1) * engine.motion.sweptM3[i]!);
    const description = this.request.machine.description;
    return {
      turns: Math.abs(turns),
      speedRpm: elapsedS > 0 ? (60 * turns) / elapsedS : plan.speedRpm.valueAt(0),
      meanFlowKgPerS: seconds > 0 ? massOutKg / seconds : 0,
      meanEffectivePressurePa: isTelling ? Array.from(workJ, perTurn) : null,
      powerW: !isTelling ? null : seconds > 0 ? workJ.reduce((sum, joule) => sum + joule, 0) / seconds : 0,
      beatsPerTurn: beatsPerTurnOf(description, plan.cutoff.valueAt(elapsedS)),
      ...(this.request.run?.boilerLives === true
        ? { boilerPressurePa: [this.firstBoilerPa, engine.voiceRecord.boilerPa] as const }
        : {}),
      warnings: [
        ...this.request.machine.warnings,
        ...(this.request.run?.warnings ?? []),
        ...plan.notes,
        ...engine.notes,
        ...plantWarnings(engine),
        ...(this.loopSettled !== null && this.seam !== null ? loopWarnings(this.loopSettled, this.seam) : []),
        ...(this.loopSettled === null ? unsettledWarnings(this.settled) : []),
        ...(this.balance?.warnings() ?? []),
        ...troubleWarnings(engine),
      ],
      assumed: this.request.machine.assumed,
    };
  }

  // Signed. A machine that turns itself has gone on by what its sound lags, which is not counted apart.
  private turnsAt(timeS: number): number {
    const { loop, plan, machine } = this;
    if (plan.turnsItself) return (machine.engine.record.shaftRad - this.firstRad) / (2 * Math.PI);
    return loop === null ? plan.speedRpm.integralAt(timeS) / 60 : (loop.timing.turns * this.frame) / loop.frameCount;
  }

  // Of a loop, those of one pass; else of the whole turns so far, or of less than one.
  private totals(): Pick<TurnMeter, "seconds" | "turns" | "workJ" | "massOutKg"> {
    const { loop, loopSettled } = this;
    if (loop === null || loopSettled === null) return this.machine.meter;
    const { workJ, massOutKg } = loopSettled;
    return { seconds: loop.seconds, turns: Math.abs(loop.timing.turns), workJ, massOutKg };
  }

  // Runs the filters in and brings the machine's clock to the first sample of the file.
  private start(): void {
    this.isStarted = true;
    if (this.onPulse !== null) this.machine.tapPulses();
    while (this.machine.nextSample < this.firstSample) {
      this.sound.make(Math.min(blockFrames, this.firstSample - this.machine.nextSample));
    }
    this.balance = new Balance(this.machine.engine);
    this.firstBoilerPa = this.machine.engine.voiceRecord.boilerPa;
    if (this.machine.iron.strokesAlready) this.firstRad = this.machine.engine.record.shaftRad;
  }

  // Runs on past the end of a loop, to hear whether it goes on as it began.
  private closeLoop(): void {
    const { seam } = this;
    while (seam !== null && seam.framesLeft > 0) {
      const frames = Math.min(blockFrames, seam.framesLeft);
      this.sound.make(frames);
      seam.hear(this.block.mix, frames);
    }
  }

  // With the listener's delay the last releases are not yet heard when the file ends; they belong to it all the same.
  private runToEnd(): void {
    const { machine, plan, spare } = this;
    while (machine.tick * machine.tickS < plan.seconds) machine.process(spare, spareFrames);
  }

  private collectBeats(): void {
    const { beats, engine, description } = this.machine;
    if (description.exhaust.condenser !== null) return;
    for (; this.beatsRead < beats.count; this.beatsRead++) {
      // A release just at a loop's seam is the first of the loop, on whichever side its last digit falls.
      const slackS = this.loop === null ? 0 : seamS;
      const timeS = beats.timeS(this.beatsRead);
      if (timeS < -slackS || timeS >= this.plan.seconds - slackS) continue;
      const isAtSeam = timeS < slackS;
      const { cylinder, end } = engine.motion.ends[beats.endOf(this.beatsRead)]!;
      const shaftDeg = isAtSeam ? 0 : (180 / Math.PI) * beats.shaftRadOf(this.beatsRead);
      this.beatRows.push({ timeS: isAtSeam ? 0 : timeS, shaftDeg, cylinder, end });
    }
  }

  // Rows stand at the moment of the fluid; with the listener's delay the sound comes later, and the last rows are made
  // by running the machine on.
  private passPulses(): void {
    const tap = this.machine.pulses;
    if (tap === null || this.onPulse === null) return;
    const { machine, pulseRow, request, plan, spare } = this;
    const isLast = this.frame >= this.totalFrames;
    const lag = machine.pulseDelaySamples;
    while (this.nextPulse < this.totalFrames) {
      const sample = this.nextPulse + lag;
      if (sample >= machine.filledSamples) {
        if (!isLast) return;
        machine.process(spare, spareFrames);
        continue;
      }
      const at = tap.placeOf(sample);
      const timeS = this.nextPulse / request.rateHz;
      pulseRow[0] = timeS;
      const shaftRad = tap.columns[tap.shaftColumn]![at]!;
      pulseRow[1] = plan.turnsItself ? (180 / Math.PI) * shaftRad : 6 * plan.speedRpm.integralAt(timeS);
      for (let c = 0; c < tap.shaftColumn; c++) pulseRow[c + 2] = tap.columns[c]![at]!;
      this.onPulse(this.nextPulse++, pulseRow);
    }
  }
}
