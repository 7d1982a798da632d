import { cos, sin } from "../quantities/portable-maths.js";
import type { BeatenRecording } from "./beat-phase.js";
import { powerDb } from "./decibels.js";
import { afterQuadratic, populationDeviation } from "./polynomial-fit.js";

/**
 * Length of the Hann window that smooths the envelope before its peaks are timed, s. [common practice: definition of
 * the realism measures]
 */
export const PEAK_SMOOTHING_S = 0.03;
/**
 * Reach of the search for a beat's peak to either side, part of the time between beats. [common practice: definition
 * of the realism measures]
 */
export const PEAK_REACH_RATIO = 0.35;
/**
 * Beats in each stretch whose timing scatter is taken, and beats from one stretch to the next. [common practice:
 * definition of the realism measures]
 */
export const SCATTER_STRETCH = { beats: 16, step: 5 } as const;

/** How unlike the beats are. */
export interface BeatScatter {
  /** Standard deviation of the level from beat to beat, slow change (a parabola) taken off, dB. */
  readonly levelScatterDb: number;
  /**
   * Standard deviation of the times of envelope peaks, mean over stretches of 16 beats, parabola taken off, s; NaN
   * for fewer.
   */
  readonly timingScatterS: number;
  /** Standard deviation among the beats of a turn of their mean levels (parabola taken off), dB. */
  readonly levelSpreadDb: number;
  /** Greatest less least mean time of a beat of the turn, of the beat times as given (parabola taken off), s. */
  readonly timingSpreadS: number;
}

/** Scatter and spread of the beats of a 300-4000 Hz signal. */
export function beatScatter(
  signal: Float64Array,
  { sampleRateHz, beatTimesS }: BeatenRecording,
  periodS: number,
  beatsPerTurn: number,
): BeatScatter {
  const levels = afterQuadratic(
    beatTimesS.slice(1).map((endS, i) => {
      const from = Math.ceil(beatTimesS[i]! * sampleRateHz);
      const to = Math.ceil(endS * sampleRateHz);
      let sum = 0;
      for (let k = from; k < to; k++) sum += signal[k]! * signal[k]!;
      return powerDb(sum / (to - from));
    }),
  );
  const meanTimes = classMeans(afterQuadratic(beatTimesS), beatsPerTurn);
  return {
    levelScatterDb: populationDeviation(levels),
    timingScatterS: timingScatter(peakTimes(signal, sampleRateHz, beatTimesS, periodS)),
    levelSpreadDb: populationDeviation(classMeans(levels, beatsPerTurn)),
    timingSpreadS: Math.max(...meanTimes) - Math.min(...meanTimes),
  };
}

function timingScatter(times: readonly number[]): number {
  const { beats, step } = SCATTER_STRETCH;
  const deviations: number[] = [];
  for (let i = 0; i + beats <= times.length; i += step) {
    deviations.push(populationDeviation(afterQuadratic(times.slice(i, i + beats))));
  }
  return deviations.reduce((sum, deviation) => sum + deviation, 0) / deviations.length;
}

function classMeans(values: Float64Array, classCount: number): number[] {
  const means: number[] = [];
  for (let c = 0; c < Math.min(classCount, values.length); c++) {
    const own = values.filter((_, i) => i % classCount === c);
    means.push(own.reduce((sum, value) => sum + value, 0) / own.length);
  }
  return means;
}

/** Times of the greatest smoothed power about each beat but the first and last. */
function peakTimes(
  signal: Float64Array,
  sampleRateHz: number,
  beatTimesS: readonly number[],
  periodS: number,
): number[] {
  const half = Math.floor(Math.floor(PEAK_SMOOTHING_S * sampleRateHz) / 2);
  const smoothed = hannSmoother(signal, half);
  return beatTimesS.slice(1, -1).map((beatS) => {
    const from = Math.floor((beatS - PEAK_REACH_RATIO * periodS) * sampleRateHz) + 1;
    const to = Math.ceil((beatS + PEAK_REACH_RATIO * periodS) * sampleRateHz);
    let [best, greatest] = [from, -Infinity];
    for (let i = Math.max(0, from); i < Math.min(to, signal.length); i++) {
      const value = smoothed(i);
      if (value > greatest) [best, greatest] = [i, value];
    }
    return best / sampleRateHz;
  });
}

/**
 * Power under a Hann window of 2 half + 1 samples about any place, from running sums: the window is a constant and a
 * cosine, and the cosine of a difference comes apart into products.
 */
function hannSmoother(signal: Float64Array, half: number): (centre: number) => number {
  const n = signal.length;
  const table = Array.from(
    { length: 2 * half },
    (_, i) => [cos((Math.PI * i) / half), sin((Math.PI * i) / half)] as const,
  );
  const [plain, cosines, sines] = [new Float64Array(n + 1), new Float64Array(n + 1), new Float64Array(n + 1)];
  for (let i = 0; i < n; i++) {
    const power = signal[i]! * signal[i]!;
    const [c, s] = table[i % (2 * half)]!;
    plain[i + 1] = plain[i]! + power;
    cosines[i + 1] = cosines[i]! + power * c;
    sines[i + 1] = sines[i]! + power * s;
  }
  return (centre) => {
    const [from, to] = [Math.max(0, centre - half), Math.min(n, centre + half + 1)];
    const [c, s] = table[(centre + half) % (2 * half)]!;
    const turned = c * (cosines[to]! - cosines[from]!) + s * (sines[to]! - sines[from]!);
    return (plain[to]! - plain[from]! - turned) / 2;
  };
}
