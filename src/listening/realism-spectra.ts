import { cos, log2, sin } from "../quantities/portable-maths.js";
import { butterworthHighPass } from "./band-filter.js";
import { greatestIndex, PHASE_BIN_COUNT, type BeatPhase } from "./beat-phase.js";
import { powerDb } from "./decibels.js";
import { lineSlope } from "./polynomial-fit.js";
import { hannSymmetric, WindowedPower } from "./power-spectrum.js";
import type { SampleArray } from "./sample-array.js";
import { spectralPeaks, type SpectralPeak } from "./spectral-peaks.js";
import { filterZeroPhase } from "./zero-phase.js";

/** Windows of the centroid and of the slope, samples. [common practice: definition of the realism measures] */
export const CENTROID_WINDOW_SAMPLES = 1024;
/** Window of the slope, samples. [common practice: definition of the realism measures] */
export const SLOPE_WINDOW_SAMPLES = 4096;
/**
 * Corner of the high-pass before the centroid, and the frequency up to which it is taken, Hz. [common practice:
 * definition of the realism measures]
 */
export const CENTROID_BAND_HZ = [300, 8000] as const;
/** Range of the slope, Hz. [common practice: definition of the realism measures] */
export const SLOPE_BAND_HZ = [1000, 7500] as const;
/**
 * Where resonances are looked for, Hz, how far apart the bins are, and by how much they must stand out, dB. [common
 * practice: definition of the realism measures]
 */
export const RESONANCE_SEARCH = { lowHz: 100, highHz: 700, binHz: 10, leastProminenceDb: 3 } as const;

/** Spectral measures in and between the beats. */
export interface BeatSpectra {
  /** Centre of power of the windows in the beat and between beats, 300 Hz to 8 kHz, Hz. */
  readonly centroidInBeatHz: number;
  readonly centroidBetweenHz: number;
  /** Slope of the power spectrum in the beat, 1 to 7.5 kHz, straight line over log frequency, dB per octave. */
  readonly slopeDbPerOctave: number;
  /** Maxima of the spectrum in the beat between 100 and 700 Hz, in bins of 10 Hz, with 3 dB of prominence. */
  readonly resonances: SpectralPeak[];
}

/** Phase bins from the peak of the folded envelope, 0 to 99. */
type PhaseChoice = (bins: number) => boolean;

// Windows count by the phase of their middle. [common practice: definition of the realism measures]
const inBeat: PhaseChoice = (bins) => bins < 10 || bins > 90;
const betweenBeats: PhaseChoice = (bins) => bins >= 40 && bins <= 60;
const aboutBeat: PhaseChoice = (bins) => bins < 15 || bins > 85;

/** Measures the spectra of a recording; `folded` is the folded power of its 300-4000 Hz band. */
export function beatSpectra(
  samples: SampleArray,
  sampleRateHz: number,
  phase: BeatPhase,
  folded: Float64Array,
): BeatSpectra {
  const peakBin = greatestIndex(folded);
  const high = filterZeroPhase(butterworthHighPass(2, CENTROID_BAND_HZ[0], sampleRateHz), samples);
  const windowed = (signal: SampleArray, size: number, choice: PhaseChoice): Float64Array => {
    const transform = new WindowedPower(hannSymmetric(size));
    const sums = new Float64Array(size / 2 + 1);
    for (const from of windowStarts(signal.length, size, phase, peakBin, choice)) transform.addTo(sums, signal, from);
    return sums;
  };
  const centroid = (choice: PhaseChoice): number =>
    centroidHz(windowed(high, CENTROID_WINDOW_SAMPLES, choice), sampleRateHz / CENTROID_WINDOW_SAMPLES);
  return {
    centroidInBeatHz: centroid(inBeat),
    centroidBetweenHz: centroid(betweenBeats),
    slopeDbPerOctave: slope(windowed(samples, SLOPE_WINDOW_SAMPLES, aboutBeat), sampleRateHz),
    resonances: resonancesOf(samples, sampleRateHz, phase, peakBin),
  };
}

/** Starts of the half-overlapping windows whose middle lies between the first and last beat at a chosen phase. */
function windowStarts(length: number, size: number, phase: BeatPhase, peakBin: number, choice: PhaseChoice): number[] {
  const starts: number[] = [];
  const half = Math.floor(size / 2);
  for (let from = 0; from < length - size; from += half) {
    const middle = from + half;
    if (middle < phase.firstSample || middle >= phase.endSample) continue;
    const bin = phase.bins[middle - phase.firstSample]!;
    if (choice((bin - peakBin + PHASE_BIN_COUNT) % PHASE_BIN_COUNT)) starts.push(from);
  }
  return starts;
}

function centroidHz(powers: Float64Array, binHz: number): number {
  let [sum, moment] = [0, 0];
  for (let k = 0; k < powers.length && k * binHz < CENTROID_BAND_HZ[1]; k++) {
    sum += powers[k]!;
    moment += powers[k]! * k * binHz;
  }
  return moment / sum;
}

function slope(powers: Float64Array, sampleRateHz: number): number {
  const binHz = sampleRateHz / SLOPE_WINDOW_SAMPLES;
  const [octaves, levelsDb]: [number[], number[]] = [[], []];
  for (let k = 0; k < powers.length; k++) {
    const hz = k * binHz;
    if (!(hz > SLOPE_BAND_HZ[0] && hz < Math.min(SLOPE_BAND_HZ[1], 0.45 * sampleRateHz))) continue;
    octaves.push(log2(hz));
    levelsDb.push(powerDb(powers[k]!));
  }
  return lineSlope(octaves, levelsDb);
}

/**
 * Hann windows of a tenth of a second, so that bins stand 10 Hz apart at any rate; only the bins looked at are worked
 * out.
 */
function resonancesOf(samples: SampleArray, sampleRateHz: number, phase: BeatPhase, peakBin: number): SpectralPeak[] {
  const { lowHz, highHz, binHz, leastProminenceDb } = RESONANCE_SEARCH;
  const size = Math.round(sampleRateHz / binHz);
  const exactBinHz = sampleRateHz / size;
  const window = hannSymmetric(size);
  const [cosines, sines] = [cos, sin].map((wave) =>
    Float64Array.from({ length: size }, (_, i) => wave((2 * Math.PI * i) / size)),
  ) as [Float64Array, Float64Array];
  // One bin more to either side, so that a maximum in the end bins has neighbours.
  const firstBin = Math.ceil(lowHz / exactBinHz) - 1;
  const powers = new Float64Array(Math.floor(highHz / exactBinHz) + 2);
  const piece = new Float64Array(size);
  for (const from of windowStarts(samples.length, size, phase, peakBin, aboutBeat)) {
    for (let i = 0; i < size; i++) piece[i] = window[i]! * samples[from + i]!;
    for (let k = firstBin; k < powers.length; k++) {
      let [re, im] = [0, 0];
      for (let i = 0, turn = 0; i < size; i++) {
        re += piece[i]! * cosines[turn]!;
        im += piece[i]! * sines[turn]!;
        turn += k;
        if (turn >= size) turn -= size;
      }
      powers[k]! += re * re + im * im;
    }
  }
  const search = { lowHz: lowHz - exactBinHz, highHz: highHz + exactBinHz, leastProminenceDb };
  return spectralPeaks({ binHz: exactBinHz, powers, kind: "density" }, search);
}
