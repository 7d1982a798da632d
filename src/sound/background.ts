import { REFERENCE_SOUND_PRESSURE_PA } from "../quantities/constants.js";
import { exp } from "../quantities/portable-maths.js";
import type { NoiseStream } from "../quantities/random.js";
import { UNIFORM_TO_UNIT_VARIANCE } from "../quantities/random.js";
import type { ColourSection } from "./noise-colour.js";
import { NoiseColour } from "./noise-colour.js";
import { requireWithin } from "./setting-range.js";

/**
 * Colour of open-air quiet, corners in Hz: octave bands fall by 5 dB an octave from 63 to 500 Hz (wind, far traffic and
 * water) and by 2 to 3 dB above 1 kHz (leaves, insects, the air itself). Re the band at 1 kHz: 31.5 Hz 21.8, 63 Hz 18.4,
 * 125 Hz 13.2, 250 Hz 7.7, 500 Hz 3.4, 2 kHz -2.6, 4 kHz -4.5, 8 kHz -6.2, 16 kHz -8.4 dB. [common practice]
 */
export const OPEN_AIR_COLOUR: readonly ColourSection[] = [
  { zeroRatio: Infinity, poleRatio: 16 },
  { zeroRatio: 210, poleRatio: 75 },
  { zeroRatio: 3600, poleRatio: 6000 },
];

/** Width in Hz of a flat band at the colour's gain at 0 Hz that has the same A-weighted power. [source: integral of that colour under the A weighting of IEC 61672-1:2013, computed] */
export const OPEN_AIR_A_WEIGHTED_HZ = 0.1193747;

// ln 10 / 20 [source: exact, definition of the decibel]
const NEPERS_PER_DB = 0.11512925464970228;

/**
 * The listener's surroundings where no machine runs: noise of the colour of open-air quiet at a steady, stated A-weighted
 * level. No birds, no gusts, no tones. What lies beyond half the sample rate is left out: at 44.1 kHz and above that is under
 * 0.01 dB of the level. Two of them on two streams make a wide pair.
 *
 * Sample n uses the noise at index n of its stream: `setNextSampleIndex` seeks.
 *
 * @example
 * const quiet = new Background(48000, new NoiseStream(7, 90), 30); // 30 dB(A), a still evening in the country
 * quiet.process(pressurePa, 128);
 */
export class Background {
  /** Nothing is waited for. */
  readonly delaySamples = 0;
  private readonly colour: NoiseColour;
  private readonly gainAtReference: number;
  private gain = 0.5;
  private nextSampleIndex = 0;

  /** @throws RangeError for a rate outside 8 to 768 kHz or a level outside its range. */
  constructor(
    sampleRateHz: number,
    private readonly noise: NoiseStream,
    aWeightedLevelDb: number,
  ) {
    this.colour = new NoiseColour(sampleRateHz, OPEN_AIR_COLOUR);
    this.colour.baseHz = 1;
    this.colour.follow();
    // Unit variance spreads over half the sample rate.
    this.gainAtReference =
      UNIFORM_TO_UNIT_VARIANCE * REFERENCE_SOUND_PRESSURE_PA * Math.sqrt(sampleRateHz / (2 * OPEN_AIR_A_WEIGHTED_HZ));
    this.setLevel(aWeightedLevelDb);
  }

  /** Settings only. A-weighted sound pressure level re 20 uPa, -20 to 100 dB. @throws RangeError outside. */
  setLevel(aWeightedLevelDb: number): void {
    requireWithin("Background", "aWeightedLevelDb", aWeightedLevelDb, -20, 100, " dB");
    this.gain = this.gainAtReference * exp(NEPERS_PER_DB * aWeightedLevelDb);
  }

  /** State only: back to sample 0. */
  reset(): void {
    this.colour.reset();
    this.nextSampleIndex = 0;
  }

  /** Position in the noise of the next sample, a whole number; the filter keeps its state. */
  setNextSampleIndex(index: number): void {
    this.nextSampleIndex = index;
  }

  /** Fills `pressurePa` with sound pressure in Pa. */
  process(pressurePa: Float64Array, frameCount: number): void {
    this.noise.fill(this.nextSampleIndex, pressurePa, frameCount);
    this.nextSampleIndex += frameCount;
    const gain = this.gain;
    for (let i = 0; i < frameCount; i++) pressurePa[i] = gain * pressurePa[i]!;
    this.colour.process(pressurePa, 0, frameCount);
  }
}
