import type { NoiseStream } from "../quantities/random.js";
import { UNIFORM_TO_UNIT_VARIANCE } from "../quantities/random.js";
import { type JetNoiseSetting, requireJet } from "./jet-noise.js";
import type { ColourSection } from "./noise-colour.js";
import { NoiseColour } from "./noise-colour.js";
import { requireSampleRateHz } from "./setting-range.js";

/** Mean square of the sound pressure over (rho c^2)^2, times 4 pi r^2 / (mouth area) and over beta^4. [source: SAE ARP876 and NASA TM-83199 part 2 (Zorumski, 1982), chapter 8.5, equation 1, as public aircraft noise programs have it] */
export const SHOCK_STRENGTH = 1.92e-3;

/** Speed of the eddies over that of the jet. [source: Harper-Bourne & Fisher, AGARD CP-131, 1973, from memory] */
export const EDDY_SPEED_RATIO = 0.7;

/** Length of a shock cell over bore and sqrt(Mach number^2 - 1). [source: Harper-Bourne & Fisher, AGARD CP-131, 1973, from memory; 1.31 for the first cell by Prandtl and Pack] */
export const SHOCK_CELL_RATIO = 1.1;

// Density x^4 / (1 + x^2)^3 with x = sqrt 2 f / fPeak: greatest at the peak. Within 2.5 dB of the thirds of an octave of
// NASA TM-83199 part 2, chapter 8.5, table III, from 0.4 to 10 times the peak.
const CORNER: ColourSection = { zeroRatio: 0, poleRatio: Math.SQRT1_2 };
const HUMP: readonly ColourSection[] = [CORNER, CORNER, { zeroRatio: Infinity, poleRatio: Math.SQRT1_2 }];
// Integral of that density over f / fPeak, exact.
const HUMP_INTEGRAL = (Math.SQRT1_2 * 3 * Math.PI) / 16;

const SAMPLES_PER_STEP = 8;
const CHUNK_SAMPLES = 256;
// beta^2 from which on the cells count as of one length: they are too short to hear by far. Keeps the peak finite.
const LEAST_SQUARE = 1e-6;

/**
 * Noise of a choked jet's shock cells: where the fully expanded jet is faster than its own sound, eddies that pass the cells
 * radiate with an intensity of beta^4, beta^2 = Mj^2 - 1, and beta^2 from beta = 1 on, where a Mach disc stands in the jet.
 * The spectrum is a hump about Uc / (Ls (1 + Uc/c)), with Uc = 0.7 U and cells of Ls = 1.1 beta bore: the pitch that reaches a
 * listener behind the mouth; beside the jet it is higher. Nothing sounds at and below Mj = 1, and the level starts from 0
 * there. Jets less than a tenth warmer than the air outside are 2 dB quieter than this. Screech and directivity are left
 * out; so is what lies beyond half the sample rate.
 *
 * Sample n uses the noise at index n of its stream: `setNextSampleIndex` seeks.
 * [source: Harper-Bourne & Fisher, The noise from shock waves in supersonic jets, AGARD CP-131, 1973]
 *
 * @example
 * const shocks = new ShockNoise(48000, new NoiseStream(7, 4), { boreM: 0.05, distanceM: 30, airDensityKgPerM3: 1.2, airSoundSpeedMPerS: 343 });
 * shocks.process(jetMPerS, machNumber, pressurePa, 128); // from JetExpansion
 */
export class ShockNoise {
  /** The noise stands at the flow that makes it. */
  readonly delaySamples = 0;
  private readonly sampleRateHz: number;
  private readonly colour: NoiseColour;
  private readonly white = new Float64Array(CHUNK_SAMPLES);
  private cellFactor = 0.5;
  private slowing = 0.5;
  private levelFactor = 0.5;
  private whiteGain = 0.5;
  private nextSampleIndex = 0;
  private samplesToStep = 0;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a setting outside its range. */
  constructor(
    sampleRateHz: number,
    private readonly noise: NoiseStream,
    setting: JetNoiseSetting,
  ) {
    this.sampleRateHz = requireSampleRateHz("ShockNoise", sampleRateHz);
    this.colour = new NoiseColour(sampleRateHz, HUMP);
    this.setJet(setting);
  }

