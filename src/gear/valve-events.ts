import type { CylinderEnd } from "./gear-description.js";
import type { RunningDirection } from "./equivalent-eccentric.js";
import type { Motion } from "./motion.js";
import { openingTurn } from "./opening-turn.js";

/**
 * The events of one end in one turn. Degrees are the crank angle of that cylinder in the running direction, from its
 * head-end dead centre: 0 to 360, admission within half a turn of the end's own dead centre, so negative where the head
 * end admits before it. Stroke ratios are shares of the stroke from its start: the end's own working stroke for cut-off
 * and release, the return stroke for compression; admission is the share of the return stroke still to go, negative
 * after dead centre. An event past the end of its stroke counts on, above 1. `null`: that port never opens or shuts.
 */
export interface EndEvents {
  /** Counted from 1. */
  readonly cylinder: number;
  readonly end: CylinderEnd;
  readonly admissionDeg: number | null;
  readonly cutoffDeg: number | null;
  readonly releaseDeg: number | null;
  readonly compressionDeg: number | null;
  readonly admissionStrokeRatio: number | null;
  readonly cutoffStrokeRatio: number | null;
  readonly releaseStrokeRatio: number | null;
  readonly compressionStrokeRatio: number | null;
  /** Steam opening at the end's own dead centre; negative: shut by that much. */
  readonly leadM: number;
  /** Width uncovered, at most that of the port; round ports: overlap on the line of centres. */
  readonly maxSteamOpeningM: number;
  readonly maxExhaustOpeningM: number;
}

/**
 * Events of every end, by root finding on the openings of a machine as its gear stands.
 *
 * @param direction the way the shaft turns
 * @returns one for each end, in the order of `motion.ends`
 * @example
 * motion.setCutoff(-0.5);
 * eventsOfTurn(motion, -1)[0].releaseDeg; // backward gear, counted backward: as in forward gear
 */
export function eventsOfTurn(motion: Motion, direction: RunningDirection): EndEvents[] {
  return motion.ends.map((_, index) => eventsOfEnd(motion, index, direction));
}

function eventsOfEnd(motion: Motion, index: number, direction: RunningDirection): EndEvents {
  const { cylinder, end } = motion.ends[index]!;
  const ownDeadCentreRad = end === "head" ? 0 : Math.PI;
  // Angles below count from the end's own dead centre, in the running direction.
  const shaftOf = (angleRad: number) => direction * (ownDeadCentreRad + angleRad) - motion.crankAngleRad(cylinder, 0);
  const steamM = (angleRad: number) => motion.steamOpeningM(index, shaftOf(angleRad));
  const exhaustM = (angleRad: number) => motion.exhaustOpeningM(index, shaftOf(angleRad));
  const doneRatio = (angleRad: number) => {
    const fromHead = motion.pistonPositionRatio(cylinder, shaftOf(angleRad));
    return end === "head" ? fromHead : 1 - fromHead;
  };
  const mostM = motion.openingMaxM(index);
  const steam = openingTurn(steamM, mostM);
  const exhaust = openingTurn(exhaustM, mostM);
  const admission = steam.opensRad === null ? null : wrapped(steam.opensRad, -Math.PI);
  // Cut-off follows admission and compression follows release within the turn.
  const cutoff = steam.shutsRad === null || admission === null ? null : wrapped(steam.shutsRad, admission);
  const release = exhaust.opensRad === null ? null : wrapped(exhaust.opensRad, 0);
  const compression = exhaust.shutsRad === null || release === null ? null : wrapped(exhaust.shutsRad, release);
  const ofCylinder = (angleRad: number | null) =>
    angleRad === null ? null : wrappedDeg(degrees(ownDeadCentreRad + angleRad));
  return {
    cylinder,
    end,
    admissionDeg: admission === null ? null : degrees(ownDeadCentreRad + admission),
    cutoffDeg: ofCylinder(cutoff),
    releaseDeg: ofCylinder(release),
    compressionDeg: ofCylinder(compression),
    admissionStrokeRatio: admission === null ? null : admission < 0 ? doneRatio(admission) : -doneRatio(admission),
    cutoffStrokeRatio: cutoff === null ? null : outwardRatio(cutoff, doneRatio),
    releaseStrokeRatio: release === null ? null : outwardRatio(release, doneRatio),
    compressionStrokeRatio: compression === null ? null : returnRatio(compression, doneRatio),
    leadM: steamM(0),
    maxSteamOpeningM: Math.min(mostM, Math.max(0, steam.greatestM)),
    maxExhaustOpeningM: Math.min(mostM, Math.max(0, exhaust.greatestM)),
  };
}

/** Share of the working stroke done; past its end it counts on. */
function outwardRatio(angleRad: number, doneRatio: (angleRad: number) => number): number {
  return angleRad <= Math.PI ? doneRatio(angleRad) : 2 - doneRatio(angleRad);
}

/** Share of the return stroke done: negative before its start; past its end it counts on. */
function returnRatio(angleRad: number, doneRatio: (angleRad: number) => number): number {
  if (angleRad < Math.PI) return doneRatio(angleRad) - 1;
  return angleRad <= 2 * Math.PI ? 1 - doneRatio(angleRad) : 1 + doneRatio(angleRad);
}

function degrees(angleRad: number): number {
  return (angleRad * 180) / Math.PI;
}

/** The same angle in the turn that starts at `fromRad`. */
function wrapped(angleRad: number, fromRad: number): number {
  const turn = 2 * Math.PI;
  return angleRad - turn * Math.floor((angleRad - fromRad) / turn);
}

// Rounding must not turn dead centre into the end of the turn.
const FULL_TURN_DEG = 360 - 1e-9;

/** The same angle from 0 to 360 degrees. */
export function wrappedDeg(angleDeg: number): number {
  const inTurn = angleDeg - 360 * Math.floor(angleDeg / 360);
  return inTurn >= FULL_TURN_DEG ? 0 : inTurn;
}
