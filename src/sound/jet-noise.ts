import type { NoiseStream } from "../quantities/random.js";
import { UNIFORM_TO_UNIT_VARIANCE } from "../quantities/random.js";
import type { ColourSection } from "./noise-colour.js";
import { colourIntegral, NoiseColour } from "./noise-colour.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";
import type { ListenerAir } from "./monopole.js";

/** Share of the jet's power that becomes sound at a jet speed equal to the sound speed of the air. [source: handbook form of Lighthill's law (Proc. R. Soc. A 222, 1954): 3e-5 to 1e-4, from memory] */
export const JET_EFFICIENCY_AT_MACH_ONE = 1e-4;

/** The share that no jet passes. [source: IEC 60534-8-3:2010, regime V of its examples, 2.4e-3; API 521 implies 2.8e-3 at a pressure ratio of 3] */
export const GREATEST_JET_EFFICIENCY = 2.4e-3;

/** Peak frequency times bore over jet speed. [source: IEC 60534-8-3:2010, Strouhal number 0.2] */
export const JET_PEAK_STROUHAL = 0.2;

// Colour in multiples of the peak frequency, fitted to the spectrum of IEC 60534-8-3:2010
// -10 lg{[1 + (x/2)^2.5][1 + (1/2x)^1.7]} per third of an octave: within 0.4 dB for x = f / fPeak of 0.004 to 10, 1.3 dB
// low at 20, 2.5 dB high at 0.001. [tuned: least squares against that formula, 2026-11-25]
const HAYSTACK: readonly ColourSection[] = [
  { zeroRatio: 0.005533136, poleRatio: 0.014013105 },
  { zeroRatio: 0.066276185, poleRatio: 0.13865345 },
  { zeroRatio: Infinity, poleRatio: 1.11094562 },
  { zeroRatio: Infinity, poleRatio: 3.52279649 },
];
const BAND_INTEGRAL = colourIntegral(HAYSTACK);

// The corner follows the flow in steps of this many samples, counted from sample 0; the level follows every sample.
const SAMPLES_PER_STEP = 16;
const SAMPLES_PER_RENEWAL = 1024;
// A velocity that has changed by less than this keeps its corners: a tenth of a decibel. [common practice]
const NEAR_HIGH = 1.005;
const NEAR_LOW = 0.995;
const CHUNK_SAMPLES = 256;
// Within a step the level follows the velocity up to so many times that of the corner: a jet that starts from nothing waits
// for the next step, or noise shaped for no flow would swell to a click. [common practice: an octave]
const GREATEST_RISE = 2;
// Below this peak the jet is far below hearing; a corner of 0 Hz would have no noise to shape.
const LEAST_PEAK_HZ = 1;

/** A free jet: its mouth and where it is heard from. */
export interface JetNoiseSetting extends ListenerAir {
  /** Bore of the mouth, 0.1 mm to 5 m. */
  readonly boreM: number;
  /** Sound speed of the air outside, 100 to 1000 m/s. */
  readonly airSoundSpeedMPerS: number;
}

/** @throws RangeError, in the name of `where`, for a jet outside the ranges of its setting */
export function requireJet(where: string, setting: JetNoiseSetting): void {
  requireWithin(where, "boreM", setting.boreM, 1e-4, 5, " m");
  requireWithin(where, "distanceM", setting.distanceM, 0.1, 1e4, " m");
  requireWithin(where, "airDensityKgPerM3", setting.airDensityKgPerM3, 0.1, 10, " kg/m3");
  requireWithin(where, "airSoundSpeedMPerS", setting.airSoundSpeedMPerS, 100, 1000, " m/s");
}

/**
 * Sound power of a free jet, W: that of `JetNoise`, over all frequencies.
 *
 * @param velocityMPerS of the fully expanded jet; it and the mass flow are positive outwards, otherwise 0
 * @param airSoundSpeedMPerS of the air outside
 */
export function jetSoundPowerW(massFlowKgPerS: number, velocityMPerS: number, airSoundSpeedMPerS: number): number {
  if (!(massFlowKgPerS > 0 && velocityMPerS > 0)) return 0;
  const machRatio = velocityMPerS / airSoundSpeedMPerS;
  const efficiency = JET_EFFICIENCY_AT_MACH_ONE * fifthPower(machRatio) * levellingRatio(machRatio);
  return 0.5 * efficiency * massFlowKgPerS * velocityMPerS * velocityMPerS;
}

/**
 * Hiss of a free jet of gas by mixing: sound power eta m U^2 / 2 with eta = 1e-4 (U/c)^5, levelling off at 2.4e-3, spread
 * over a haystack spectrum that peaks at 0.2 U / bore, heard in a free field. Doubling the speed of the same mouth adds 24 dB.
 * The velocity is that of the fully expanded jet (`JetExpansion`); what the shock cells of a choked jet add is `ShockNoise`.
 * What lies beyond half the sample rate is left out, not folded in: of a jet finer than a hair, whose peak is far beyond,
 * the low side of the haystack remains. Directivity and screech are left out. Gas drawn in (negative flow) makes no noise
 * here.
 *
 * Sample n uses the noise at index n of its stream: `setNextSampleIndex` seeks, and a loop repeats by seeking.
 */
