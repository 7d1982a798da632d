import { cbrt } from "../quantities/portable-maths.js";
import { positive, RowVoice } from "./row-voice.js";
import { SmallIron } from "./small-iron.js";
import { StrokeEvents } from "./stroke-events.js";
import type { VoiceMaking } from "./voice.js";

// A feed pump worked from the crosshead or an eccentric: one stroke each way a turn. [common practice]
const halfStrokesPerTurn = 2;
// Share of a stroke's work against the boiler that is heard as its valves fall shut. [tuned: clacks of a locomotive's pump some
// 70 dB at 7.5 m while they ring, from memory, 2026-11-25]
const clackEfficiency = 1e-7;
// The suction valve falls from less lift. [common practice]
const suctionRatio = 0.4;
const waterKgPerM3 = 998; // [source: IAPWS-IF97 at 20 degrees]
// Note of a valve for a pump of 10 mm a side, and how long it rings in its wet box. [common practice]
const clackHz = 3800;
const referenceM = 0.01;
const quality = 14;
const leastTurnsPerS = 0.05;

/** Feed pump: the clack of its two valves at the ends of each stroke, exactly with the shaft, by the work that they bear. */
export class FeedPumpVoice extends RowVoice {
  private readonly iron: SmallIron;
  private readonly strokes: StrokeEvents;
  private readonly perEnergy: number;

  constructor(private readonly making: VoiceMaking) {
    super("feed", making, 1, 1);
    const { distanceM, airDensityKgPerM3, airSoundSpeedMPerS, sampleRateHz, samplesPerRow } = making;
    this.iron = new SmallIron(sampleRateHz, quality);
    this.strokes = new StrokeEvents(halfStrokesPerTurn, samplesPerRow);
    this.perEnergy = (airDensityKgPerM3 * airSoundSpeedMPerS) / (4 * Math.PI * distanceM * distanceM);
  }

  protected override read(at: number): void {
    const { record, description } = this.making;
    const feed = positive(record.feedKgPerS);
    this.rows[at] = feed;
    const { strokes } = this;
    const before = at === 0 ? 0 : strokes.count;
    strokes.shaftRad = record.shaftRad;
    strokes.take(at);
    if (!(feed > 0)) return;
    const turnsPerS = Math.max(leastTurnsPerS, Math.abs(record.shaftRadPerS) / (2 * Math.PI));
    const strokeM3 = feed / (turnsPerS * waterKgPerM3);
    const pressurePa = Math.max(0, positive(record.boilerPa) - description.ambient.pressurePa);
    const sideM = cbrt(strokeM3);
    const hz = Math.min(9000, Math.max(150, (clackHz * referenceM) / Math.max(1e-4, sideM)));
    for (let k = before; k < strokes.count; k++) {
      const stroke = strokes.strokes[k]!;
      const isSuction = stroke - 2 * Math.floor(0.5 * stroke) !== 0;
      const workJ = strokeM3 * pressurePa * (isSuction ? suctionRatio : 1);
      this.iron.strike(strokes.offsets[k]!, this.perEnergy * clackEfficiency * workJ, isSuction ? 1.25 * hz : hz);
    }
  }

  protected override make(): void {
    this.pressurePa.fill(0);
    this.iron.add(this.pressurePa, this.chunkFrames);
  }

  protected override silence(): void {
    this.iron.reset();
    this.strokes.reset();
  }

  protected override isRinging(): boolean {
    return this.iron.isSounding;
  }
}
