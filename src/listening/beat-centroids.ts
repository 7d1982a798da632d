import { beatShape, turnSpread } from "./beat-shape.js";
import { beatWindows, envelopeLagBins } from "./beat-windows.js";
import { powerDb } from "./decibels.js";
import { foldPower, powerOnTurn, smoothedRound, smoothingWeights, type TurnRecording } from "./folded-envelope.js";
import { prominentMaxima } from "./prominent-maxima.js";

/** Prominence from which a maximum of the folded envelope counts as a beat, dB. [common practice] */
export const BEAT_PROMINENCE_DB = 3;
/**
 * Width of the smoothing before minima and maxima are looked for, as a part of the mean spacing of the beats. [tuned:
 * synthetic beats of 20 to 60 degrees of width with noise floors of -10 to -40 dB, 2026-11-25]
 */
export const SMOOTHING_RATIO = 0.2;
/** The same as a greatest angle, degrees. [tuned: as SMOOTHING_RATIO, 2026-11-25] */
export const SMOOTHING_LIMIT_DEG = 20;
/** What lies this far under the loudest beat of the turn is no beat, dB: it cannot be heard beside it. [common practice] */
export const MASKED_DB = 40;
/** Beats nearer than this are heard as one, degrees. [common practice] (the same limit as beatsPerTurn) */
export const SAME_BEAT_DEG = 2;

/** A recording, its shaft, and where the valve gear lets the beats go. */
export type BeatRecording = TurnRecording & {
  /** Shaft angles of the releases, degrees, in any order, more than 2 degrees apart. */
  readonly expectedBeatDeg: readonly number[];
  /**
   * What is weighed: `power` (mean square, default) or `amplitude` (its root), either less its floor. Power follows
   * the loud part of the beat and is the less disturbed by tails and noise; amplitude gives the tail more say and so
   * comes later.
   */
  readonly envelope?: "power" | "amplitude";
  /**
   * Least lag of the beats behind their releases, degrees; the greatest is one mean spacing more. Default -0.2 of
   * that spacing.
   */
  readonly leastLagDeg?: number;
};

/** A beat measured on the turn. Angles are shaft degrees. */
export interface MeasuredBeat {
  readonly expectedDeg: number;
  /** Centroid of the envelope above its floor, 0 to 360. */
  readonly centroidDeg: number;
  /** Centroid less expected angle, -180 to 180, positive = later as the shaft runs. */
  readonly lagDeg: number;
  /** Minima between which the centroid was taken, 0 to 360, in the order in which the shaft passes them. */
  readonly fromDeg: number;
  readonly toDeg: number;
  /** Mean square over the whole turn that this beat alone makes (floor taken off), dB re full scale squared. */
  readonly levelDb: number;
  /** Twice the standard error of that level, dB. */
  readonly levelUncertaintyDb: number;
  /** Standard deviation of the centroid from turn to turn, degrees. */
  readonly scatterDeg: number;
  /** Twice the standard error of the centroid (2 sigma), degrees; Infinity for a single turn. */
  readonly uncertaintyDeg: number;
}

/** Beats of a recording on the turn. */
export interface BeatCentroids {
  /** In the order of `expectedBeatDeg`. */
  readonly beats: MeasuredBeat[];
  /** Maxima of the folded envelope with at least 3 dB of prominence, none 40 dB under the loudest. */
  readonly maximaCount: number;
  readonly turnCount: number;
}

/**
 * Times and levels of exhaust beats: the folded 300-4000 Hz envelope is cut at its minima between the expected beats,
 * the straight line between two minima is taken off as floor, and each beat's centroid is that of what stands above.
 * Nothing is clamped, so noise averages out. As what stands above is nothing at the cuts themselves, a cut that is a
 * little off moves the centroid only in the second order. A beat that is not there has the level -Infinity or NaN and
 * the centroid NaN. Scatter and uncertainty come from each turn's own part in the centroid (first derivatives, floor
 * included). Not in them: steady noise only 12 dB or less under the beats makes minima read low and so draws each
 * centroid towards the middle of its window, by 0.03 degrees over 40 turns at -12 dB and 0.09 at -8 dB. Throws
 * RangeError as {@link powerOnTurn} does, for no expected beats, and for two of them closer than 2 degrees.
 *
 * ```ts
 * beatCentroids({ samples, sampleRateHz: 48000, turnStartsS: [0, 1, 2, 3], expectedBeatDeg: [140, 230, 320, 50] });
 * ```
 */
