import { SeatedValve } from "../engine/seated-valve.js";
import type { VoiceRecord } from "../engine/voice-record.js";
import type { NoisePeriod } from "../quantities/random.js";
import { StruckIron } from "./struck-iron.js";
import { discValveIron, seatedPushRatio, slideValveIron } from "./valve-iron.js";
import type { Voice, VoiceMaking } from "./voice.js";

// A slide valve strikes the cylinder casting, twenty times as heavy as the cover that is heard; a disc's box is a
// casting to itself, of which the side is a tenth. [common practice]
const slideRatio = 0.05;
const discRatio = 0.1;
// Flow of saturated steam through a hole, kg/s for each Pa and m2. [source: Napier's rule, p A / 70 in pounds and square inches, from memory]
const napierKgPerSN = 1.45e-3;
// Pressure by which a relief valve at its full flow stands above its set. [common practice: a twentieth]
const accumulationRatio = 0.05;
// Of that, what the spring gives way by before it opens wide. [common practice]
const reliefHoldRatio = 0.7;
// Depression at which a snifting valve stands wide open. [common practice: a few hundredths of a bar]
const snifterHoldPa = 4000;

/**
 * Clatter of valves that lie loose: slide valves that the trapped steam lifts from their faces when drifting notched up and
 * that fall back, the snifting valve's disc in its stream of air, the relief valves' discs. Each is moved by what pushes it
 * (`SeatedValve`) and rings what it strikes. Where nothing lifts there is silence. In a loop all are laid on their seats where
 * it begins.
 */
export class ValveClatterVoice implements Voice {
  readonly stemName = "valve-clatter";
  readonly pressurePa: Float64Array;
  isIdle = true;

  private readonly record: VoiceRecord;
  private readonly period: NoisePeriod;
  private readonly samplesPerRow: number;
  private readonly sampleRateHz: number;
  private readonly slides: readonly SeatedValve[];
  private readonly chest: StruckIron | null = null;
  // One for each end, all in one box.
  private readonly reliefs: readonly SeatedValve[];
  private readonly snifter: SeatedValve | null = null;
  private readonly reliefBox: StruckIron | null = null;
  private readonly snifterBox: StruckIron | null = null;
  private readonly reliefPaPerKgPerS: number;
  private readonly seatedPerSniftM2: number;
  private nextSampleIndex = 0;

  constructor(making: VoiceMaking) {
    const { description, record, sampleRateHz, samplesPerRow, rowsPerChunk } = making;
    this.record = record;
    this.period = making.noisePeriod;
    this.samplesPerRow = samplesPerRow;
    this.sampleRateHz = sampleRateHz;
    const rowS = samplesPerRow / sampleRateHz;
    const frames = samplesPerRow * rowsPerChunk;
    this.pressurePa = new Float64Array(frames);
    const fittings = description.fittings ?? null;
    const slide = fittings?.valvesLift === true ? slideValveIron(description.gear, making) : null;
    this.slides = slide === null ? [] : description.gear.crankAnglesRad.map(() => new SeatedValve(slide.valve, rowS));
    if (slide !== null) {
      const hammer = { contact: slide.contact, couplingRatio: slideRatio };
      this.chest = new StruckIron(sampleRateHz, frames, slide.modes, [hammer]);
    }
    const { sniftingAreaM2, reliefAreaM2, reliefPa } = fittings ?? { sniftingAreaM2: 0, reliefAreaM2: 0, reliefPa: 0 };
    if (sniftingAreaM2 > 0) {
      const disc = discValveIron(sniftingAreaM2, snifterHoldPa, making);
      this.snifter = new SeatedValve(disc.valve, rowS);
      const hammer = { contact: disc.contact, couplingRatio: discRatio };
      this.snifterBox = new StruckIron(sampleRateHz, frames, disc.modes, [hammer]);
    }
    this.seatedPerSniftM2 = sniftingAreaM2 > 0 ? seatedPushRatio / sniftingAreaM2 : 0;
    const hasReliefs = reliefAreaM2 > 0 && reliefPa > 0;
    this.reliefPaPerKgPerS = hasReliefs ? (seatedPushRatio * accumulationRatio) / (reliefAreaM2 * napierKgPerSN) : 0;
    const disc = hasReliefs
      ? discValveIron(reliefAreaM2, reliefHoldRatio * accumulationRatio * reliefPa, making)
      : null;
    this.reliefs = disc === null ? [] : Array.from(record.reliefKgPerS, () => new SeatedValve(disc.valve, rowS));
    if (disc !== null) {
      const hammer = { contact: disc.contact, couplingRatio: discRatio };
      this.reliefBox = new StruckIron(sampleRateHz, frames, disc.modes, [hammer]);
    }
    this.reset();
  }

  reset(): void {
    this.chest?.reset();
    this.snifterBox?.reset();
    this.reliefBox?.reset();
    this.pressurePa.fill(0);
    this.isIdle = true;
    this.nextSampleIndex = 0;
    this.settle();
  }

  settle(): void {
    for (const valve of this.slides) valve.reset();
    for (const valve of this.reliefs) valve.reset();
    this.snifter?.reset();
  }

  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
  }

  take(r: number): void {
    const { record, slides, reliefs, snifter, samplesPerRow } = this;
    const period = this.period.samples;
    const isLoopStart = period > 0 && this.nextSampleIndex % period < samplesPerRow;
    this.nextSampleIndex += samplesPerRow;
    const from = r * samplesPerRow;
    for (let c = 0; c < slides.length; c++) {
      const valve = slides[c]!;
      valve.pushPa = record.valveLiftPa[c]!;
      this.move(valve, this.chest!, from, isLoopStart);
    }
    for (let e = 0; e < reliefs.length; e++) {
      const valve = reliefs[e]!;
      valve.pushPa = this.reliefPaPerKgPerS * record.reliefKgPerS[e]!;
      this.move(valve, this.reliefBox!, from, isLoopStart);
    }
    if (snifter !== null) {
      // Half rho U^2 across it wide open.
      const flow = record.sniftKgPerS;
      snifter.pushPa = flow > 0 ? 0.5 * flow * record.sniftMPerS * this.seatedPerSniftM2 : 0;
      this.move(snifter, this.snifterBox!, from, isLoopStart);
    }
  }

  process(): void {
    const { pressurePa, chest, snifterBox, reliefBox } = this;
    pressurePa.fill(0);
    this.isIdle = (chest?.isIdle ?? true) && (snifterBox?.isIdle ?? true) && (reliefBox?.isIdle ?? true);
    chest?.process(pressurePa);
    snifterBox?.process(pressurePa);
    reliefBox?.process(pressurePa);
  }

  private move(valve: SeatedValve, body: StruckIron, from: number, isLoopStart: boolean): void {
    if (valve.isAtRest && valve.pushPa <= 0) return;
    if (isLoopStart) valve.reseat();
    valve.integrate();
    if (valve.impactCount === 0) return;
    for (let i = 0; i < valve.impactCount; i++) {
      const at = from + this.sampleRateHz * valve.impactS[i]!;
      body.strike(0, at, valve.impactMPerS[i]!, valve.impactNs[i]!);
    }
    this.isIdle = false;
  }
}
