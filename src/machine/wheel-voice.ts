import { RailJoints } from "../engine/rail-joints.js";
import { bestCreepRatio } from "../engine/wheel-grip.js";
import type { VoiceRecord } from "../engine/voice-record.js";
import { pow } from "../quantities/portable-maths.js";
import { NoisePeriod, NoiseStream } from "../quantities/random.js";
import { STEEL_ON_STEEL_PA } from "../sound/hertz-contact.js";
import { STEEL } from "../sound/modal-bodies.js";
import { RollingNoise } from "../sound/rolling-noise.js";
import { StickSlip } from "../sound/stick-slip.js";
import { barModes, ringModes } from "../sound/struck-body.js";
import { noiseStreams } from "./noise-streams.js";
import { StruckIron } from "./struck-iron.js";
import type { Voice, VoiceMaking } from "./voice.js";

// Rolling of one axle at 80 km/h and 7.5 m: 79 dB, four of them 85. [source: limit of the European noise rules for locomotives
// passing at 80 km/h, 85 dB(A) at 7.5 m, from memory]
const axleAtReferencePa = 0.178;
const referenceM = 7.5;
// Smaller wheels have less to radiate with. [common practice: pressure with the diameter]
const axleRadiusM = 0.6;
// Way along the rail over which its end dips. [common practice: half a metre to each side]
const dipReachM = 0.5;
// Of the load of an axle: the iron that the blow moves (rail and tyre near the contact), and a wheel with its tyre.
// [common practice: 80 kg and 960 kg of 16 t]
const struckPerAxle = 0.005;
const wheelPerAxle = 0.06;
// Of the blow, what bends wheel and rail. [tuned: a joint of 2 mm dip at 20 m/s peaks some 25 dB above the rms of rolling, 2026-11-25]
const wheelRatio = 0.5;
const railRatio = 0.8;
// Joints differ in dip by so much either way. [common practice]
const jointScatterRatio = 0.3;
// Friction falls by half its fall within this slip. [common practice: about a metre a second]
const slipHalfMPerS = 1;
// Share of a wheel's swing at the rail that its face makes. [tuned: squeal of a slip below the beats of the slip, 2026-11-25]
const squealRatio = 0.03;
const wheelLossRatio = 4e-3; // [common practice: spoked wheel with a shrunk tyre]
const railLossRatio = 0.06; // [common practice: rail in chairs on timber]
const gravityMPerS2 = 9.81; // [common practice]

/**
 * Wheels on jointed rails: each axle strikes each joint, as hard as speed, dip and gap make it (20 log v), at its exact time;
 * between them roughness rolls (30 log v); wheels that slip squeal. All of it follows road and slip: standing still is silence.
 * Joints are told apart by their number along the road, so that the same stretch sounds the same.
 */
export class WheelVoice implements Voice {
  readonly stemName = "wheels";
  readonly pressurePa: Float64Array;
  isIdle = true;

  private readonly record: VoiceRecord;
  private readonly period: NoisePeriod;
  private readonly samplesPerRow: number;
  private readonly sampleRateHz: number;
  private readonly joints: RailJoints | null = null;
  private readonly jointNoise: NoiseStream;
  private readonly impactRatio: number;
  private readonly struckKg: number;
  private readonly wheel: StruckIron;
  private readonly rail: StruckIron;
  private readonly rolling: RollingNoise;
  private readonly squeal: StickSlip;
  private readonly speedMPerS: Float64Array;
  private readonly slipMPerS: Float64Array;
  private readonly rolledPa: Float64Array;
  private lastMPerS = 0.5;
  private lastSlipMPerS = 0.5;
  private isRolling = false;
  private isSlipping = false;
  private nextSampleIndex = 0;
  private takenSampleIndex = 0;
  private rolledSampleIndex = 0;

