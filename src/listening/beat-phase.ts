import type { SampleArray } from "./sample-array.js";

/** Bins from one beat to the next. [common practice: definition of the realism measures] */
export const PHASE_BIN_COUNT = 100;

/** A recording laid out between beats: 0 at one beat, 1 at the next, linear in time in between. */
export interface BeatPhase {
  /** First sample at or after the first beat, and first sample at or after the last. */
  readonly firstSample: number;
  readonly endSample: number;
  /** Phase bin (0 to 99) of each sample from `firstSample` on. */
  readonly bins: Uint8Array;
  /** Median time between beats, s. */
  readonly periodS: number;
}

/** A recording and its beats: at least two times from sample 0, s, rising. */
export interface BeatenRecording {
  readonly samples: SampleArray;
  readonly sampleRateHz: number;
  readonly beatTimesS: readonly number[];
}

/**
 * Cuts a recording to the beats between two times, with half a second to either side for the filters; the times are
 * counted from the new start. Throws RangeError when fewer than two beats are left.
 */
export function cutToBeats(recording: BeatenRecording, fromS: number, toS: number): BeatenRecording {
  const { samples, sampleRateHz } = recording;
  const lengthS = samples.length / sampleRateHz;
  const endS = Math.min(toS, lengthS);
  const kept = recording.beatTimesS.filter((timeS) => timeS >= fromS && timeS <= endS);
  if (kept.length < 2) {
    throw new RangeError(
      `cutToBeats: at least 2 beats must lie between ${fromS} and ${toS} s, got ${kept.length}. Widen the range.`,
    );
  }
  const startS = Math.max(0, kept[0]! - 0.5);
  const stop = Math.floor(Math.min(endS + 0.5, lengthS) * sampleRateHz);
  return {
    samples: samples.subarray(Math.floor(startS * sampleRateHz), stop),
    sampleRateHz,
    beatTimesS: kept.map((timeS) => timeS - startS),
  };
}

/**
 * Lays a recording out between its beats. Throws RangeError for fewer than two beats, or beats that do not rise or
 * lie outside.
 */
export function beatPhase({ samples, sampleRateHz, beatTimesS }: BeatenRecording): BeatPhase {
  const count = beatTimesS.length;
  if (count < 2 || !(beatTimesS[0]! >= 0 && beatTimesS[count - 1]! <= samples.length / sampleRateHz)) {
    throw new RangeError(
      `beatPhase: beatTimesS must hold at least 2 times within the recording of ${samples.length / sampleRateHz} s, got ${count} ` +
        `from ${beatTimesS[0]} to ${beatTimesS[count - 1]}. Leave out the beats that are cut off.`,
    );
  }
  const gaps = beatTimesS.slice(1).map((timeS, i) => timeS - beatTimesS[i]!);
  if (!gaps.every((gapS) => gapS > 0)) {
    throw new RangeError("beatPhase: beatTimesS must rise, got two that do not. Sort the times and leave out doubles.");
  }
  const firstSample = Math.ceil(beatTimesS[0]! * sampleRateHz);
  const endSample = Math.ceil(beatTimesS[count - 1]! * sampleRateHz);
  const bins = new Uint8Array(endSample - firstSample);
  for (let i = 0, beat = 0; i < bins.length; i++) {
    const timeS = (firstSample + i) / sampleRateHz;
    while (beat < count - 2 && timeS >= beatTimesS[beat + 1]!) beat += 1;
    const phase = (timeS - beatTimesS[beat]!) / gaps[beat]!;
    bins[i] = Math.min(PHASE_BIN_COUNT - 1, Math.max(0, Math.floor(phase * PHASE_BIN_COUNT)));
  }
  return { firstSample, endSample, bins, periodS: median(gaps) };
}

/**
 * Mean square of a whole-length signal in each phase bin, smoothed over bins with weights 1 2 3 2 1 round the circle.
 * [common practice: definition of the realism measures]
 */
export function foldedPower(signal: Float64Array, phase: BeatPhase): Float64Array {
  const sums = new Float64Array(PHASE_BIN_COUNT);
  const counts = new Float64Array(PHASE_BIN_COUNT);
  for (let i = 0; i < phase.bins.length; i++) {
    const x = signal[phase.firstSample + i]!;
    sums[phase.bins[i]!]! += x * x;
    counts[phase.bins[i]!]! += 1;
  }
  const at = (k: number): number => {
    const bin = (k + PHASE_BIN_COUNT) % PHASE_BIN_COUNT;
    return sums[bin]! / counts[bin]!;
  };
  return sums.map((_, k) => (at(k - 2) + 2 * at(k - 1) + 3 * at(k) + 2 * at(k + 1) + at(k + 2)) / 9);
}

/** Place of the first greatest value. */
export function greatestIndex(values: ArrayLike<number>): number {
  let best = 0;
  for (let i = 1; i < values.length; i++) if (values[i]! > values[best]!) best = i;
  return best;
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length / 2;
  return sorted.length % 2 === 1 ? sorted[Math.floor(half)]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
