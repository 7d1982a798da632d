import { butterworthBandPass, HIGHEST_EDGE_RATIO, octaveBandPass, OCTAVE_FILTER_ORDER } from "./band-filter.js";
import { beatPhase, foldedPower, type BeatenRecording, type BeatPhase } from "./beat-phase.js";
import { amplitudeDb, powerDb } from "./decibels.js";
import { populationDeviation } from "./polynomial-fit.js";
import { beatShapeTimes } from "./realism-envelope.js";
import { beatScatter, type BeatScatter } from "./realism-scatter.js";
import { beatSpectra, type BeatSpectra } from "./realism-spectra.js";
import type { SampleArray } from "./sample-array.js";
import { filterZeroPhase } from "./zero-phase.js";

/** Octave bands of the measures, Hz. [common practice: definition of the realism measures] */
export const REALISM_OCTAVES_HZ = [125, 250, 500, 1000, 2000, 4000, 8000] as const;
/** Lowest octave in the sum to which octave levels refer, Hz. [common practice: definition of the realism measures] */
export const REALISM_SUM_FROM_HZ = 250;
/** Band of the crest measure, Hz. [common practice: definition of the realism measures] */
export const CREST_BAND_HZ = [60, 10000] as const;
/** Part of the samples below the crest's peak. [common practice: definition of the realism measures] */
export const CREST_RANK = 0.9999;
/** Band of envelope, level and timing measures, Hz. [common practice: definition of the realism measures] */
export const REALISM_ENVELOPE_BAND_HZ = [300, 4000] as const;

/** One octave of an exhaust. */
export interface OctaveMeasure {
  readonly centreHz: number;
  /** Level re the sum of the octaves from 250 Hz up, dB. */
  readonly levelDb: number;
  /** Greatest over least of the folded power, dB. */
  readonly modulationDepthDb: number;
}

/** What the realism table is made of. */
export interface RealismMeasures extends BeatScatter, BeatSpectra {
  /** 99.99 % peak over root mean square, 60 Hz to 10 kHz, dB. */
  readonly crestDb: number;
  /** Rise of the folded envelope from 10 to 90 %, and its fall back, s. */
  readonly attackS: number;
  readonly decayS: number;
  /** Width of the folded envelope at half height, part of the time between beats. */
  readonly halfWidthRatio: number;
  /** The octaves whose upper edge lies below 0.499 of the sampling rate. */
  readonly octaves: readonly OctaveMeasure[];
}

/**
 * What an exhaust measures like, to be held against a real one: measures of a recording or render with known beats.
 * Filters are Butterworth, order 4, run both ways; phase runs from one beat to the next in 100 bins. `beatsPerTurn`
 * sorts the beats for the spread among them. Cut long recordings with {@link cutToBeats} first. Throws RangeError
 * where {@link beatPhase} does.
 */
export function measureRealism(recording: BeatenRecording, beatsPerTurn: number): RealismMeasures {
  const { samples, sampleRateHz } = recording;
  const phase = beatPhase(recording);
  const envelopeBand = bandOf(samples, sampleRateHz, REALISM_ENVELOPE_BAND_HZ);
  const folded = foldedPower(envelopeBand, phase);
  return {
    crestDb: crestDb(bandOf(samples, sampleRateHz, CREST_BAND_HZ), phase),
    ...beatShapeTimes(folded, phase.periodS),
    octaves: octaveMeasures(samples, sampleRateHz, phase),
    ...beatSpectra(samples, sampleRateHz, phase, folded),
    ...beatScatter(envelopeBand, recording, phase.periodS, beatsPerTurn),
  };
}

function bandOf(samples: SampleArray, sampleRateHz: number, [lowHz, highHz]: readonly [number, number]): Float64Array {
  const topHz = Math.min(highHz, HIGHEST_EDGE_RATIO * sampleRateHz);
  return filterZeroPhase(butterworthBandPass(OCTAVE_FILTER_ORDER, lowHz, topHz, sampleRateHz), samples);
}

function octaveMeasures(samples: SampleArray, sampleRateHz: number, phase: BeatPhase): OctaveMeasure[] {
  const rows = REALISM_OCTAVES_HZ.filter((centreHz) => centreHz * Math.SQRT2 < 0.499 * sampleRateHz).map((centreHz) => {
    const signal = filterZeroPhase(octaveBandPass(centreHz, sampleRateHz), samples);
    const folded = foldedPower(signal, phase);
    let sum = 0;
    for (let i = phase.firstSample; i < phase.endSample; i++) sum += signal[i]! * signal[i]!;
    const depthDb = powerDb(Math.max(...folded) / Math.min(...folded));
    return { centreHz, depthDb, meanSquare: sum / (phase.endSample - phase.firstSample) };
  });
  const total = rows.reduce((sum, row) => (row.centreHz >= REALISM_SUM_FROM_HZ ? sum + row.meanSquare : sum), 0);
  return rows.map(({ centreHz, depthDb, meanSquare }) => ({
    centreHz,
    levelDb: powerDb(meanSquare / total),
    modulationDepthDb: depthDb,
  }));
}

function crestDb(signal: Float64Array, phase: BeatPhase): number {
  const inside = signal.subarray(phase.firstSample, phase.endSample);
  const sizes = inside.map(Math.abs).sort();
  const place = CREST_RANK * (sizes.length - 1);
  const below = Math.floor(place);
  const above = Math.min(below + 1, sizes.length - 1);
  const peak = sizes[below]! + (place - below) * (sizes[above]! - sizes[below]!);
  return amplitudeDb(peak / populationDeviation(inside));
}
