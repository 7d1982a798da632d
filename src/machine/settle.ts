import type { Machine } from "./machine.js";
import { metalTurns, settledMetalK, workScaleJ } from "./settle-measure.js";
import { settlePump } from "./settle-pump.js";

/** How the running-in of a machine came out. */
export interface Settled {
  /** Part of a turn counts as such. */
  readonly turns: number;
  /** Greatest change of a turn's work or flow against the turn before, as a share; Infinity where no two turns were run. */
  readonly changeRatio: number;
  readonly isSettled: boolean;
  /** Of a pump without a crank: how long its last double stroke took, Infinity where it stands. */
  readonly strokeS?: number;
}

// A turn counts as settled when it repeats the last this well. [common practice: a tenth of a per cent]
const settledRatio = 1e-3;
const fewestTurns = 3;
const mostTurns = 40;
/** No running in takes more of the machine's own time than this, however slowly it turns. [common practice] */
export const longestRunInS = 60;
const stillS = 1;
// Waveguides are run in for this long before the lead, so that they stand as they would in a long run.
const soundingS = 0.3;

/**
 * Runs a machine in with its first settings until one turn repeats the last, metal included, and leaves its clock
 * `leadTicks` before time 0, at which the shaft stands at 0. A shaft that stands still, as one that will turn itself does, is
 * given a second for the gas to come to rest; a pump that is found at work strokes until its strokes repeat.
 */
export function settle(machine: Machine, speedRpm: number, leadTicks: number): Settled {
  const { tickS } = machine;
  const soundingTicks = Math.ceil(soundingS / tickS);
  const wholeLead = soundingTicks + leadTicks;
  const { pump, strokesAlready } = machine.iron;
  if (pump !== null && strokesAlready) {
    const settled = settlePump(machine, pump);
    machine.seek(-wholeLead);
    machine.runUp(soundingTicks);
    return settled;
  }
  if (Math.abs(speedRpm) < 1e-9 || machine.iron.turnsItself) {
    machine.reset(-wholeLead - Math.ceil(stillS / tickS));
    machine.runSilent(Math.ceil(stillS / tickS));
    machine.runUp(soundingTicks);
    return { turns: 0, changeRatio: 0, isSettled: true };
  }
  if (isTooSlow(speedRpm)) {
    // The rest of a turn would be long: it is run in to where the shaft stands at the lead.
    const partly = runIn(machine, speedRpm, -wholeLead * tickS);
    machine.seek(-wholeLead);
    machine.runUp(soundingTicks);
    return partly;
  }
  const settled = runIn(machine, speedRpm);
  seekTurnsBack(machine, speedRpm, wholeLead);
  machine.runUp(-machine.tick - leadTicks);
  return settled;
}

// Whether a shaft takes too long for the fewest turns.
function isTooSlow(speedRpm: number): boolean {
  return (fewestTurns * 60) / Math.abs(speedRpm) > longestRunInS;
}

/** With the shaft at a whole turn: puts the clock to one at least `ticks` before time 0. A turn repeats, so it may be any. */
export function seekTurnsBack(machine: Machine, speedRpm: number, ticks: number): void {
  const { tickS } = machine;
  const turnS = 60 / Math.abs(speedRpm);
  const turnTicks = Math.max(1, Math.round(turnS / tickS));
  const turnsBack = Math.ceil(ticks / turnTicks + 1e-9);
  machine.seek(-Math.round((turnsBack * turnS) / tickS));
}

/**
 * Runs a turning machine from rest until one turn repeats the last, metal included, and stops whole turns before or after
 * where the shaft stands at `endS`: at a whole turn, if that is null. A shaft too slow for three turns gets as many as time allows.
 */
export function runIn(machine: Machine, speedRpm: number, endS: number | null = null): Settled {
  const { engine, tickS } = machine;
  const turnS = 60 / Math.abs(speedRpm);
  const turnTicks = Math.max(1, Math.round(turnS / tickS));
  const most = Math.min(mostTurns, Math.floor(longestRunInS / turnS));
  const oddS = isTooSlow(speedRpm) ? longestRunInS - most * turnS : 0;
  const endCount = engine.ends.count;
  const work = new Float64Array(endCount);
  const before = new Float64Array(endCount + 1);
  let turns = 0;
  let changeRatio = Infinity;
  // Whole turns are seldom whole ticks; each turn ends at the tick nearest to it, so the odd part never adds up.
  const tickAfter = (turnCount: number) => -Math.round(((most - turnCount) * turnS - (endS ?? -turnS)) / tickS);
  const oddTicks = Math.round(oddS / tickS);
  machine.reset(tickAfter(0) - oddTicks);
  if (oddTicks > 0) {
    machine.runSilent(oddTicks);
    // Metal is settled by whole turns alone.
    for (const metal of engine.metals) metal.clear();
  }
  while (turns < most) {
    engine.ends.workJ.fill(0);
    engine.ledger.clear();
    machine.runSilent(tickAfter(turns + 1) - tickAfter(turns));
    turns++;
    work.set(engine.ends.workJ);
    let metalK = 0;
    if (!engine.description.idealised && turns <= metalTurns) metalK = engine.settleMetal(turnTicks * tickS);
    changeRatio = 0;
    for (let i = 0; i <= endCount; i++) {
      const now = i < endCount ? work[i]! : engine.ledger.massOutKg;
      const scale = i < endCount ? workScaleJ(engine, i, now) : Math.max(Math.abs(now), 1e-4 * engine.storedMassKg());
      changeRatio = Math.max(changeRatio, Math.abs(now - before[i]!) / scale);
      before[i] = now;
    }
    if (turns >= fewestTurns && changeRatio < settledRatio && metalK < settledMetalK) break;
  }
  if (turns < 2) changeRatio = Infinity;
  return { turns: turns + oddS / turnS, changeRatio, isSettled: changeRatio < settledRatio };
}
