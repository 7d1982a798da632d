import type { NoiseStream } from "../quantities/random.js";
import { UNIFORM_TO_UNIT_VARIANCE } from "../quantities/random.js";
import type { ListenerAir } from "./monopole.js";
import type { ColourSection } from "./noise-colour.js";
import { colourIntegral, NoiseColour } from "./noise-colour.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";

/** Share of a fire's heat that becomes sound: open turbulent flames have 1e-8 to 1e-6 of it, a bed of coal the least. [source: Strahle, Prog. Energy Combust. Sci. 4 (1978) 157, as flame noise papers quote him; from memory] */
export const FLAME_EFFICIENCY = 1e-8;

// Peak of the roar of a flame of 100 kW. It falls as the sixth root of the heat: flames are as long as the cube root of it,
// as fast as the root of their length, and roar at their speed over their length. [source: a few hundred hertz, common
// practice; peak at a Strouhal number of flame length and speed: Rajaram, Characteristics of sound radiation from turbulent premixed flames, 2007]
const ROAR_PEAK_HZ = 320;

// Density of the power: rises with f^2 up to the peak, as the far field of a swelling source does, falls at first with some
// f^-2, an octave and more beyond with f^-4: slopes between 2 and 3.5 are measured.
// [source: Rajaram, Characteristics of sound radiation from turbulent premixed flames, 2007, f^2 at low frequencies]
const ROAR: readonly ColourSection[] = [
  { zeroRatio: 0, poleRatio: 0.7 },
  { zeroRatio: Infinity, poleRatio: 1.4 },
  { zeroRatio: Infinity, poleRatio: 3.5 },
];
const ROAR_INTEGRAL = colourIntegral(ROAR);
const REFERENCE_W = 100_000;
const CHUNK_SAMPLES = 128;
const SAMPLES_PER_STEP = 16;
const SAMPLES_PER_RENEWAL = 1024;
// A heat that has changed by less than this keeps its corners: they go by its sixth root. [common practice]
const NEAR_HIGH = 1.05;
const NEAR_LOW = 0.95;

/** What a fire is heard through. */
export interface RoarSetting extends ListenerAir {
  /** Sound speed of the air outside, 100 to 1000 m/s. */
  readonly airSoundSpeedMPerS: number;
  /** Share of the sound power that gets out of the firebox, 0 to 1. */
  readonly outRatio: number;
}

/**
 * Roar of a fire: turbulent flames swell and shrink as a simple source, with a sound power in proportion to the heat let
 * loose: ten times the fire is 10 dB louder, and lower by half an octave. What lies beyond half the sample rate is left out.
 *
 * Sample n uses the noise at index n of its stream: `setNextSampleIndex` seeks.
 *
 * @example
 * const roar = new CombustionRoar(48000, new NoiseStream(7, 5), { ...air, distanceM: 2, outRatio: 0.1 });
 * roar.process(heatW, pressurePa, 128);
 */
export class CombustionRoar {
  /** The roar stands at the heat that makes it. */
  readonly delaySamples = 0;
  private readonly sampleRateHz: number;
  private readonly colour: NoiseColour;
  private readonly white = new Float64Array(CHUNK_SAMPLES);
  private readonly perHeat: number;
  private whiteGain = 0.5;
  private nextSampleIndex = 0;
  private samplesToStep = 0;
  private followedW = 0.5;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a setting outside its range. */
  constructor(
    sampleRateHz: number,
    private readonly noise: NoiseStream,
    setting: RoarSetting,
  ) {
    const where = "CombustionRoar";
    this.sampleRateHz = requireSampleRateHz(where, sampleRateHz);
    const distanceM = requireWithin(where, "distanceM", setting.distanceM, 0.1, 1e4, " m");
    const density = requireWithin(where, "airDensityKgPerM3", setting.airDensityKgPerM3, 0.1, 10, " kg/m3");
    const speed = requireWithin(where, "airSoundSpeedMPerS", setting.airSoundSpeedMPerS, 100, 1000, " m/s");
    const outRatio = requireWithin(where, "outRatio", setting.outRatio, 0, 1, "");
    this.perHeat = (FLAME_EFFICIENCY * outRatio * density * speed) / (4 * Math.PI * distanceM * distanceM);
    this.colour = new NoiseColour(sampleRateHz, ROAR);
    this.reset();
  }

  /** State only: silence, at sample 0. */
  reset(): void {
    this.colour.reset();
    this.setNextSampleIndex(0);
    this.colour.baseHz = ROAR_PEAK_HZ;
    this.colour.follow();
    this.whiteGain = 0;
  }

  /** Position in the noise of the next sample, a whole number; the filter keeps its state. */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
    this.samplesToStep = 0;
    this.followedW = 0;
  }

  /** Heat let loose in W to sound pressure in Pa. `pressurePa` may be `heatW`. */
  process(heatW: Float64Array, pressurePa: Float64Array, frameCount: number): void {
    const { white, colour, perHeat } = this;
    for (let start = 0; start < frameCount; start += CHUNK_SAMPLES) {
      const count = Math.min(CHUNK_SAMPLES, frameCount - start);
      this.noise.fill(this.nextSampleIndex, white, count);
      let done = 0;
      while (done < count) {
        if (this.samplesToStep === 0) {
          const heat = heatW[start + done]!;
          const isNear = heat < NEAR_HIGH * this.followedW && heat > NEAR_LOW * this.followedW;
          // Where a longer stretch begins all is found anew, so that what repeats does so exactly.
          const isAnew = this.noise.samplesToStep(this.nextSampleIndex, SAMPLES_PER_RENEWAL) === SAMPLES_PER_RENEWAL;
          // A fire that is just being lit keeps its corners until it burns.
          if (heat > 0 && (!isNear || isAnew)) this.follow(heatW, start + done);
          this.samplesToStep = this.noise.samplesToStep(this.nextSampleIndex, SAMPLES_PER_STEP);
        }
        const run = Math.min(this.samplesToStep, count - done);
        colour.process(white, done, run);
        const { whiteGain } = this;
        for (let i = done; i < done + run; i++) {
          const heat = heatW[start + i]!;
          pressurePa[start + i] = heat > 0 ? Math.sqrt(perHeat * heat) * whiteGain * white[i]! : 0;
        }
        this.samplesToStep -= run;
        this.nextSampleIndex += run;
        done += run;
      }
    }
  }

  // Takes array and index: a number handed over by itself would be allocated.
  private follow(heatW: Float64Array, index: number): void {
    const heat = Math.min(1e9, Math.max(1, heatW[index]!));
    this.followedW = heatW[index]!;
    // The sixth root by roots of roots, 1/8 + 1/32 + 1/128 + 1/512, for a function would hand its number over on the heap.
    const eighth = Math.sqrt(Math.sqrt(Math.sqrt(REFERENCE_W / heat)));
    const second = Math.sqrt(Math.sqrt(eighth));
    const third = Math.sqrt(Math.sqrt(second));
    const peakHz = ROAR_PEAK_HZ * eighth * second * third * Math.sqrt(Math.sqrt(third));
    this.colour.baseHz = peakHz;
    this.colour.follow();
    this.whiteGain = UNIFORM_TO_UNIT_VARIANCE * Math.sqrt(this.sampleRateHz / (2 * peakHz * ROAR_INTEGRAL));
  }
}
