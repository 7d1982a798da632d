import type { NoiseStream } from "../quantities/random.js";
import { UNIFORM_TO_UNIT_VARIANCE } from "../quantities/random.js";
import type { ColourSection } from "./noise-colour.js";
import { colourIntegral, NoiseColour } from "./noise-colour.js";
import { requireSampleRateHz, requireWithin } from "./setting-range.js";

/** Speed to which levels of rolling refer, 80 km/h. [common practice: the pass-by speed of goods stock] */
export const ROLLING_REFERENCE_M_PER_S = 80 / 3.6;

/** Wavelength of roughness whose passing makes the loudest band. [common practice: 30 mm, 0.7 kHz at 80 km/h; Thompson, Railway Noise and Vibration, 2009, 2, from memory] */
export const ROLLING_WAVELENGTH_M = 0.03;

// Multiples of speed over wavelength: roughness grows with wavelength and iron answers more at high frequencies, so that the
// middle is flat over two octaves and both sides fall. [common practice]
const ROLLING: readonly ColourSection[] = [
  { zeroRatio: 0, poleRatio: 0.4 },
  { zeroRatio: Infinity, poleRatio: 1.2 },
  { zeroRatio: Infinity, poleRatio: 2.5 },
];
const BAND_INTEGRAL = colourIntegral(ROLLING);

// The colour follows the speed in steps of this many samples, counted from sample 0; the level follows every sample.
const SAMPLES_PER_STEP = 16;
const CHUNK_SAMPLES = 256;
// Below this speed nothing rolls that could be heard. [common practice]
const LEAST_M_PER_S = 0.01;

/**
 * Wheels on rails, or on a road: noise made by the roughness that they run over. Its pressure goes with speed to the power of
 * 1.5, 9 dB for a doubling (30 log v), and its colour moves with the speed, as the same roughness passes faster. What lies
 * beyond half the sample rate is left out. Standing still it is silent. [source: Thompson, Railway Noise and Vibration, 2009,
 * 1: 30 log v for rolling noise, from memory]
 *
 * Sample n uses the noise at index n of its stream: `setNextSampleIndex` seeks, and a loop repeats by seeking.
 */
export class RollingNoise {
  /** The noise stands at the speed that makes it. */
  readonly delaySamples = 0;
  private readonly sampleRateHz: number;
  private readonly colour: NoiseColour;
  private readonly white = new Float64Array(CHUNK_SAMPLES);
  private levelPa = 0.5;
  private nextSampleIndex = 0;
  private samplesToStep = 0;
  private followedMPerS = 0.5;
  private whiteGain = 0.5;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a level as `setLevel` refuses. */
  constructor(
    sampleRateHz: number,
    private readonly noise: NoiseStream,
    levelPa: number,
  ) {
    this.sampleRateHz = requireSampleRateHz("RollingNoise", sampleRateHz);
    this.colour = new NoiseColour(sampleRateHz, ROLLING);
    this.setLevel(levelPa);
    this.reset();
  }

  /** Settings only: rms pressure at the listener at 80 km/h, over all frequencies, 0 to 1000 Pa. @throws RangeError outside. */
  setLevel(levelPa: number): void {
    requireWithin("RollingNoise", "levelPa", levelPa, 0, 1000, " Pa");
    this.levelPa = levelPa;
  }

  /** State only: back to sample 0. */
  reset(): void {
    this.colour.reset();
    this.followedMPerS = 0;
    this.setNextSampleIndex(0);
  }

  /** Position in the noise of the next sample, a whole number; the filter keeps its state. */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
    this.samplesToStep = 0;
  }

  /** Speed along the rails in m/s, either way, to sound pressure in Pa. */
  process(speedMPerS: Float64Array, pressurePa: Float64Array, frameCount: number): void {
    for (let start = 0; start < frameCount; start += CHUNK_SAMPLES) {
      const count = Math.min(CHUNK_SAMPLES, frameCount - start);
      this.noise.fill(this.nextSampleIndex, this.white, count);
      let done = 0;
      while (done < count) {
        if (this.samplesToStep === 0) {
          this.follow(speedMPerS, start + done);
          this.samplesToStep = this.noise.samplesToStep(this.nextSampleIndex, SAMPLES_PER_STEP);
        }
        const run = Math.min(this.samplesToStep, count - done);
        this.colour.process(this.white, done, run);
        this.shape(speedMPerS, pressurePa, start + done, done, run);
        this.samplesToStep -= run;
        this.nextSampleIndex += run;
        done += run;
      }
    }
  }

  // Takes array and index: a number handed over by itself would be allocated.
  private follow(speedMPerS: Float64Array, index: number): void {
    const signed = speedMPerS[index]!;
    const speed = Math.max(LEAST_M_PER_S, signed < 0 ? -signed : signed);
    if (speed === this.followedMPerS) return;
    this.followedMPerS = speed;
    const baseHz = speed / ROLLING_WAVELENGTH_M;
    this.colour.baseHz = baseHz;
    this.colour.follow();
    this.whiteGain = UNIFORM_TO_UNIT_VARIANCE * Math.sqrt(this.sampleRateHz / (2 * baseHz * BAND_INTEGRAL));
  }

  private shape(speed: Float64Array, output: Float64Array, offset: number, whiteOffset: number, count: number): void {
    const { white } = this;
    const level = this.levelPa * this.whiteGain;
    const perReference = 1 / ROLLING_REFERENCE_M_PER_S;
    for (let i = 0; i < count; i++) {
      const signed = speed[offset + i]! * perReference;
      const share = signed < 0 ? -signed : signed;
      output[offset + i] = level * share * Math.sqrt(share) * white[whiteOffset + i]!;
    }
  }
}
