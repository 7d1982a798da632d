import type { Engine } from "../engine/engine.js";
import type { LoopTiming } from "./loop-drive.js";
import type { Machine } from "./machine.js";
import { runIn, seekTurnsBack, type Settled } from "./settle.js";

/** How a loop's running in came out, and what one pass of it comes to. */
export interface LoopSettled extends Settled {
  /** Heat gained by all metal over a pass beyond what keeps its temperature, as a mean flow, W. */
  readonly metalGainW: number;
  /** Mean of a pass, W. */
  readonly powerW: number;
  /** Of one pass, per end, J. */
  readonly workJ: Float64Array;
  /** Of one pass, kg. */
  readonly massOutKg: number;
}

/** A loop's gas stands as it stood one pass before within this. [common practice: -140 dB, below 24 bit] */
export const loopSettledRatio = 1e-7;
// What is aimed at, since noise may start from flows that nearly stand still. [tuned: every stem's second pass within -120 dB, 2026-11-25]
const aimedRatio = 1e-9;
// Metal is solved stretch by stretch, each of whole turns, until it moves less than this.
// [tuned: mean pressures of the shipped machines within 1e-5, 2026-11-25]
const metalStretchS = 1;
const metalStretches = 12;
const fewestStretches = 3;
// Counts of turns are not run beyond this, however slowly they are made. [common practice]
const longestTurnsS = 60;
const settledMetalK = 0.01;
// Gas that has come within a thousandth is let run this long before passes are compared.
// [tuned: the shipped machines then repeat within 1e-9 at the first comparison, 2026-11-25]
const easeS = 9;
const easeTurns = 8;
// Passes, and seconds of the machine's own time, after which it is told that they still differ. [common practice]
const passesAtMost = 6;
const longestPassesS = 120;
// Every filter that noise goes through has forgotten how it began. [tuned: second pass within -120 dB of the peak, 2026-11-25]
const soundingS = 6;
const soundingTurns = 2;

/**
 * Runs a machine in for a loop, which its drive must already turn it through, and leaves its clock `leadTicks` before
 * time 0, at which the loop begins. Metal is brought to the temperature at which it gains as much as it gives, and held.
 *
 * @param speedRpm that of the loop, signed
 */
export function settleLoop(machine: Machine, timing: LoopTiming, speedRpm: number, leadTicks: number): LoopSettled {
  const { engine, tickS } = machine;
  const turnS = 60 / Math.abs(speedRpm);
  machine.setLoop(timing.ticks);
  engine.isMetalHeld = false;
  let { turns } = runIn(machine, speedRpm);
  turns += solveMetal(machine, turnS);
  engine.isMetalHeld = true;
  const ticksOf = (seconds: number, turnCount: number) =>
    Math.ceil(Math.max(seconds, Math.min(turnCount * turnS, longestTurnsS)) / tickS);
  const soundingTicks = ticksOf(soundingS, soundingTurns);
  const easeTicks = ticksOf(easeS, easeTurns);
  const startTick = -(soundingTicks + leadTicks);
  seekTurnsBack(machine, speedRpm, easeTicks - startTick);
  const eased = startTick - machine.tick;
  machine.runSilent(eased);
  turns += (eased * tickS) / turnS;
  const gas = new GasMemory(engine);
  const mostPasses = Math.max(passesAtMost, Math.floor(longestPassesS / (timing.ticks * tickS)));
  let changeRatio = Infinity;
  for (let pass = 0; pass < mostPasses && !(changeRatio < aimedRatio); pass++) {
    for (const metal of engine.metals) metal.clear();
    engine.ends.workJ.fill(0);
    engine.ledger.clear();
    machine.runSilent(timing.ticks);
    turns += Math.abs(timing.turns);
    changeRatio = gas.read();
  }
  const loopS = timing.ticks * tickS;
  let metalGainW = 0;
  for (const metal of engine.metals) metalGainW += metal.gainJ(loopS) / loopS;
  const workJ = engine.ends.workJ.slice();
  const { massOutKg } = engine.ledger;
  machine.seek(startTick);
  machine.runUp(soundingTicks);
  return {
    turns: Math.round(turns),
    changeRatio,
    isSettled: changeRatio < loopSettledRatio,
    metalGainW,
    powerW: workJ.reduce((sum, joule) => sum + joule, 0) / loopS,
    workJ,
    massOutKg,
  };
}

