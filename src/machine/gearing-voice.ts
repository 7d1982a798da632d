import { BearingSlack } from "../engine/bearing-slack.js";
import { TurningMarks } from "../engine/turning-marks.js";
import type { VoiceRecord } from "../engine/voice-record.js";
import type { ContactBodies } from "../sound/hertz-contact.js";
import { gearingIron, type MeshIron } from "./gearing-iron.js";
import { StruckIron } from "./struck-iron.js";
import type { Voice, VoiceMaking } from "./voice.js";

// Of a tooth's blow, what rings the wheel. [tuned: open gears passing 10 kW some 62 dB at 7.5 m, as VDI 2159 gives for
// closed ones (sound power 77.1 + 12.3 lg kW, from memory), 2026-11-25]
const toothRatio = 1;
// [tuned: an oiled chain of 25.4 mm on 16 teeth at 123 rpm has 57 dB(A) at 0.3 m in a maker's guide, 2026-11-25]
const linkRatio = 0.15;
const lapRatio = 0.5; // [common practice: soft, on a hollow pulley]
// Of the blow with which play is taken up, which goes on into the shafts. [common practice]
const rattleRatio = 0.02;
const oil = { reboundRatio: 0.3, filmS: 0.02 }; // [common practice: teeth in grease]
// Of an undescribed drive at the pitch line, against the mass of a tooth. [common practice]
const shaftPerTooth = 40;

/**
 * Gearing between crankshaft and work. Each tooth that comes into mesh strikes as much as it and its fellow are out of true
 * and as the load bends the teeth before it, so that level goes with torque and speed; the same pair of teeth strikes the same
 * at every meeting, which makes the side tones at the rates of both shafts. Chain: each link that seats itself. Belt: its lap,
 * once a turn of the belt. When the torque turns round the play is crossed and the teeth rattle. All follows the shaft's angle;
 * nothing turns by itself.
 *
 * Teeth that stand out by s are met off the line of centres, where the pitch circles part at the speed
 * V sqrt(2 s (1/r1 + 1/r2)). [common practice: geometry of two circles]
 */
export class GearingVoice implements Voice {
  readonly stemName = "gearing";
  readonly pressurePa: Float64Array;
  isIdle = true;

  private readonly record: VoiceRecord;
  private readonly samplesPerRow: number;
  private readonly sampleRateHz: number;
  private readonly meshes: readonly MeshIron[] = [];
  private readonly marks: readonly TurningMarks[] = [];
  private readonly wheel: StruckIron | null = null;
  private readonly play: BearingSlack | null = null;

  constructor(making: VoiceMaking) {
    const { description, record, sampleRateHz, samplesPerRow, rowsPerChunk, seed } = making;
    this.record = record;
    this.samplesPerRow = samplesPerRow;
    this.sampleRateHz = sampleRateHz;
    const rowS = samplesPerRow / sampleRateHz;
    this.pressurePa = new Float64Array(samplesPerRow * rowsPerChunk);
    const running = description.running ?? null;
    const gearing = running?.gearing ?? null;
    if (running !== null && gearing !== null && gearing.pairs.length > 0) {
      const iron = gearingIron(gearing, description.gear.cylinder.boreM, seed, making);
      this.meshes = iron.meshes;
      this.marks = iron.meshes.map(({ marksPerTurn }) => new TurningMarks(marksPerTurn, rowS));
      const couplingRatio = gearing.kind === "gear" ? toothRatio : gearing.kind === "chain" ? linkRatio : lapRatio;
      const hammers = iron.meshes.map(({ contact }) => ({ contact, couplingRatio }));
      const first = iron.meshes[0]!;
      const atRimKg = running.inertiaKgM2 / (first.radiusM * first.radiusM);
      const contact: ContactBodies = { ...first.contact, massKg: Math.min(atRimKg, shaftPerTooth * first.struckKg) };
      this.wheel = new StruckIron(sampleRateHz, this.pressurePa.length, iron.modes, [
        ...hammers,
        { contact, couplingRatio: rattleRatio },
      ]);
      if (gearing.kind !== "belt" && atRimKg > 0) {
        this.play = new BearingSlack([{ playM: iron.playM, massKg: contact.massKg }], oil, rowS);
      }
    }
    this.reset();
  }

  reset(): void {
    this.wheel?.reset();
    this.pressurePa.fill(0);
    this.isIdle = true;
    this.settle();
  }

  settle(): void {
    const { record, marks, play } = this;
    for (const each of marks) each.reset(record.shaftRad);
    if (play !== null) play.reset(record.loadTorqueNm / this.meshes[0]!.radiusM);
  }

  /** Nothing here is noise: teeth have their numbers. */
  setNextSampleIndex(): void {
    return;
  }

  take(r: number): void {
    const { record, marks, play, wheel } = this;
    if (wheel === null) return;
    const from = r * this.samplesPerRow;
    for (let k = 0; k < marks.length; k++) {
      const each = marks[k]!;
      each.shaftRad = record.shaftRad;
      each.integrate();
      if (each.passingCount > 0) this.mesh(k, wheel, from);
    }
    if (play === null) return;
    play.forceN = record.loadTorqueNm / this.meshes[0]!.radiusM;
    play.integrate();
    if (play.impactCount > 0) this.rattle(play, wheel, from);
  }

  process(): void {
    const { pressurePa, wheel } = this;
    pressurePa.fill(0);
    if (wheel === null) return;
    this.isIdle = wheel.isIdle;
    wheel.process(pressurePa);
  }

  private mesh(k: number, wheel: StruckIron, from: number): void {
    const { record, sampleRateHz } = this;
    const { speedRatio, radiusM, curvaturePerM, struckKg, drivingM, drivenM, yieldMPerN, swingM } = this.meshes[k]!;
    const each = this.marks[k]!;
    const turned = record.shaftRadPerS * speedRatio;
    const turning = turned < 0 ? -turned : turned;
    const forceN = record.loadTorqueNm / (speedRatio * radiusM);
    const bentM = yieldMPerN * (forceN < 0 ? -forceN : forceN);
    for (let i = 0; i < each.passingCount; i++) {
      const mark = each.passingMark[i]!;
      const standsOutM = drivingM[folded(mark, drivingM.length)]! + drivenM[folded(mark, drivenM.length)]! + bentM;
      const share = Math.sqrt(2 * standsOutM * curvaturePerM);
      const impact = turning * (swingM + radiusM * (share < 1 ? share : 1));
      wheel.strike(k, from + sampleRateHz * each.passingS[i]!, impact, struckKg * impact);
    }
    this.isIdle = false;
  }

  private rattle(play: BearingSlack, wheel: StruckIron, from: number): void {
    for (let i = 0; i < play.impactCount; i++) {
      const at = from + this.sampleRateHz * play.impactS[i]!;
      wheel.strike(this.meshes.length, at, play.impactMPerS[i]!, play.impactNs[i]!);
    }
    this.isIdle = false;
  }
}

function folded(mark: number, count: number): number {
  return mark - Math.floor(mark / count) * count;
}