export class JetNoise {
  /** The hiss stands at the flow that makes it. */
  readonly delaySamples = 0;
  private readonly sampleRateHz: number;
  private readonly colour: NoiseColour;
  private readonly white = new Float64Array(CHUNK_SAMPLES);
  private peakPerVelocity = 0;
  private machPerVelocity = 0;
  private levelFactor = 0;
  private nextSampleIndex = 0;
  private samplesToStep = 0;
  private followedMPerS = 0;
  private followedPeak = 0;
  // Held between steps.
  private whiteGain = 0.5;
  private levelling = 0.5;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a setting outside its range. */
  constructor(
    sampleRateHz: number,
    private readonly noise: NoiseStream,
    setting: JetNoiseSetting,
  ) {
    this.sampleRateHz = requireSampleRateHz("JetNoise", sampleRateHz);
    this.colour = new NoiseColour(sampleRateHz, HAYSTACK);
    this.setJet(setting);
  }

  /** Settings only: mouth, air and distance together. @throws RangeError outside the ranges of `JetNoiseSetting`. */
  setJet(setting: JetNoiseSetting): void {
    requireJet("JetNoise", setting);
    const { boreM, distanceM, airDensityKgPerM3: density, airSoundSpeedMPerS: soundSpeed } = setting;
    this.peakPerVelocity = JET_PEAK_STROUHAL / boreM;
    this.machPerVelocity = 1 / soundSpeed;
    // rms pressure = sqrt(W rho c / (4 pi r^2)) = levelFactor sqrt(m U^7)
    const intensityFactor = (0.5 * JET_EFFICIENCY_AT_MACH_ONE * density * soundSpeed) / fifthPower(soundSpeed);
    this.levelFactor = Math.sqrt(intensityFactor / (4 * Math.PI * distanceM * distanceM));
  }

  /** State only: back to sample 0. */
  reset(): void {
    this.colour.reset();
    this.setNextSampleIndex(0);
  }

  /** Position in the noise of the next sample, a whole number; the filter keeps its state, for some 10 / (peak frequency). */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
    this.samplesToStep = 0;
    this.followedMPerS = 0;
  }

  /** Mass flow in kg/s and jet velocity in m/s, both positive outwards, to sound pressure in Pa. */
  process(
    massFlowKgPerS: Float64Array,
    velocityMPerS: Float64Array,
    pressurePa: Float64Array,
    frameCount: number,
  ): void {
    for (let start = 0; start < frameCount; start += CHUNK_SAMPLES) {
      const count = Math.min(CHUNK_SAMPLES, frameCount - start);
      this.noise.fill(this.nextSampleIndex, this.white, count);
      let done = 0;
      while (done < count) {
        if (this.samplesToStep === 0) {
          const velocity = velocityMPerS[start + done]!;
          const followed = this.followedMPerS;
          const isSameMouth = this.peakPerVelocity === this.followedPeak;
          const isNear = isSameMouth && velocity < NEAR_HIGH * followed && velocity > NEAR_LOW * followed;
          // Where a longer stretch begins all is found anew, so that what repeats does so exactly.
          const isAnew = this.noise.samplesToStep(this.nextSampleIndex, SAMPLES_PER_RENEWAL) === SAMPLES_PER_RENEWAL;
          if (!isNear || isAnew) this.followFlow(velocityMPerS, start + done);
          // Steps stand on multiples of their length, wherever blocks or seeks begin.
          this.samplesToStep = this.noise.samplesToStep(this.nextSampleIndex, SAMPLES_PER_STEP);
        }
        const run = Math.min(this.samplesToStep, count - done);
        this.shape(massFlowKgPerS, velocityMPerS, pressurePa, start + done, done, run);
        this.samplesToStep -= run;
        this.nextSampleIndex += run;
        done += run;
      }
    }
  }

  // Takes array and index: a number handed over by itself would be allocated.
  private followFlow(velocityMPerS: Float64Array, index: number): void {
    const velocity = Math.max(0, velocityMPerS[index]!);
    this.followedMPerS = velocity;
    this.followedPeak = this.peakPerVelocity;
    const peakHz = Math.max(LEAST_PEAK_HZ, velocity * this.peakPerVelocity);
    this.colour.baseHz = peakHz;
    this.colour.follow();
    // Unit variance over all frequencies; the share beyond half the sample rate never comes into being.
    this.whiteGain = UNIFORM_TO_UNIT_VARIANCE * Math.sqrt(this.sampleRateHz / (2 * peakHz * BAND_INTEGRAL));
    // As `levellingRatio`, written out: a number handed over would be allocated.
    const mach = velocity * this.machPerVelocity;
    const square = mach * mach;
    const share = (JET_EFFICIENCY_AT_MACH_ONE / GREATEST_JET_EFFICIENCY) * square * square * mach;
    this.levelling = 1 / Math.sqrt(Math.sqrt(1 + share * share));
  }

  private shape(
    massFlow: Float64Array,
    velocity: Float64Array,
    output: Float64Array,
    offset: number,
    whiteOffset: number,
    count: number,
  ): void {
    const white = this.white;
    this.colour.process(white, whiteOffset, count);
    const level = this.levelFactor * this.levelling * this.whiteGain;
    const most = GREATEST_RISE * this.followedMPerS;
    for (let i = 0; i < count; i++) {
      const wanted = velocity[offset + i]!;
      const u = wanted < most ? wanted : most;
      const m = massFlow[offset + i]!;
      output[offset + i] = u > 0 && m > 0 ? level * u * u * u * Math.sqrt(m * u) * white[whiteOffset + i]! : 0;
    }
  }
}

// How far a fast jet falls short of the fifth power: 1 when slow.
function levellingRatio(machRatio: number): number {
  const share = (JET_EFFICIENCY_AT_MACH_ONE / GREATEST_JET_EFFICIENCY) * fifthPower(machRatio);
  return 1 / Math.sqrt(1 + share * share);
}

function fifthPower(x: number): number {
  return x * x * x * x * x;
}
