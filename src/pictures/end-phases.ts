import type { RunningDirection } from "../gear/equivalent-eccentric.js";
import type { CylinderEnd } from "../gear/gear-description.js";
import type { EndEvents } from "../gear/valve-events.js";

/** What a cylinder end is doing. `steam`: from admission to cut-off; `exhaust`: from release to compression. */
export type Phase = "steam" | "expansion" | "exhaust" | "compression";

/** One phase on the turn. */
export interface PhaseArc {
  readonly phase: Phase;
  /** Shaft angle where it begins, 0 to 360. */
  readonly fromDeg: number;
  /** Shaft angle it takes: positive running forward, negative running backward. */
  readonly sweepDeg: number;
}

/** One valve event on the turn. */
export interface EventMark {
  readonly name: "admission" | "cut-off" | "release" | "compression";
  /** Shaft angle counted forward, 0 to 360; `null` where the port never opens or shuts. */
  readonly shaftDeg: number | null;
  /** As in `EndEvents`. */
  readonly strokeRatio: number | null;
}

/** A cylinder end as the turn ring draws it. */
export interface EndTurn {
  /** Counted from 1. */
  readonly cylinder: number;
  readonly end: CylinderEnd;
  readonly arcs: readonly PhaseArc[];
  /** Admission, cut-off, release, compression. */
  readonly events: readonly [EventMark, EventMark, EventMark, EventMark];
  /** Shaft angle of the end's own dead centre. */
  readonly deadCentreDeg: number;
}

/**
 * Lays one end's events on the shaft's turn.
 *
 * @param direction the way the shaft turns
 * @param crankAngleDeg how far that cylinder's crank leads the shaft angle, running forward
 */
export function endTurn(events: EndEvents, direction: RunningDirection, crankAngleDeg: number): EndTurn {
  const { cylinder, end, admissionDeg, cutoffDeg, releaseDeg, compressionDeg } = events;
  const shaftOf = (angleDeg: number) => inTurn(direction * angleDeg - crankAngleDeg);
  const mark = (name: EventMark["name"], angleDeg: number | null, strokeRatio: number | null): EventMark => ({
    name,
    shaftDeg: angleDeg === null ? null : shaftOf(angleDeg),
    strokeRatio,
  });
  const arcs = runningArcs(events).map(({ phase, fromDeg, sweepDeg }) => ({
    phase,
    fromDeg: shaftOf(fromDeg),
    sweepDeg: direction * sweepDeg,
  }));
  return {
    cylinder,
    end,
    arcs,
    events: [
      mark("admission", admissionDeg, events.admissionStrokeRatio),
      mark("cut-off", cutoffDeg, events.cutoffStrokeRatio),
      mark("release", releaseDeg, events.releaseStrokeRatio),
      mark("compression", compressionDeg, events.compressionStrokeRatio),
    ],
    deadCentreDeg: shaftOf(ownDeadCentreDeg(end)),
  };
}

/** A port's open part of the turn: `null` when shut throughout. */
interface OpenPart {
  readonly fromDeg: number;
  readonly sweepDeg: number;
}

/** The phases in the cylinder's own crank angle, in the running direction. */
function runningArcs(events: EndEvents): PhaseArc[] {
  const steam = openPart(events.admissionDeg, events.cutoffDeg, events.maxSteamOpeningM);
  const exhaust = openPart(events.releaseDeg, events.compressionDeg, events.maxExhaustOpeningM);
  const arcs: PhaseArc[] = [];
  if (steam !== null) arcs.push({ phase: "steam", ...steam });
  if (exhaust !== null) arcs.push({ phase: "exhaust", ...exhaust });
  const openings = [steam, exhaust].filter((part) => part !== null);
  if (openings.length === 2) {
    arcs.push(...shutAfter("expansion", steam!, exhaust!), ...shutAfter("compression", exhaust!, steam!));
  } else {
    // With one port that never opens, the shut end expands to its far dead centre and compresses from there on.
    const shutFromDeg = openings[0] === undefined ? ownDeadCentreDeg(events.end) : endOf(openings[0]);
    const shutSweepDeg = 360 - (openings[0]?.sweepDeg ?? 0);
    const toFarDeg = inTurn(ownDeadCentreDeg(events.end) + 180 - shutFromDeg);
    const turnsDeg = Math.min(shutSweepDeg, toFarDeg);
    arcs.push({ phase: "expansion", fromDeg: shutFromDeg, sweepDeg: turnsDeg });
    arcs.push({ phase: "compression", fromDeg: shutFromDeg + turnsDeg, sweepDeg: shutSweepDeg - turnsDeg });
  }
  return arcs.filter(({ sweepDeg }) => sweepDeg > SEEN_DEG);
}

// Shorter arcs are rounding: an event that falls on another.
const SEEN_DEG = 1e-6;

/** The shut part after a port's closing, until either port opens; none while the other stands open. */
function shutAfter(phase: Phase, closing: OpenPart, other: OpenPart): PhaseArc[] {
  const fromDeg = endOf(closing);
  if (closing.sweepDeg >= 360 || inTurn(fromDeg - other.fromDeg) < other.sweepDeg) return [];
  const sweepDeg = Math.min(inTurn(other.fromDeg - fromDeg), inTurn(closing.fromDeg - fromDeg));
  return [{ phase, fromDeg, sweepDeg }];
}

function openPart(opensDeg: number | null, shutsDeg: number | null, greatestM: number): OpenPart | null {
  if (opensDeg === null || shutsDeg === null) return greatestM > 0 ? { fromDeg: 0, sweepDeg: 360 } : null;
  return { fromDeg: opensDeg, sweepDeg: inTurn(shutsDeg - opensDeg) };
}

function endOf({ fromDeg, sweepDeg }: OpenPart): number {
  return inTurn(fromDeg + sweepDeg);
}

function ownDeadCentreDeg(end: CylinderEnd): number {
  return end === "head" ? 0 : 180;
}

/** The same angle from 0 to 360; what rounding left just below 0 is 0. */
export function inTurn(angleDeg: number): number {
  const wrapped = angleDeg - 360 * Math.floor(angleDeg / 360);
  return wrapped > 360 - 1e-9 ? 0 : wrapped;
}