  constructor(making: VoiceMaking) {
    const { description, record, sampleRateHz, samplesPerRow, rowsPerChunk, distanceM, seed } = making;
    const track = description.fittings?.track ?? null;
    const train = description.running?.train ?? null;
    this.record = record;
    this.period = making.noisePeriod;
    this.samplesPerRow = samplesPerRow;
    this.sampleRateHz = sampleRateHz;
    const frames = samplesPerRow * rowsPerChunk;
    this.pressurePa = new Float64Array(frames);
    this.speedMPerS = new Float64Array(frames);
    this.slipMPerS = new Float64Array(frames);
    this.rolledPa = new Float64Array(frames);
    const axleCount = Math.max(1, track?.axlesM.length ?? 4);
    const describedKg = track?.axleKg ?? 0;
    const describedM = description.wheelDiameterM ?? 0;
    // What is not described follows from the rest, full-sized wheels of 1.3 m carrying 14 t.
    const radiusM = describedM > 0 ? 0.5 * describedM : describedKg > 0 ? Math.sqrt(describedKg / 32_000) : 0.5;
    const axleKg = describedKg > 0 ? describedKg : 32_000 * radiusM * radiusM;
    const wheelKg = wheelPerAxle * axleKg;
    this.struckKg = struckPerAxle * axleKg;
    if (track !== null && track.railLengthM > 0) this.joints = new RailJoints(track, samplesPerRow / sampleRateHz);
    // A wheel turns from the one slope into the other; over a gap it tips from edge to edge.
    this.impactRatio = track === null ? 0 : (2 * track.dipM) / dipReachM + track.gapM / radiusM;
    this.jointNoise = new NoiseStream(seed, noiseStreams.railJoint, new NoisePeriod());
    const contact = { massKg: this.struckKg, radiusM: 0.6 * radiusM, modulusPa: STEEL_ON_STEEL_PA };
    const pressedN = 0.5 * gravityMPerS2 * axleKg;
    const ring = { stuff: STEEL, radiusM, depthM: 0.14 * radiusM, widthM: 0.18 * radiusM, massKg: wheelKg };
    this.wheel = new StruckIron(
      sampleRateHz,
      frames,
      ringModes({ ...ring, lossRatio: wheelLossRatio, modeCount: 8 }, making),
      [{ contact, pressedN, couplingRatio: wheelRatio }],
    );
    const railScale = pow(axleKg / 16_000, 1 / 3);
    const rail = { lengthM: 1.5 * railScale, depthM: 0.13 * railScale, widthM: 0.07 * railScale };
    this.rail = new StruckIron(
      sampleRateHz,
      frames,
      barModes({ stuff: STEEL, ...rail, lossRatio: railLossRatio, modeCount: 4 }, making),
      [{ contact, pressedN, couplingRatio: railRatio }],
    );
    this.rolling = new RollingNoise(
      sampleRateHz,
      new NoiseStream(seed, noiseStreams.rolling, making.noisePeriod),
      axleAtReferencePa * Math.sqrt(axleCount) * (referenceM / distanceM) * (radiusM / axleRadiusM),
    );
    // The two lowest modes belong to the rods and springs, which hold them.
    const squealing = ringModes({ ...ring, lossRatio: 0.4 * wheelLossRatio, modeCount: 5 }, making).slice(2);
    this.squeal = new StickSlip(sampleRateHz, {
      modes: squealing.map((mode) => ({ ...mode, paPerNs: squealRatio * mode.paPerNs })),
      massKg: 0.5 * wheelKg,
      loadN: gravityMPerS2 * axleKg,
      adhesionRatio: train?.adhesionRatio ?? 0.3,
      slipRatio: Math.min(train?.slipRatio ?? 0.15, train?.adhesionRatio ?? 0.3),
      halfMPerS: slipHalfMPerS,
    });
    this.reset();
  }

  reset(): void {
    this.wheel.reset();
    this.rail.reset();
    this.rolling.reset();
    this.squeal.reset();
    this.pressurePa.fill(0);
    this.isIdle = true;
    this.setNextSampleIndex(0);
    this.rolledSampleIndex = 0;
    this.settle();
  }

