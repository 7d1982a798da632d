import type { VoiceRecord } from "../engine/voice-record.js";
import { STEEL_ON_BRASS_PA } from "../sound/hertz-contact.js";
import { CAST_IRON } from "../sound/modal-bodies.js";
import { plateModes } from "../sound/struck-body.js";
import { StruckIron } from "./struck-iron.js";
import type { Voice, VoiceMaking } from "./voice.js";

// Sizes of a pump's iron against its bores, in this file. [common practice: drawings of duplex pumps of 3 to 12 in bore; cast
// iron on cast iron 60 GPa]
const modeCount = 8;
// Bolted on over a joint and lagged. [source: Cremer & Heckl, Structure-Borne Sound, 1973, III: bolted structures 5e-3 to 3e-2]
const coverLossRatio = 0.03;
// Water on one side swallows what a chamber rings. [common practice]
const chamberLossRatio = 0.06;
const ironPa = 60e9;

// Shares of a blow's momentum that bend what is heard: the cover is struck in its middle but bolted to a casting twenty times
// its weight; the cradle behind it is pushed along, as a valve rod is; discs fall square on a deck behind the chamber's wall.
// [tuned: a duplex pump in good order 15 to 20 dB below its exhaust beats at 7.5 m, as the knocks of engines are, 2026-11-25]
const coverRatio = 0.03;
const cradleRatio = 0.03;
const tripRatio = 0.05;
const seatRatio = 0.1;

const coverBlow = 0;
const tripBlow = 1;

/**
 * Voice of a pump without a crank, which has no rods to knock: the piston that meets its cover, the valve rod struck by the
 * other piston's nut or the valve thrown over by steam, the water valves that sink onto their seats at the end of every
 * stroke. All is struck by the motion as it is (`DirectActing`): a pump that stalls is silent.
 */
export class PumpVoice implements Voice {
  readonly stemName = "pump";
  readonly pressurePa: Float64Array;
  isIdle = true;

  private readonly record: VoiceRecord;
  private readonly samplesPerRow: number;
  private readonly steamEnd: StruckIron;
  private readonly waterEnd: StruckIron;
  private readonly cradle: StruckIron;
  private readonly movingKg: number;
  private readonly valveKg: number;
  private readonly discKg: number;
  private readonly coverBlows: Float64Array;
  private readonly trips: Float64Array;
  private readonly seatings: Float64Array;

  constructor(making: VoiceMaking) {
    const { description, record, sampleRateHz, samplesPerRow, rowsPerChunk } = making;
    const { gear, pump } = description;
    const { boreM } = gear.cylinder;
    this.record = record;
    this.samplesPerRow = samplesPerRow;
    const frames = samplesPerRow * rowsPerChunk;
    this.pressurePa = new Float64Array(frames);
    this.movingKg = pump?.movingKg ?? 0;
    const ports = gear.valveGear.kind === "tripped" ? gear.valveGear : { portLengthM: boreM, portWidthM: 0.1 * boreM };
    const planM2 = ports.portLengthM * 5 * ports.portWidthM;
    // The valve with its rod.
    this.valveKg = 1.3 * CAST_IRON.densityKgPerM3 * planM2 * 0.12 * Math.sqrt(planM2);
    const waterM = pump?.waterBoreM ?? boreM;
    // All discs that shut together, as one, with a third of the plunger's area.
    const discM2 = 0.33 * 0.25 * Math.PI * waterM * waterM;
    const discM = Math.sqrt((4 * discM2) / Math.PI);
    this.discKg = 8700 * discM2 * 0.12 * discM;
    const covers = plateModes(
      {
        ...{ stuff: CAST_IRON, lossRatio: coverLossRatio, modeCount },
        ...{ lengthM: 1.4 * boreM, widthM: 1.2 * boreM, thicknessM: 0.11 * boreM },
      },
      making,
    );
    const chamber = plateModes(
      {
        ...{ stuff: CAST_IRON, lossRatio: chamberLossRatio, modeCount },
        ...{ lengthM: 2.4 * waterM, widthM: 2 * waterM, thicknessM: 0.16 * waterM },
      },
      making,
    );
    // What ties the steam end to the water end, drawn and pushed by every blow on a cover.
    const cradle = plateModes(
      {
        ...{ stuff: CAST_IRON, lossRatio: coverLossRatio, modeCount },
        ...{ lengthM: 4 * gear.cylinder.strokeM, widthM: 1.5 * boreM, thicknessM: 0.12 * boreM },
      },
      making,
    );
    const piston = { massKg: this.movingKg, radiusM: 2 * boreM, modulusPa: ironPa };
    this.cradle = new StruckIron(sampleRateHz, frames, cradle, [{ contact: piston, couplingRatio: cradleRatio }]);
    this.steamEnd = new StruckIron(sampleRateHz, frames, covers, [
      { contact: piston, couplingRatio: coverRatio },
      {
        contact: { massKg: this.valveKg, radiusM: 0.2 * boreM, modulusPa: STEEL_ON_BRASS_PA },
        couplingRatio: tripRatio,
      },
    ]);
    this.waterEnd = new StruckIron(sampleRateHz, frames, chamber, [
      { contact: { massKg: this.discKg, radiusM: discM, modulusPa: STEEL_ON_BRASS_PA }, couplingRatio: seatRatio },
    ]);
    const count = gear.crankAnglesRad.length;
    this.coverBlows = new Float64Array(count);
    this.trips = new Float64Array(count);
    this.seatings = new Float64Array(count);
    this.reset();
  }

  reset(): void {
    this.steamEnd.reset();
    this.waterEnd.reset();
    this.cradle.reset();
    this.pressurePa.fill(0);
    this.isIdle = true;
    this.settle();
  }

  /** What was struck before is forgotten. */
  settle(): void {
    const { record } = this;
    this.coverBlows.set(record.coverBlows);
    this.trips.set(record.trips);
    this.seatings.set(record.seatings);
  }

  /** Nothing here is noise. */
  setNextSampleIndex(): void {
    return;
  }

  take(r: number): void {
    const { record, coverBlows, trips, seatings, movingKg, valveKg, discKg } = this;
    const at = r * this.samplesPerRow;
    for (let k = 0; k < trips.length; k++) {
      if (record.coverBlows[k]! !== coverBlows[k]!) {
        coverBlows[k] = record.coverBlows[k]!;
        this.strike(this.steamEnd, coverBlow, at, record.coverMPerS[k]!, movingKg);
        this.strike(this.cradle, 0, at, record.coverMPerS[k]!, movingKg);
      }
      if (record.trips[k]! !== trips[k]!) {
        trips[k] = record.trips[k]!;
        this.strike(this.steamEnd, tripBlow, at, record.tripMPerS[k]!, valveKg);
      }
      if (record.seatings[k]! !== seatings[k]!) {
        seatings[k] = record.seatings[k]!;
        this.strike(this.waterEnd, 0, at, record.seatMPerS[k]!, discKg);
      }
    }
  }

  process(): void {
    const { pressurePa, steamEnd, waterEnd, cradle } = this;
    pressurePa.fill(0);
    this.isIdle = steamEnd.isIdle && waterEnd.isIdle && cradle.isIdle;
    steamEnd.process(pressurePa);
    waterEnd.process(pressurePa);
    cradle.process(pressurePa);
  }

  private strike(body: StruckIron, hammer: number, at: number, speedMPerS: number, massKg: number): void {
    if (!(speedMPerS > 0)) return;
    body.strike(hammer, at, speedMPerS, massKg * speedMPerS);
    this.isIdle = false;
  }
}