// From a whole turn to a whole turn; the turns it took. Each cylinder's metal is moved to where its last stretch would have
// balanced, but never past a temperature already seen to be too high or too low: between wet and dry gains can jump.
function solveMetal(machine: Machine, turnS: number): number {
  const { engine, tickS } = machine;
  if (engine.description.idealised) return 0;
  const turnsEach = Math.max(1, Math.round(metalStretchS / turnS));
  const firstTick = machine.tick;
  // A machine that turns in minutes gets few stretches: its metal was brought near by the running in.
  const most = Math.max(fewestStretches, Math.min(metalStretches, Math.floor(longestTurnsS / (turnsEach * turnS))));
  const tooLowK = engine.metals.map(() => -Infinity);
  const tooHighK = engine.metals.map(() => Infinity);
  let stretches = 0;
  let movedK = Infinity;
  while (stretches < most && movedK > settledMetalK) {
    stretches++;
    for (const metal of engine.metals) metal.clear();
    const from = machine.tick;
    machine.runSilent(firstTick + Math.round((stretches * turnsEach * turnS) / tickS) - from);
    movedK = 0;
    engine.metals.forEach((metal, k) => {
      const beforeK = metal.temperatureK;
      if (metal.settle((machine.tick - from) * tickS) > 0) tooLowK[k] = beforeK;
      else tooHighK[k] = beforeK;
      const isWithin = metal.temperatureK > tooLowK[k]! && metal.temperatureK < tooHighK[k]!;
      if (!isWithin && tooLowK[k]! < tooHighK[k]!) metal.temperatureK = 0.5 * (tooLowK[k]! + tooHighK[k]!);
      movedK = Math.max(movedK, Math.abs(metal.temperatureK - beforeK));
    });
  }
  return stretches * turnsEach;
}

/** Everything the gas remembers from tick to tick, and the scale on which each figure is judged. */
class GasMemory {
  private readonly values: Float64Array;
  private readonly scales: Float64Array;
  private readonly before: Float64Array;
  private at = 0;

  constructor(private readonly engine: Engine) {
    const cells = engine.network.pipes.reduce((sum, pipe) => sum + pipe.state.length + pipe.cellCount, 0);
    this.values = new Float64Array(3 * engine.ends.count + 6 + cells);
    this.scales = new Float64Array(this.values.length);
    this.before = new Float64Array(this.values.length);
    this.read();
  }

  /** Reads the gas as it is; the greatest change against the reading before, as a share. */
  read(): number {
    const { ends, chest, network } = this.engine;
    const { values, scales, before } = this;
    before.set(values);
    this.at = 0;
    for (let i = 0; i < ends.count; i++) {
      this.put(ends.massKg[i]!, ends.massKg[i]!);
      this.put(ends.energyJ[i]!, ends.energyJ[i]!);
      this.put(ends.airKg[i]!, ends.massKg[i]!);
    }
    this.put(chest.massKg, chest.massKg);
    this.put(chest.energyJ, chest.energyJ);
    this.put(chest.airKg, chest.massKg);
    this.put(network.massKg, network.massKg);
    this.put(network.latentJ, network.energyJ());
    this.put(network.airKg, network.massKg);
    for (const { state, cellCount, air } of network.pipes) {
      for (let i = 0; i < cellCount; i++) this.put(air.densityKgPerM3[i]!, state[3 * i]!);
      for (let i = 0; i < 3 * cellCount; i += 3) {
        const density = state[i]!;
        const energy = state[i + 2]!;
        this.put(density, density);
        // Momentum is judged against that of gas at about the speed of sound, for it may be nothing.
        this.put(state[i + 1]!, Math.sqrt(density * Math.abs(energy)));
        this.put(energy, energy);
      }
    }
    let greatest = 0;
    for (let i = 0; i < values.length; i++) {
      greatest = Math.max(greatest, Math.abs(values[i]! - before[i]!) / scales[i]!);
    }
    return greatest;
  }

  private put(value: number, scale: number): void {
    this.values[this.at] = value;
    this.scales[this.at++] = Math.max(Math.abs(scale), Number.MIN_VALUE);
  }
}