  settle(): void {
    const { record } = this;
    this.joints?.reset(record.roadM);
    this.lastMPerS = record.roadMPerS;
    this.lastSlipMPerS = 0;
    this.isRolling = this.isSlipping = false;
  }

  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = this.takenSampleIndex = index;
    this.rolledSampleIndex = -1;
  }

  take(r: number): void {
    const { record, joints, samplesPerRow } = this;
    const from = r * samplesPerRow;
    if (r === 0) {
      this.nextSampleIndex = this.takenSampleIndex;
      this.isRolling = this.isSlipping = false;
    }
    const period = this.period.samples;
    if (period > 0 && this.takenSampleIndex % period < samplesPerRow) this.squeal.reset();
    this.takenSampleIndex += samplesPerRow;
    const speed = record.roadMPerS;
    // Wheels that pull creep and hold; only beyond the creep at which they grip best does friction fall, and drive a squeal.
    const rim = speed + record.slipMPerS;
    const fastest = Math.max(speed < 0 ? -speed : speed, rim < 0 ? -rim : rim);
    const creep = bestCreepRatio * fastest;
    const whole = record.slipMPerS;
    const slip = whole > creep ? whole - creep : whole < -creep ? whole + creep : 0;
    if (speed !== 0 || this.lastMPerS !== 0) {
      // The rows before it stood.
      if (!this.isRolling) this.speedMPerS.fill(0);
      this.isRolling = true;
    }
    if (slip !== 0 || this.lastSlipMPerS !== 0) {
      if (!this.isSlipping) this.slipMPerS.fill(0);
      this.isSlipping = true;
    }
    if (this.isRolling) lead(this.speedMPerS, from, samplesPerRow, this.lastMPerS, speed);
    if (this.isSlipping) lead(this.slipMPerS, from, samplesPerRow, this.lastSlipMPerS, slip);
    this.lastMPerS = speed;
    this.lastSlipMPerS = slip;
    if (this.isRolling || this.isSlipping) this.isIdle = false;
    if (joints === null) return;
    joints.roadM = record.roadM;
    joints.integrate();
    if (joints.crossingCount > 0) this.cross(joints, from, speed < 0 ? -speed : speed);
  }

  process(): void {
    const { pressurePa, rolledPa, wheel, rail, squeal } = this;
    const frames = pressurePa.length;
    this.isIdle = !this.isRolling && !this.isSlipping && squeal.isIdle && wheel.isIdle && rail.isIdle;
    if (this.isRolling) {
      // Sought only where it has not been playing on, so that its steps stay where they are.
      if (this.nextSampleIndex !== this.rolledSampleIndex) this.rolling.setNextSampleIndex(this.nextSampleIndex);
      this.rolledSampleIndex = this.nextSampleIndex + frames;
      this.rolling.process(this.speedMPerS, rolledPa, frames);
      pressurePa.set(rolledPa);
    } else pressurePa.fill(0);
    // What rings on slips no more.
    if (!this.isSlipping && !squeal.isIdle) this.slipMPerS.fill(0);
    if (this.isSlipping || !squeal.isIdle) squeal.process(this.slipMPerS, pressurePa, frames);
    wheel.process(pressurePa);
    rail.process(pressurePa);
  }

  private cross(joints: RailJoints, from: number, speedMPerS: number): void {
    for (let i = 0; i < joints.crossingCount; i++) {
      const differs = 1 + jointScatterRatio * this.jointNoise.uniformAt(joints.crossingJoint[i]!);
      const impact = speedMPerS * this.impactRatio * differs;
      const momentum = this.struckKg * impact;
      const at = from + this.sampleRateHz * joints.crossingS[i]!;
      this.wheel.strike(0, at, impact, momentum);
      this.rail.strike(0, at, impact, momentum);
    }
    this.isIdle = false;
  }
}

// In a straight line over a row.
function lead(values: Float64Array, from: number, count: number, before: number, after: number): void {
  const step = (after - before) / count;
  for (let i = 0; i < count; i++) values[from + i] = before + step * i;
}