export function beatCentroids(recording: BeatRecording): BeatCentroids {
  const source = powerOnTurn(recording);
  const { meanSquare, turnCount, direction, binCount } = foldPower(source);
  const binDeg = 360 / binCount;
  const expectedBins = placesInBins(recording.expectedBeatDeg, direction, binDeg);
  const spacingDeg = 360 / expectedBins.length;
  const weights = smoothingWeights(Math.min(SMOOTHING_RATIO * spacingDeg, SMOOTHING_LIMIT_DEG) / binDeg);
  const smooth = smoothedRound(meanSquare, weights);
  const leastLagDeg = recording.leastLagDeg ?? -0.2 * spacingDeg;
  const lagBins = envelopeLagBins(smooth, expectedBins, leastLagDeg / binDeg);
  const windows = beatWindows(smooth, expectedBins, lagBins);
  const error = standardErrors(turnCount);
  const toDeg = (bins: number): number => wrap(direction * bins * binDeg, 360);
  const beats = windows.map((window, i): MeasuredBeat => {
    const shape = beatShape(window, meanSquare, smooth, weights, recording.envelope ?? "power");
    const spread = turnSpread(source, shape);
    return {
      expectedDeg: recording.expectedBeatDeg[i]!,
      centroidDeg: toDeg(shape.centroidBin),
      lagDeg: wrap((shape.centroidBin - expectedBins[i]!) * binDeg + 180, 360) - 180,
      fromDeg: toDeg(window.fromBin + 0.5),
      toDeg: toDeg(window.fromBin + window.lengthBins + 0.5),
      levelDb: powerDb(shape.energy / binCount),
      levelUncertaintyDb: powerDb(1 + (error * spread.energy) / shape.energy),
      scatterDeg: spread.centroidBins * binDeg,
      uncertaintyDeg: error * spread.centroidBins * binDeg,
    };
  });
  const levelsDb = smooth.map(powerDb);
  const loudestDb = levelsDb.reduce((most, level) => Math.max(most, level), -Infinity);
  const maximaCount = prominentMaxima(levelsDb, BEAT_PROMINENCE_DB, "circle").filter(
    ({ levelDb }) => levelDb > loudestDb - MASKED_DB,
  ).length;
  return { beats, maximaCount, turnCount };
}

/**
 * Two sigma of a mean over `turnCount` turns in standard deviations, widened as Student's distribution asks for few
 * turns.
 */
function standardErrors(turnCount: number): number {
  // Cornish-Fisher expansion of the quantile whose normal value is 2.
  const freedom = Math.max(1, turnCount - 1);
  return (2 + 2.5 / freedom + 3.0625 / (freedom * freedom)) / Math.sqrt(turnCount);
}

function placesInBins(expectedBeatDeg: readonly number[], direction: 1 | -1, binDeg: number): number[] {
  const places = expectedBeatDeg.map((deg) => wrap(direction * deg, 360));
  const sorted = [...places].sort((a, b) => a - b);
  const gaps = sorted.map((place, i) => (i > 0 ? place - sorted[i - 1]! : place - sorted[sorted.length - 1]! + 360));
  if (places.length === 0 || !gaps.every((gap) => gap > SAME_BEAT_DEG)) {
    throw new RangeError(
      `beatCentroids: expectedBeatDeg must hold beats more than ${SAME_BEAT_DEG} degrees apart, got ` +
        `[${expectedBeatDeg.join(", ")}]. Give beats that fall together once.`,
    );
  }
  return places.map((place) => place / binDeg);
}

function wrap(value: number, period: number): number {
  return value - period * Math.floor(value / period);
}
