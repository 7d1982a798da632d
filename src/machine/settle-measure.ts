import type { Engine } from "../engine/engine.js";

/** Metal comes to rest within a few turns, each guided by the heat of the last. [common practice] */
export const metalTurns = 12;
/** Metal that moves less than this in a turn has settled, K. [common practice] */
export const settledMetalK = 0.2;

// Of the air's pressure on a piston: its work is never judged by less. [common practice]
const leastWorkRatio = 0.02;

/** What the work of an end, by its place, is judged against, J: itself, or the piston's own scale, so that a machine that does no work settles too. */
export function workScaleJ({ description, motion }: Engine, end: number, workJ: number): number {
  return Math.max(Math.abs(workJ), leastWorkRatio * description.ambient.pressurePa * motion.sweptM3[end]!);
}
