import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";

setFlagsFromString("--expose-gc");
const collectGarbage = runInNewContext("gc") as () => void;

/** Rounds before the measured ones: a unit of many parts is compiled whole after six or seven, on a busy machine later. */
const WARM_UP_ROUNDS = 12;

/** Below this nothing is looked for further. */
const smallBytes = 0.25;

/**
 * Bytes that `work` leaves on the heap per call, least of several rounds. A round in which the collector ran on its own does
 * not count; where it ran in every round, the work allocates beyond measure.
 */
export function allocatedBytesPerCall(work: () => void, calls: number): number {
  let least = Infinity;
  // What allocates by its nature does so every time; what was compiled late does not.
  for (let attempt = 0; attempt < 3 && !(least < smallBytes); attempt++) least = Math.min(least, measured(work, calls));
  return least;
}

function measured(work: () => void, calls: number): number {
  for (let i = 0; i < WARM_UP_ROUNDS * calls; i++) work();
  let least = Infinity;
  for (let round = 0; round < 6; round++) {
    collectGarbage();
    const before = process.memoryUsage().heapUsed;
    for (let i = 0; i < calls; i++) work();
    const grown = process.memoryUsage().heapUsed - before;
    if (grown >= 0) least = Math.min(least, grown / calls);
  }
  return least;
}
