import { LEAST_AIR_RATIO } from "../steam/steam-air.js";
import type { PipeCells } from "./finite-volume-pipe.js";

/**
 * The air in a steam machine's pipe, cell by cell. It goes with the mass that crosses the faces, to first order like the
 * temperature, so that a plug drawn in at the mouth goes out again first. A pipe without air costs nothing.
 */
export class PipeAir {
  /** Share of air in the first cell and in the last, 0 to 1. */
  leftRatio = 0.5;
  rightRatio = 0.5;
  /** Air through the left end into the pipe and through the right end out of it, given by whatever closes them. */
  leftKgPerS = 0.5;
  rightKgPerS = 0.5;
  /** Mass of air to volume, cell by cell. */
  readonly densityKgPerM3: Float64Array;

  private readonly ratio: Float64Array;
  /** Whether there is none in the pipe. */
  isAbsent = true;

  constructor(private readonly cells: PipeCells) {
    this.densityKgPerM3 = new Float64Array(cells.cellCount);
    this.ratio = new Float64Array(cells.cellCount);
    this.reset(0);
  }

  /** State only: the same share in every cell, once the cells have their densities. */
  reset(airRatio: number): void {
    const { state } = this.cells;
    this.ratio.fill(airRatio);
    for (let i = 0; i < this.ratio.length; i++) this.densityKgPerM3[i] = airRatio * state[3 * i]!;
    this.leftRatio = this.rightRatio = airRatio;
    this.leftKgPerS = this.rightKgPerS = 0;
    this.isAbsent = airRatio <= 0;
  }

  /** Carries the air by the masses that have crossed the faces in this step, ends included. */
  process(): void {
    let air = this.leftKgPerS;
    if (this.isAbsent && air === 0 && this.rightKgPerS === 0) return;
    const { densityKgPerM3, ratio } = this;
    const { state, cellFactor, faceMassKgPerS, cellCount } = this.cells;
    const last = cellCount - 1;
    let here = ratio[0]!;
    let isAbsent = true;
    for (let i = 0; i <= last; i++) {
      const next = i < last ? ratio[i + 1]! : 0;
      const mass = faceMassKgPerS[i + 1]!;
      const leaving = i < last ? mass * (mass > 0 ? here : next) : this.rightKgPerS;
      const density = state[3 * i]!;
      const mine = densityKgPerM3[i]! + cellFactor[i]! * (air - leaving);
      air = leaving;
      here = next;
      if (mine > LEAST_AIR_RATIO * density) {
        // More air than gas is only where the gas itself had to be held.
        densityKgPerM3[i] = mine < density ? mine : density;
        ratio[i] = mine < density ? mine / density : 1;
        isAbsent = false;
      } else if (mine !== 0) {
        densityKgPerM3[i] = 0;
        ratio[i] = 0;
      }
    }
    this.isAbsent = isAbsent;
    this.leftRatio = ratio[0]!;
    this.rightRatio = ratio[last]!;
  }
}
