import { Engine } from "../../src/engine/engine.js";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import type { RunningDescription } from "../../src/engine/running-description.js";
import { Running } from "../../src/engine/running.js";
import { VoiceRecord } from "../../src/engine/voice-record.js";

/** Iron of a 12 mm model: a flywheel of 60 g at 22 mm, a piston of 8 g. */
export const modelIron: RunningDescription = {
  reciprocatingKg: 0.008,
  inertiaKgM2: 3e-5,
  frictionPa: 15_000,
  slackM: 5e-5,
  brakeTorqueNm: 0.1,
  load: { law: "constant", torqueNm: 0.02, atRpm: 600 },
  train: null,
  governor: null,
  gearing: null,
};

/** An engine that turns itself. */
export class SelfTurning {
  readonly engine: Engine;
  readonly running: Running;
  readonly voice: VoiceRecord;
  readonly stepS: number;

  constructor(
    description: EngineDescription,
    iron: RunningDescription,
    shaftRad: number,
    cutoffRatio: number | null = null,
  ) {
    const engine = new Engine(description, 48_000, 4);
    engine.setRegulator(1);
    if (cutoffRatio !== null) engine.setCutoff(cutoffRatio);
    engine.reset(shaftRad);
    const { motion, ends, chest, receivers, network, plan } = engine;
    this.voice = new VoiceRecord(ends.count, description.gear.crankAnglesRad.length);
    this.engine = engine;
    this.stepS = plan.stepS;
    const parts = { motion, ends, chest, receivers, network, stepS: plan.stepS };
    this.running = new Running(parts, description, iron, this.voice);
  }

  tick(): void {
    this.running.advance();
    this.engine.process();
  }

  run(seconds: number, note: () => void = () => undefined): void {
    for (let i = 0; i < seconds / this.stepS; i++) {
      this.tick();
      note();
    }
  }

  /** Mean speed over as many whole turns as fill the seconds, and their work: of the gas less what the iron keeps, and taken off. */
  account(seconds: number): { rpm: number; gasJ: number; takenJ: number } {
    const { engine, running, voice, stepS } = this;
    const { shaft } = running;
    const { workJ } = engine.ends;
    const startRad = shaft.angleRad;
    const energyBefore = shaft.energyJ;
    const turnOf = () => Math.floor(Math.abs(shaft.angleRad - startRad) / (2 * Math.PI));
    workJ.fill(0);
    let takenJ = 0;
    let ticks = 0;
    let isWhole = false;
    while (ticks < seconds / stepS || (!isWhole && ticks < (5 * seconds) / stepS)) {
      const turn = turnOf();
      this.tick();
      isWhole = turnOf() !== turn;
      const speed = shaft.speedRadPerS;
      takenJ += (voice.loadTorqueNm + running.frictionNm * Math.sign(speed)) * speed * stepS;
      ticks++;
    }
    const gasJ = workJ.reduce((sum, each) => sum + each, 0) - (shaft.energyJ - energyBefore);
    const rpm = ((shaft.angleRad - startRad) / (ticks * stepS)) * (30 / Math.PI);
    return { rpm, gasJ, takenJ };
  }
}
