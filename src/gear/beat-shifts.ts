import { type Beat, DISTINCT_BEAT_DEG } from "./beats.js";
import type { RunningDirection } from "./equivalent-eccentric.js";

/** Where a beat falls against the same machine with nothing out of true. */
export interface BeatShift {
  /** Shaft angle counted forward, 0 to 360; `null` where that end had no beat. */
  readonly healthyShaftDeg: number | null;
  /** How much later it comes in the running direction, -180 to 180; negative is earlier. */
  readonly deviationDeg: number | null;
  /** Whether an ear notices it among the beats on either side. A shift of all beats together is none that it could. */
  readonly isAudible: boolean;
}

// A shift that rounds to nothing is none. [common practice: angles are told to a tenth of a degree]
const LEAST_SHIFT_DEG = 0.05;

/**
 * Compares the beats of a machine with those it has in good order.
 *
 * An ear judges a beat by its distance from the beats before and after it. So a shift counts by what it is more than the
 * mean shift of those two.
 *
 * @param beats as they are, in any order
 * @param healthy of the same machine in the same gear, without faults
 * @param audibleShiftDeg smallest shift of one beat that an ear notices
 * @returns one for each of `beats`, in their order
 * @example
 * // One of four beats 5 degrees late, and an ear that notices 3 degrees:
 * beatShifts(beats, healthy, 1, 3)[2]; // { healthyShaftDeg: 180, deviationDeg: 5, isAudible: true }
 */
export function beatShifts(
  beats: readonly Beat[],
  healthy: readonly Beat[],
  direction: RunningDirection,
  audibleShiftDeg: number,
): BeatShift[] {
  const known = beats.flatMap((beat) => {
    const before = healthy.find(({ cylinder, end }) => cylinder === beat.cylinder && end === beat.end);
    return before === undefined
      ? []
      : [{ beat, before, shiftDeg: halfTurn(direction * (beat.shaftDeg - before.shaftDeg)) }];
  });
  return beats.map((beat): BeatShift => {
    const own = known.find((one) => one.beat === beat);
    if (own === undefined) return { healthyShaftDeg: null, deviationDeg: null, isAudible: false };
    const { before, shiftDeg } = own;
    const placed = known
      .filter((one) => one !== own)
      .map((one) => ({ shiftDeg: one.shiftDeg, aheadDeg: turn(direction * (one.before.shaftDeg - before.shaftDeg)) }));
    const isApart = ({ aheadDeg }: { aheadDeg: number }) =>
      aheadDeg > DISTINCT_BEAT_DEG && aheadDeg < 360 - DISTINCT_BEAT_DEG;
    const others = placed.filter(isApart).sort((a, b) => a.aheadDeg - b.aheadDeg);
    // A lone beat has itself a turn away on either side.
    const aroundDeg = others.length === 0 ? shiftDeg : 0.5 * (others[0]!.shiftDeg + others.at(-1)!.shiftDeg);
    // A beat that fell together with another must not part from it either.
    const references = [aroundDeg, ...placed.filter((one) => !isApart(one)).map((one) => one.shiftDeg)];
    const offDeg = Math.max(...references.map((reference) => Math.abs(shiftDeg - reference)));
    const isAudible = Math.abs(shiftDeg) >= LEAST_SHIFT_DEG && offDeg >= audibleShiftDeg;
    return { healthyShaftDeg: before.shaftDeg, deviationDeg: shiftDeg, isAudible };
  });
}

function turn(angleDeg: number): number {
  return angleDeg - 360 * Math.floor(angleDeg / 360);
}

function halfTurn(angleDeg: number): number {
  return turn(angleDeg + 180) - 180;
}
