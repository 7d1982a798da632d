import { DISTINCT_BEAT_DEG } from "../gear/beats.js";
import type { BeatRow } from "../offline/render-request.js";

/** An envelope and the shaft that it belongs to. */
export interface FoldedTurn {
  readonly envelope: Float64Array;
  /** Frame of the render at which `envelope` begins. */
  readonly firstFrame: number;
  readonly rateHz: number;
  /** Times and shaft angles (unwrapped), row by row. */
  readonly timesS: Float64Array;
  readonly shaftDeg: Float64Array;
}

/** The stretch of sound that belongs to one beat. */
export interface SoundLobe {
  /** Unwrapped shaft angle of its centroid; `null` when the stretch is not wholly there. */
  readonly centreDeg: number | null;
}

/** A shaft runs evenly when its speed stays within this share. [common practice] */
const evenSpeedRatio = 0.005;
const binCount = 720;
// The rise of a beat is sought from a little before its release to a good part of the way to the next one.
const beforeShare = 0.15;
const afterShare = 0.4;

/**
 * The centroid of the sound of each beat, from the lull before it to the lull before the next.
 *
 * The lulls are those of the mean turn, folded over all turns at the even speed of the end, so that a single turn's noise does
 * not move them. `null` when the shaft does not run evenly over at least two turns.
 */
export function soundLobes(turn: FoldedTurn, beats: readonly BeatRow[]): SoundLobe[] | null {
  const { timesS, shaftDeg, envelope, firstFrame, rateHz } = turn;
  const last = timesS.length - 1;
  const firstEven = firstEvenRow(timesS, shaftDeg);
  const degPerS = (shaftDeg[last]! - shaftDeg[firstEven]!) / (timesS[last]! - timesS[firstEven]!);
  if (!(Math.abs(shaftDeg[last]! - shaftDeg[firstEven]!) >= 720)) return null;
  const angleAt = (frame: number): number =>
    shaftDeg[last]! + degPerS * ((firstFrame + frame) / rateHz - timesS[last]!);
  const firstFrameEven = Math.max(0, Math.ceil(timesS[firstEven]! * rateHz) - firstFrame);

  const mean = foldedMean(envelope, firstFrameEven, angleAt);
  const direction = degPerS >= 0 ? 1 : -1;
  const places = distinctPlaces(beats);
  const placeOf = (deg: number): number => places.find((place) => apartDeg(place, deg) <= DISTINCT_BEAT_DEG)!;
  const gapAfter = (place: number): number =>
    Math.min(...places.filter((other) => other !== place).map((other) => wrapped(direction * (other - place))), 360);
  const gapBefore = (place: number): number =>
    Math.min(...places.filter((other) => other !== place).map((other) => wrapped(direction * (place - other))), 360);
  /** How far past the release, in the running direction, the lull before that beat stands. */
  const lullPast = (place: number): number => {
    const from = -beforeShare * gapBefore(place);
    const to = afterShare * gapAfter(place);
    let least = Infinity;
    let found = 0;
    for (let past = from; past <= to; past += 360 / binCount) {
      const value = mean[Math.floor((wrapped(place + direction * past) / 360) * binCount) % binCount]!;
      if (value < least) {
        least = value;
        found = past;
      }
    }
    return found;
  };
  const frameAt = (deg: number): number =>
    Math.round(((deg - shaftDeg[last]!) / degPerS + timesS[last]!) * rateHz) - firstFrame;
  return beats.map((beat) => {
    const place = placeOf(beat.shaftDeg);
    const gap = gapAfter(place);
    const next = placeOf(place + direction * gap);
    const start = frameAt(beat.shaftDeg + direction * lullPast(place));
    const end = frameAt(beat.shaftDeg + direction * (gap + lullPast(next)));
    if (start < 0 || end > envelope.length) return { centreDeg: null };
    let weight = 0;
    let moment = 0;
    for (let frame = start; frame < end; frame++) {
      weight += envelope[frame]!;
      moment += envelope[frame]! * (frame - start);
    }
    return { centreDeg: weight > 0 ? angleAt(start + moment / weight) : null };
  });
}

/** The first row from which on the shaft keeps the speed that it has at the end. */
function firstEvenRow(timesS: Float64Array, shaftDeg: Float64Array): number {
  const last = timesS.length - 1;
  const step = Math.max(1, Math.round(last / 200));
  const speed = (from: number, to: number): number => (shaftDeg[to]! - shaftDeg[from]!) / (timesS[to]! - timesS[from]!);
  let first = Math.max(0, last - step);
  const finalSpeed = speed(first, last);
  while (first - step >= 0 && Math.abs(speed(first - step, first) / finalSpeed - 1) < evenSpeedRatio) first -= step;
  return first;
}

function foldedMean(envelope: Float64Array, firstFrame: number, angleAt: (frame: number) => number): Float64Array {
  const sums = new Float64Array(binCount);
  const counts = new Float64Array(binCount);
  for (let frame = firstFrame; frame < envelope.length; frame++) {
    const bin = Math.floor((wrapped(angleAt(frame)) / 360) * binCount) % binCount;
    sums[bin]! += envelope[frame]!;
    counts[bin]! += 1;
  }
  return sums.map((sum, bin) => (counts[bin]! > 0 ? sum / counts[bin]! : Infinity));
}

/** One place in the turn for all beats that are heard as one. */
function distinctPlaces(beats: readonly BeatRow[]): number[] {
  const places: number[] = [];
  for (const { shaftDeg } of beats) {
    if (!places.some((place) => apartDeg(place, shaftDeg) <= DISTINCT_BEAT_DEG)) places.push(wrapped(shaftDeg));
  }
  return places;
}

function apartDeg(a: number, b: number): number {
  const apart = wrapped(a - b);
  return Math.min(apart, 360 - apart);
}

function wrapped(deg: number): number {
  return ((deg % 360) + 360) % 360;
}
