import { restingControls, sideControlIndex } from "../engine/engine-controls.js";
import type { Drive } from "./drive.js";

// Nothing is moved faster than a hand or its own valve moves it: a reversing lever goes over in half a second, cocks and
// regulator open in a twentieth. [common practice]
const reverserPerS = 4;
const valvePerS = 20;
// What comes from outside takes a tenth of a second: a whole load, 2 % of gradient, 300 rpm of barring gear, as couplings take
// up. [common practice]
const loadPerS = 10;
const gradientPerS = 0.2;
const barringRpmPerS = 3000;

/**
 * The controls as they stand, which follow those that a drive asks for: at once after `snap`, no faster than by hand in
 * `advance`. What a drive itself moves more slowly than that is followed exactly.
 */
export class MovedControls {
  regulatorRatio = 0.5;
  cutoffRatio = 0.5;
  readonly side = restingControls();

  // Whether anything of `side` has moved since it was last handed over.
  private hasSideMoved = true;
  private readonly mostOfValves: number;
  private readonly mostOfReverser: number;
  private readonly mostOfSide: Float64Array;

  /** @param stepS time from one `advance` to the next */
  constructor(stepS: number) {
    this.mostOfValves = valvePerS * stepS;
    this.mostOfReverser = reverserPerS * stepS;
    this.mostOfSide = new Float64Array(this.side.length).fill(valvePerS * stepS);
    this.mostOfSide[sideControlIndex.load] = loadPerS * stepS;
    this.mostOfSide[sideControlIndex.gradient] = gradientPerS * stepS;
    this.mostOfSide[sideControlIndex.barring] = barringRpmPerS * stepS;
  }

  /** State only: everything where the drive has it. */
  snap(drive: Drive): void {
    this.regulatorRatio = drive.regulatorRatio;
    this.cutoffRatio = drive.cutoffRatio;
    this.side.set(drive.side);
    this.hasSideMoved = true;
  }

  /** Writes `side`, where anything has moved since it was last written; there is one reader. */
  handSideTo(side: Float64Array): void {
    if (!this.hasSideMoved) return;
    side.set(this.side);
    this.hasSideMoved = false;
  }

  /** One step towards where the drive has them. Allocates nothing. */
  advance(drive: Drive): void {
    const { side, mostOfSide, mostOfValves, mostOfReverser } = this;
    const regulator = drive.regulatorRatio - this.regulatorRatio;
    if (regulator <= mostOfValves && regulator >= -mostOfValves) this.regulatorRatio = drive.regulatorRatio;
    else this.regulatorRatio += regulator > 0 ? mostOfValves : -mostOfValves;
    const cutoff = drive.cutoffRatio - this.cutoffRatio;
    if (cutoff <= mostOfReverser && cutoff >= -mostOfReverser) this.cutoffRatio = drive.cutoffRatio;
    else this.cutoffRatio += cutoff > 0 ? mostOfReverser : -mostOfReverser;
    const wanted = drive.side;
    for (let i = 0; i < side.length; i++) {
      const way = wanted[i]! - side[i]!;
      if (way === 0) continue;
      const most = mostOfSide[i]!;
      this.hasSideMoved = true;
      side[i] = way <= most && way >= -most ? wanted[i]! : side[i]! + (way > 0 ? most : -most);
    }
  }
}
