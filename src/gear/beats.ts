import type { RunningDirection } from "./equivalent-eccentric.js";
import type { CylinderEnd } from "./gear-description.js";
import type { Motion } from "./motion.js";
import { type EndEvents, wrappedDeg } from "./valve-events.js";

/** One exhaust beat: the release of one end. */
export interface Beat {
  /** Counted from 1. */
  readonly cylinder: number;
  readonly end: CylinderEnd;
  /** Shaft angle counted forward, 0 to 360. */
  readonly shaftDeg: number;
  /** To the next distinct beat in the running direction. */
  readonly intervalDeg: number;
}

/** The beats of one turn. */
export interface BeatsOfTurn {
  /** By shaft angle; beats of one place in the order of `motion.ends`. */
  readonly beats: readonly Beat[];
  /** Distinct ones. */
  readonly beatsPerTurn: number;
}

/** Beats no farther apart than this are heard as one. [common practice] */
export const DISTINCT_BEAT_DEG = 2;

/**
 * The exhaust beats of one turn, for a machine that exhausts to the air: of the ends of its last stage.
 *
 * @param events of `eventsOfTurn`, for the same machine, gear and direction
 */
export function beatsOfTurn(motion: Motion, events: readonly EndEvents[], direction: RunningDirection): BeatsOfTurn {
  const releases: { cylinder: number; end: CylinderEnd; shaftDeg: number; index: number }[] = [];
  events.forEach(({ cylinder, end, releaseDeg }, index) => {
    if (releaseDeg === null || motion.portAreaMaxM2[index] === 0 || index < motion.firstOutEnd) return;
    const offsetDeg = (motion.crankAngleRad(cylinder, 0) * 180) / Math.PI;
    releases.push({ cylinder, end, shaftDeg: wrappedDeg(direction * releaseDeg - offsetDeg), index });
  });
  // Rounding must not decide the order of beats that fall together.
  const place = (shaftDeg: number) => Math.round(shaftDeg * 1e6);
  releases.sort((a, b) => place(a.shaftDeg) - place(b.shaftDeg) || a.index - b.index);
  const count = releases.length;
  const running = direction === 1 ? releases : [...releases].reverse();
  const gapsDeg = running.map(({ shaftDeg }, i) => {
    if (count === 1) return 360;
    const next = running[(i + 1) % count]!.shaftDeg;
    // The last one's gap goes round the turn, whatever rounding makes of beats that fall together.
    return direction * (next - shaftDeg) + (i === count - 1 ? 360 : 0);
  });
  const intervalsDeg = gapsDeg.map((_, i) => {
    let sum = 0;
    for (let step = 0; step < count; step++) {
      const gap = gapsDeg[(i + step) % count]!;
      sum += gap;
      if (gap > DISTINCT_BEAT_DEG) break;
    }
    return sum;
  });
  const ordered = direction === 1 ? intervalsDeg : [...intervalsDeg].reverse();
  return {
    beats: releases.map(({ cylinder, end, shaftDeg }, i) => ({ cylinder, end, shaftDeg, intervalDeg: ordered[i]! })),
    beatsPerTurn: gapsDeg.filter((gap) => gap > DISTINCT_BEAT_DEG).length,
  };
}

/** Beats in a second. */
export function beatRateHz(beatsPerTurn: number, speedRpm: number): number {
  return (beatsPerTurn * Math.abs(speedRpm)) / 60;
}

/** An ear notices the shift of one beat by this share of a long interval. [source: Friberg & Sundberg, Time discrimination in a monotonic, isochronous sequence, JASA 98, 1995] */
export const AUDIBLE_SHIFT_RATIO = 0.025;

/** Of intervals below 240 ms it notices a shift of this time. [source: as for AUDIBLE_SHIFT_RATIO] */
export const AUDIBLE_SHIFT_S = 0.006;

/**
 * Smallest shift of one beat that an ear notices: 2.5 % of the interval above 240 ms, 6 ms below.
 *
 * @param intervalsDeg intervals between distinct beats; the shortest decides
 * @returns degrees of shaft angle; `null` without beats
 * @example
 * audibleShiftDeg(60, [90, 90, 90, 90]); // 2.25
 */
export function audibleShiftDeg(speedRpm: number, intervalsDeg: readonly number[]): number | null {
  if (intervalsDeg.length === 0) return null;
  const degPerS = 6 * Math.abs(speedRpm);
  // The two rules meet at 240 ms, so the greater one holds on either side.
  return Math.max(AUDIBLE_SHIFT_S * degPerS, AUDIBLE_SHIFT_RATIO * Math.min(...intervalsDeg));
}
