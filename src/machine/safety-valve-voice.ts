import { cbrt } from "../quantities/portable-maths.js";
import { NoiseStream } from "../quantities/random.js";
import { JetNoise } from "../sound/jet-noise.js";
import { ShockNoise } from "../sound/shock-noise.js";
import { noiseStreams } from "./noise-streams.js";
import { positive, RowVoice } from "./row-voice.js";
import { gasOf, roundBoreM } from "./steam-jets.js";
import type { VoiceMaking } from "./voice.js";

// Full lift of its bore, for a spring valve of the locomotive kind. [common practice: 3 mm on a 75 mm seat]
const liftRatio = 1 / 24;
// Beside a jet that points up, less is heard than all round. [source: vents at 90 degrees, some 7 dB less at the higher frequencies: Bies & Hansen, Engineering Noise Control, from memory]
const sideRatio = 0.2;
// The smallest gap that a feather of steam comes through, of the full one: rough seats. [common practice]
const leastGapRatio = 0.02;
// A change of the gap by this share is followed. [common practice]
const nearRatio = 0.03;

const mass = 0;
const speed = 1;
const mach = 2;

/**
 * Safety valve: a sheet of steam from a ring as wide as the valve has lifted, which closes to one stream above it. The
 * feather before it lifts is the thinnest sheet, all sibilance; as it lifts it gains flow and depth together, as fast as it
 * lifts.
 */
export class SafetyValveVoice extends RowVoice {
  private readonly jet: JetNoise;
  private readonly shocks: ShockNoise;
  private readonly setting: {
    boreM: number;
    readonly distanceM: number;
    readonly airDensityKgPerM3: number;
    readonly airSoundSpeedMPerS: number;
  };
  private readonly shockPa: Float64Array;
  private readonly fullGapM: number;
  private readonly streamM: number;
  private readonly soundPerK: number;
  private readonly coolingRatio: number;
  private liftNowRatio = 0.5;
  private shockGain = 0.5;

  constructor(private readonly making: VoiceMaking) {
    super("safety-valve", making, 3, 1);
    const { sampleRateHz, seed, noisePeriod, distanceM, airDensityKgPerM3, airSoundSpeedMPerS } = making;
    const areaM2 = making.description.plant?.safetyValve?.areaM2 ?? 0;
    // Area of the ring: pi x bore x lift.
    const seatM = Math.sqrt(areaM2 / (Math.PI * liftRatio));
    this.fullGapM = liftRatio * seatM;
    this.streamM = roundBoreM(areaM2);
    this.setting = { boreM: 0.01, distanceM, airDensityKgPerM3, airSoundSpeedMPerS };
    this.jet = new JetNoise(sampleRateHz, new NoiseStream(seed, noiseStreams.safety, noisePeriod), this.setting);
    const shockNoise = new NoiseStream(seed, noiseStreams.safety + 1, noisePeriod);
    this.shocks = new ShockNoise(sampleRateHz, shockNoise, this.setting);
    this.shockPa = new Float64Array(this.chunkFrames);
    const gas = gasOf(making);
    this.soundPerK = gas.isentropicExponent * gas.gasJPerKgK;
    this.coolingRatio = 0.5 * (gas.isentropicExponent - 1);
    this.silence();
  }

  protected override read(at: number): void {
    const { rows, soundPerK, coolingRatio } = this;
    const { record, description } = this.making;
    rows[at + mass] = positive(record.safetyKgPerS);
    const velocity = positive(record.safetyMPerS);
    const boilerK = positive(record.boilerK);
    const restK = boilerK > 0 ? boilerK : description.boiler.temperatureK;
    rows[at + speed] = velocity;
    // As of every jet.
    const square = velocity * velocity;
    const left = soundPerK * restK - coolingRatio * square;
    rows[at + mach] = 25 * left > square ? Math.sqrt(square / left) : 5;
  }

  override isStill(): boolean {
    const { record } = this.making;
    return !(record.safetyKgPerS > 0 || record.safetyMPerS > 0);
  }

  protected override make(): void {
    const { jet, shocks, audio, pressurePa, shockPa, chunkFrames } = this;
    this.followLift();
    this.standAtOnce(speed);
    this.standAtOnce(mach);
    if (this.isSeeking) jet.setNextSampleIndex(this.sampleIndex);
    if (this.isSeeking) shocks.setNextSampleIndex(this.sampleIndex);
    jet.process(audio[mass]!, audio[speed]!, pressurePa, chunkFrames);
    shocks.process(audio[speed]!, audio[mach]!, shockPa, chunkFrames);
    const flow = audio[mass]!;
    const gain = Math.sqrt(sideRatio);
    const { shockGain } = this;
    for (let i = 0; i < chunkFrames; i++) {
      pressurePa[i] = flow[i]! > 0 ? gain * (pressurePa[i]! + shockGain * shockPa[i]!) : 0;
    }
  }

  protected override silence(): void {
    this.jet.reset();
    this.shocks.reset();
    this.liftNowRatio = this.shockGain = 0;
  }

  // Width of the eddies that are heard: between that of the sheet and that of the stream it closes to, nearer to this one.
  private followLift(): void {
    const lift = Math.min(1, Math.max(leastGapRatio, positive(this.making.record.safetyLiftRatio)));
    if (Math.abs(lift - this.liftNowRatio) < nearRatio * this.liftNowRatio) return;
    this.liftNowRatio = lift;
    const gapM = lift * this.fullGapM;
    const streamM = Math.sqrt(lift) * this.streamM;
    this.setting.boreM = Math.min(5, Math.max(1e-4, cbrt(gapM * streamM * streamM)));
    // Power of the cells as the area of the stream, not of the round mouth with their width.
    this.shockGain = streamM / this.setting.boreM;
    this.jet.setJet(this.setting);
    this.shocks.setJet(this.setting);
  }
}
