import type { DirectActing } from "../engine/direct-acting.js";
import type { Machine } from "./machine.js";
import { metalTurns, settledMetalK, workScaleJ } from "./settle-measure.js";
import type { Settled } from "./settle.js";

// Strokes that nothing binds to a clock repeat less closely than turns do. [common practice: one per cent]
const settledRatio = 0.01;
const fewestStrokes = 4;
const mostStrokes = 30;
// Running in takes no more of the machine's own time than this; a pump that has not made a stroke in so long stands.
// [common practice]
const longestS = 60;
const standsAfterS = 6;
// Ticks between looks at the piston: far less than a hundredth of a stroke. [common practice]
const atOnce = 8;

/**
 * Runs a pump without a crank from rest with its first settings until a double stroke takes as long and does as much as the
 * one before, metal included. One that steam cannot move is left standing. The clock is left where it comes to.
 */
export function settlePump(machine: Machine, pump: DirectActing): Settled {
  const { engine, tickS } = machine;
  const { ends } = engine;
  const work = new Float64Array(ends.count);
  const before = new Float64Array(ends.count + 1);
  const mostTicks = Math.ceil(longestS / tickS);
  const standsTicks = Math.ceil(standsAfterS / tickS);
  machine.reset(-mostTicks);
  let [turns, changeRatio, strokeS, goneTicks] = [0, Infinity, Infinity, 0];
  while (turns < mostStrokes && goneTicks < mostTicks) {
    ends.workJ.fill(0);
    engine.ledger.clear();
    for (const metal of engine.metals) metal.clear();
    const untilRad = 2 * Math.PI * (Math.floor(pump.shaftRad / (2 * Math.PI)) + 1);
    let ticks = 0;
    let lastRad = pump.shaftRad;
    let stillTicks = 0;
    while (pump.shaftRad < untilRad && stillTicks < standsTicks && goneTicks + ticks < mostTicks) {
      machine.runSilent(atOnce);
      ticks += atOnce;
      stillTicks = pump.shaftRad === lastRad ? stillTicks + atOnce : 0;
      lastRad = pump.shaftRad;
    }
    goneTicks += ticks;
    if (stillTicks >= standsTicks) return { turns, changeRatio: 0, isSettled: true, strokeS: Infinity };
    if (pump.shaftRad < untilRad) break;
    turns++;
    work.set(ends.workJ);
    let metalK = 0;
    if (!engine.description.idealised && turns <= metalTurns) metalK = engine.settleMetal(ticks * tickS);
    changeRatio = Math.abs((ticks * tickS) / strokeS - 1);
    for (let i = 0; i < ends.count; i++) {
      const scale = workScaleJ(engine, i, work[i]!);
      changeRatio = Math.max(changeRatio, Math.abs(work[i]! - before[i]!) / scale);
      before[i] = work[i]!;
    }
    strokeS = ticks * tickS;
    if (turns >= fewestStrokes && changeRatio < settledRatio && metalK < settledMetalK) break;
  }
  if (turns < 2) changeRatio = Infinity;
  return { turns, changeRatio, isSettled: changeRatio < settledRatio, strokeS };
}
