import { butterworthBandPass, HIGHEST_EDGE_RATIO, OCTAVE_FILTER_ORDER } from "./band-filter.js";
import { hannSymmetric } from "./power-spectrum.js";
import type { SampleArray } from "./sample-array.js";
import { shaftTurns, type ShaftRecord, type ShaftTurns } from "./shaft-turns.js";
import { filterZeroPhase } from "./zero-phase.js";

/** Lower edge of the band in which beats are timed, Hz: above pipe notes and rumble. [common practice] */
export const ENVELOPE_LOW_HZ = 300;
/** Upper edge of the band in which beats are timed, Hz. [common practice] */
export const ENVELOPE_HIGH_HZ = 4000;
/** Bins of a turn unless told otherwise: half a degree each. [common practice] */
export const ENVELOPE_BIN_COUNT = 720;

/** A recording and where its shaft stood. */
export type TurnRecording = ShaftRecord & {
  readonly samples: SampleArray;
  readonly sampleRateHz: number;
  /** Bins of the turn, default 720. Each needs a sample in some turn. */
  readonly binCount?: number;
  /** Edges of the band, Hz; default 300 and 4000 (at most 0.49 of the sampling rate). */
  readonly lowHz?: number;
  readonly highHz?: number;
};

/**
 * The envelope of a recording, folded on the turn. Bin k spans k to k + 1 of `binCount` parts of the turn, in shaft
 * angle as it runs.
 */
export interface FoldedEnvelope {
  readonly binCount: number;
  readonly turnCount: number;
  /** 1, or -1 when the shaft ran backwards: then bin k spans the shaft angles -(k) to -(k + 1) parts of the turn. */
  readonly direction: 1 | -1;
  /** Mean square of the band-limited samples in each bin, over all turns. */
  readonly meanSquare: Float64Array;
  /** Square root of it: the amplitude envelope. */
  readonly rootMeanSquare: Float64Array;
}

/** A band-limited recording, squared, with its shaft. */
export interface PowerOnTurn {
  readonly shaft: ShaftTurns;
  /** Squared band-limited samples of the stretch. */
  readonly power: Float64Array;
  /** Turns that each sample stands for, so that a slow turn weighs no more than a quick one. */
  readonly spans: Float64Array;
  readonly binCount: number;
}

/**
 * Folds the 300-4000 Hz envelope of a recording on the turn: Butterworth band-pass of order 4 run both ways (no
 * delay), squared, and averaged in each bin over all whole turns, every turn with the same weight. Throws RangeError
 * where {@link shaftTurns} or the filter does, and when a bin has no sample.
 */
export function foldedEnvelope(recording: TurnRecording): FoldedEnvelope {
  return foldPower(powerOnTurn(recording));
}

/** The first half of {@link foldedEnvelope}: filter and square. */
export function powerOnTurn(recording: TurnRecording): PowerOnTurn {
  const { samples, sampleRateHz } = recording;
  const shaft = shaftTurns(recording, sampleRateHz, samples.length);
  const highHz = Math.min(recording.highHz ?? ENVELOPE_HIGH_HZ, HIGHEST_EDGE_RATIO * sampleRateHz);
  const filter = butterworthBandPass(OCTAVE_FILTER_ORDER, recording.lowHz ?? ENVELOPE_LOW_HZ, highHz, sampleRateHz);
  const power = filterZeroPhase(filter, samples).subarray(shaft.firstSample, shaft.endSample);
  for (let i = 0; i < power.length; i++) power[i]! *= power[i]!;
  return { shaft, power, spans: spansOf(shaft), binCount: recording.binCount ?? ENVELOPE_BIN_COUNT };
}

/** The second half of {@link foldedEnvelope}: average in bins. */
export function foldPower(recording: PowerOnTurn): FoldedEnvelope {
  const { shaft, power, spans, binCount } = recording;
  const sums = new Float64Array(binCount);
  const weights = new Float64Array(binCount);
  for (let i = 0; i < power.length; i++) {
    const bin = binOf(shaft.turns[i]!, binCount);
    sums[bin]! += power[i]! * spans[i]!;
    weights[bin]! += spans[i]!;
  }
  const meanSquare = sums.map((sum, bin) => sum / weights[bin]!);
  if (!weights.every((weight) => weight > 0)) {
    throw new RangeError(
      `foldedEnvelope: binCount must leave a sample in every bin, got ${binCount} for ${power.length} samples in ` +
        `${shaft.turnCount} turns. Use fewer bins.`,
    );
  }
  return {
    binCount,
    turnCount: shaft.turnCount,
    direction: shaft.direction,
    meanSquare,
    rootMeanSquare: meanSquare.map(Math.sqrt),
  };
}

/** Bin of a place counted in turns. A place that rounding left a hair before a bin's edge counts as on it. */
export function binOf(turns: number, binCount: number): number {
  const bin = Math.floor((turns - Math.floor(turns)) * binCount + 1e-7);
  return bin < binCount ? bin : 0;
}

function spansOf({ turns, turnCount }: ShaftTurns): Float64Array {
  const last = turns.length - 1;
  return turns.map((_, i) => {
    const from = i === 0 ? -turns[0]! : turns[i - 1]!;
    const to = i === last ? 2 * turnCount - turns[last]! : turns[i + 1]!;
    return (to - from) / 2;
  });
}

/** Weights of a smoothing over `widthBins` bins (made odd, at least 1: no smoothing): a Hann window, sum 1. */
export function smoothingWeights(widthBins: number): Float64Array {
  const half = Math.max(0, Math.floor(widthBins / 2));
  // Two more than needed: the zeros at both ends of the window do nothing.
  const window = hannSymmetric(2 * half + 3).subarray(1, 2 * half + 2);
  const total = window.reduce((sum, weight) => sum + weight, 0);
  return window.map((weight) => weight / total);
}

/** Smooths a row of bins round the circle with an odd number of weights. */
export function smoothedRound(row: Float64Array, weights: Float64Array): Float64Array {
  const half = (weights.length - 1) / 2;
  const n = row.length;
  return row.map((_, i) => {
    let sum = 0;
    for (let k = -half; k <= half; k++) sum += weights[k + half]! * row[(((i + k) % n) + n) % n]!;
    return sum;
  });
}