  /** Settings only: mouth, air and distance together. @throws RangeError outside the ranges of `JetNoiseSetting`. */
  setJet(setting: JetNoiseSetting): void {
    requireJet("ShockNoise", setting);
    const { boreM, distanceM, airDensityKgPerM3: density, airSoundSpeedMPerS: soundSpeed } = setting;
    this.cellFactor = EDDY_SPEED_RATIO / (SHOCK_CELL_RATIO * boreM);
    this.slowing = EDDY_SPEED_RATIO / soundSpeed;
    // sqrt(area / (4 pi r^2)) = bore / (4 r)
    this.levelFactor = (Math.sqrt(SHOCK_STRENGTH) * density * soundSpeed * soundSpeed * boreM) / (4 * distanceM);
  }

  /** State only: back to sample 0. */
  reset(): void {
    this.colour.reset();
    this.setNextSampleIndex(0);
  }

  /** Position in the noise of the next sample, a whole number; the filter keeps its state. */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
    this.samplesToStep = 0;
  }

  /** Speed in m/s, positive outwards, and Mach number of the fully expanded jet to sound pressure in Pa. */
  process(velocityMPerS: Float64Array, machNumber: Float64Array, pressurePa: Float64Array, frameCount: number): void {
    for (let start = 0; start < frameCount; start += CHUNK_SAMPLES) {
      const count = Math.min(CHUNK_SAMPLES, frameCount - start);
      let isFilled = false;
      let done = 0;
      while (done < count) {
        let at = start + done;
        if (!(machNumber[at]! > 1 && velocityMPerS[at]! > 0)) {
          do pressurePa[at++] = 0;
          while (at < start + count && !(machNumber[at]! > 1 && velocityMPerS[at]! > 0));
          this.samplesToStep = 0;
          this.nextSampleIndex += at - start - done;
          done = at - start;
          continue;
        }
        if (!isFilled) this.noise.fill(this.nextSampleIndex - done, this.white, count);
        isFilled = true;
        if (this.samplesToStep === 0) {
          this.followFlow(velocityMPerS, machNumber, at);
          // Steps end on multiples of their length, wherever blocks, seeks or shocks begin.
          this.samplesToStep = this.noise.samplesToStep(this.nextSampleIndex, SAMPLES_PER_STEP);
        }
        const most = Math.min(this.samplesToStep, count - done);
        let run = 1;
        while (run < most && machNumber[at + run]! > 1 && velocityMPerS[at + run]! > 0) run++;
        this.shape(machNumber, pressurePa, at, done, run);
        this.samplesToStep -= run;
        this.nextSampleIndex += run;
        done += run;
      }
    }
  }

  // Takes arrays and index: a number handed over by itself would be allocated.
  private followFlow(velocityMPerS: Float64Array, machNumber: Float64Array, index: number): void {
    const velocity = velocityMPerS[index]!;
    const mach = machNumber[index]!;
    const beta = Math.sqrt(Math.max(LEAST_SQUARE, mach * mach - 1));
    const peakHz = Math.max(1, (this.cellFactor * velocity) / (beta * (1 + this.slowing * velocity)));
    this.colour.baseHz = peakHz;
    this.colour.follow();
    this.whiteGain = UNIFORM_TO_UNIT_VARIANCE * Math.sqrt(this.sampleRateHz / (2 * peakHz * HUMP_INTEGRAL));
  }

  private shape(
    machNumber: Float64Array,
    output: Float64Array,
    offset: number,
    whiteOffset: number,
    count: number,
  ): void {
    const { white, whiteGain, levelFactor } = this;
    for (let i = whiteOffset; i < whiteOffset + count; i++) white[i] = whiteGain * white[i]!;
    this.colour.process(white, whiteOffset, count);
    for (let i = 0; i < count; i++) {
      const mach = machNumber[offset + i]!;
      const square = mach * mach - 1;
      output[offset + i] = levelFactor * (square < 1 ? square : Math.sqrt(square)) * white[whiteOffset + i]!;
    }
  }
}
