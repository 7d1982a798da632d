import { BearingSlack, type BearingOil } from "../engine/bearing-slack.js";
import type { VoiceRecord } from "../engine/voice-record.js";
import { motionIron } from "./motion-iron.js";
import { StruckIron } from "./struck-iron.js";
import type { Voice, VoiceMaking } from "./voice.js";

// Oil in good bearings: next to no rebound, and a film that takes the speed in a hundredth of a second.
// [common practice: white metal in oil; the film's time from memory of squeeze-film dampers, order of size]
const oil: BearingOil = { reboundRatio: 0.2, filmS: 0.01 };
// A blow runs along the rod and bends rod and frame only by what is out of line. [tuned: knocks 20 to 25 dB below the exhaust
// beats of a two-cylinder locomotive in good order at 7.5 m, 2026-11-25]
const alongRatio = 0.09;
// Blows of the slippers fall square on the slide bars, but on stiff ones. [common practice]
const acrossRatio = 0.09;
const gravityMPerS2 = 9.81; // [common practice]

const bigEnd = 0;
const crossheadPin = 0;
const slipper = 1;
const swingingEnd = 2;

/**
 * Knocks of the motion: crosshead pins, big ends and slippers crossing their play when the force on them turns. Each
 * cylinder's rod force is followed through its play (`BearingSlack`); the blows ring connecting rod and frame. A standing engine
 * is silent unless steam takes up its slack. Knocks of axleboxes and main bearings are left out.
 */
export class KnockVoice implements Voice {
  readonly stemName = "knocks";
  readonly pressurePa: Float64Array;
  isIdle = true;

  private readonly record: VoiceRecord;
  private readonly samplesPerRow: number;
  private readonly sampleRateHz: number;
  private readonly crankM: number;
  private readonly throwRatio: number;
  private readonly slipperN: number;
  private readonly rods: readonly BearingSlack[];
  // None in an oscillating cylinder.
  private readonly slippers: readonly BearingSlack[];
  private readonly rod: StruckIron;
  private readonly frame: StruckIron;
  private readonly lean: Float64Array;

  constructor(making: VoiceMaking) {
    const { description, record, sampleRateHz, samplesPerRow, rowsPerChunk } = making;
    const { gear } = description;
    this.record = record;
    this.samplesPerRow = samplesPerRow;
    this.sampleRateHz = sampleRateHz;
    const rowS = samplesPerRow / sampleRateHz;
    this.pressurePa = new Float64Array(samplesPerRow * rowsPerChunk);
    const iron = motionIron(gear, description.running ?? null, making);
    const isSwinging = gear.valveGear.kind === "oscillating";
    const pin = { playM: iron.crossheadPlayM, massKg: iron.pistonKg };
    const end = { playM: iron.bigEndPlayM, massKg: iron.rodKg };
    const whole = { ...end, massKg: iron.pistonKg + iron.rodKg };
    // Without play nothing knocks.
    const cylinders = iron.bigEndPlayM > 0 ? gear.crankAnglesRad : [];
    this.rods = cylinders.map(() => new BearingSlack(isSwinging ? [whole] : [pin, end], oil, rowS));
    const slide = { playM: iron.slipperPlayM, massKg: iron.slipperKg };
    this.slippers = isSwinging ? [] : cylinders.map(() => new BearingSlack([slide], oil, rowS));
    this.crankM = 0.5 * gear.cylinder.strokeM;
    this.throwRatio = isSwinging ? 0 : this.crankM / gear.cylinder.connectingRodM;
    this.slipperN = gravityMPerS2 * iron.slipperKg;
    this.lean = new Float64Array(cylinders.length);
    const frames = this.pressurePa.length;
    this.rod = new StruckIron(sampleRateHz, frames, iron.rodModes, [
      { contact: iron.bigEndContact, couplingRatio: alongRatio },
    ]);
    this.frame = new StruckIron(sampleRateHz, frames, iron.frameModes, [
      { contact: iron.crossheadContact, couplingRatio: alongRatio },
      { contact: iron.slipperContact, couplingRatio: acrossRatio },
      { contact: iron.bigEndContact, couplingRatio: alongRatio },
    ]);
    this.reset();
  }

  reset(): void {
    this.rod.reset();
    this.frame.reset();
    this.pressurePa.fill(0);
    this.isIdle = true;
    this.lean.fill(0);
    this.settle();
  }

  settle(): void {
    const { rods, slippers, record } = this;
    for (let c = 0; c < rods.length; c++) {
      rods[c]!.reset(record.rodForceN[c]!);
      if (c >= slippers.length) continue;
      const slide = slippers[c]!;
      this.pushSide(slide, c);
      slide.reset(slide.forceN);
    }
  }

  /** Nothing here is noise. */
  setNextSampleIndex(): void {
    return;
  }

  take(r: number): void {
    const { rods, slippers, record } = this;
    const from = r * this.samplesPerRow;
    for (let c = 0; c < rods.length; c++) {
      const slack = rods[c]!;
      slack.forceN = record.rodForceN[c]!;
      slack.integrate();
      if (slack.impactCount > 0) this.knock(slack, from);
      if (c >= slippers.length) continue;
      const slide = slippers[c]!;
      this.pushSide(slide, c);
      slide.integrate();
      if (slide.impactCount > 0) this.slap(slide, from);
    }
  }

  process(): void {
    const { pressurePa, rod, frame } = this;
    pressurePa.fill(0);
    this.isIdle = rod.isIdle && frame.isIdle;
    rod.process(pressurePa);
    frame.process(pressurePa);
  }

  private knock(slack: BearingSlack, from: number): void {
    const { sampleRateHz, throwRatio } = this;
    for (let i = 0; i < slack.impactCount; i++) {
      const at = from + sampleRateHz * slack.impactS[i]!;
      const speed = slack.impactMPerS[i]!;
      const momentum = slack.impactNs[i]!;
      // The short rod of a swinging cylinder hardly rings: what carries it does.
      if (throwRatio === 0) this.frame.strike(swingingEnd, at, speed, momentum);
      else if (slack.impactBearing[i] === 1) this.rod.strike(bigEnd, at, speed, momentum);
      else this.frame.strike(crossheadPin, at, speed, momentum);
    }
    this.isIdle = false;
  }

  private slap(slide: BearingSlack, from: number): void {
    for (let i = 0; i < slide.impactCount; i++) {
      const at = from + this.sampleRateHz * slide.impactS[i]!;
      this.frame.strike(slipper, at, slide.impactMPerS[i]!, slide.impactNs[i]!);
    }
    this.isIdle = false;
  }

  // Across the slide bars, up in forward running under steam: the leaning rod's share of the force, less the weight. The lean
  // follows from the piston's speed, within the ratio of crank to rod; a standing rod leans as it stood.
  private pushSide(slide: BearingSlack, c: number): void {
    const { record, throwRatio, crankM } = this;
    const rimMPerS = crankM * record.shaftRadPerS;
    if (rimMPerS > 1e-6 || rimMPerS < -1e-6) {
      const sine = record.pistonMPerS[c]! / rimMPerS;
      this.lean[c] = throwRatio * (sine > 1 ? 1 : sine < -1 ? -1 : sine);
    }
    slide.forceN = record.rodForceN[c]! * this.lean[c]! - this.slipperN;
  }
}
