import { DirectActing } from "../engine/direct-acting.js";
import type { Engine } from "../engine/engine.js";
import { sideControlIndex } from "../engine/engine-controls.js";
import { Running } from "../engine/running.js";
import { TurnedIron } from "../engine/turned-iron.js";
import type { Drive } from "./drive.js";
import type { MachineSettings } from "./machine-settings.js";

/**
 * What turns the shaft of a machine: the drive from outside, the machine itself, or the pistons of a pump without a crank.
 * Once a tick, before the engine's own, `advance` brings the engine's shaft to where the tick will end.
 */
export class Iron {
  /** Null where the shaft is turned from outside. */
  readonly running: Running | null = null;
  readonly pump: DirectActing | null = null;
  /** Before time 0, at which what goes its own way is let go; a pump that is found at work goes on all the same. */
  isHeld = false;
  readonly strokesAlready: boolean;

  private readonly governsCutoff: boolean;
  private readonly turned: TurnedIron | null = null;
  /** One number: where the shaft stands, not folded; after `advance`, where the tick will end. */
  readonly shaftRad = new Float64Array(1);

  /** @throws RangeError for iron that cannot turn */
  constructor(
    private readonly engine: Engine,
    { turnsItself = false, hasVoices = true, strokesAlready = false }: MachineSettings,
  ) {
    const { description, motion, ends, chest, receivers, network, plan, side } = engine;
    const { running, pump } = description;
    this.governsCutoff = running?.governor?.acts === "cutoff";
    this.regulatorShareRatio = this.cutoffShareRatio = 1;
    const parts = { motion, ends, chest, receivers, network, stepS: plan.stepS };
    const { cylinder, valveGear } = description.gear;
    if (valveGear.kind === "tripped" && pump !== undefined && pump !== null) {
      const { pressurePa } = description.ambient;
      this.pump = new DirectActing(pump, cylinder, motion, ends, pressurePa, side, plan.stepS, engine.voiceRecord);
    } else if (running !== undefined && running !== null) {
      if (turnsItself) this.running = new Running(parts, description, running, engine.voiceRecord);
      else if (hasVoices) this.turned = new TurnedIron(parts, description, running, engine.voiceRecord);
    }
    this.strokesAlready = strokesAlready && this.pump !== null;
  }

  /** Road for each angle of a shaft that is turned from outside, m/rad; 0 where nothing runs. */
  get roadMPerRad(): number {
    return this.turned === null ? 0 : this.turned.roadMPerRad;
  }

  /** Whether the shaft goes its own way, whatever the drive says. */
  get turnsItself(): boolean {
    return this.running !== null || this.pump !== null;
  }

  /** Before a tick of this number, those before time 0 negative. */
  begin(tick: number, drive: Drive): void {
    this.isHeld = tick < 0;
    // So that at time 0 it stands within its first turn.
    if (tick === -1 && this.strokesAlready && this.pump !== null) this.pump.forgetTurns();
    this.stand(drive);
  }

  /** Writes where the shaft stands into `shaftRad`. */
  stand(drive: Drive): void {
    const { running, pump, shaftRad } = this;
    if (running !== null) shaftRad[0] = running.shaft.angleRad;
    else if (pump !== null) shaftRad[0] = pump.shaftRad;
    else shaftRad[0] = drive.shaftRad;
  }

  /** State only, after the engine's own reset: at rest. */
  reset(): void {
    this.regulatorShareRatio = this.cutoffShareRatio = 1;
    this.running?.reset(0);
    this.turned?.reset();
    this.pump?.reset();
  }

  /** What a governor leaves of the regulator's setting, and of the cut-off's, 0 to 1. */
  regulatorShareRatio = 1.5;
  cutoffShareRatio = 1.5;

  /** Moves on by a tick and writes the angle at which it ends. */
  advance(drive: Drive): void {
    const { running, turned, engine } = this;
    if (this.isHeld && this.turnsItself && !this.strokesAlready) return;
    if (running !== null) this.run(running);
    else if (this.pump !== null) this.pump.process();
    this.stand(drive);
    if (this.turnsItself) return;
    engine.motion.shaftRad[0] = drive.crankRad;
    if (turned !== null) turned.process(this.shaftRad, engine.motion.shaftRad);
  }

  private run(running: Running): void {
    const { side } = this.engine;
    running.loadRatio = side[sideControlIndex.load]!;
    running.brakeRatio = side[sideControlIndex.brake]!;
    running.barringRadPerS = (Math.PI / 30) * side[sideControlIndex.barring]!;
    if (running.train !== null) {
      running.train.gradientRatio = side[sideControlIndex.gradient]!;
      running.train.grip.setRail(side[sideControlIndex.grip]!);
    }
    running.advance();
    if (running.governor !== null) {
      if (this.governsCutoff) this.cutoffShareRatio = running.governor.openRatio;
      else this.regulatorShareRatio = running.governor.openRatio;
    }
  }
}
