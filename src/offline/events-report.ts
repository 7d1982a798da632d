import { type Beat, audibleShiftDeg, beatsOfTurn } from "../gear/beats.js";
import { beatShifts, type BeatShift } from "../gear/beat-shifts.js";
import { type RunningDirection, resolveCutoff } from "../gear/equivalent-eccentric.js";
import type { GearDescription } from "../gear/gear-description.js";
import { Motion } from "../gear/motion.js";
import { type EndEvents, eventsOfTurn } from "../gear/valve-events.js";
import { reportedFaults, type ReportedFault } from "./reported-faults.js";
import type { RenderSummary } from "./render-request.js";
import { ownCutoffRatio } from "./run-plan.js";
import { requireCrank } from "./steady-pump.js";

/** What the events of a machine are asked for. */
export interface EventsRequest {
  readonly gear: GearDescription;
  /** Nominal cut-off, signed; `null` is full gear, the way the speed turns. */
  readonly cutoffRatio: number | null;
  /** False for a condenser: then there are no beats. */
  readonly exhaustsToAir: boolean;
  /** The machine's own, signed. */
  readonly speedRpm: number;
  /** Loudness of each end's beat against the loudest, in the order of the ends; `null` where it is not known. */
  readonly relativeLevelsDb: readonly (number | null)[] | null;
  /** The same of the machine without its faults; left out where it has none. */
  readonly healthyLevelsDb?: readonly (number | null)[] | null;
  readonly assumed: RenderSummary["assumed"];
  readonly warnings: readonly string[];
  readonly caution: string;
}

/** A beat, how loud the running model makes it, and what both would be with nothing out of true. */
export interface ReportedBeat extends Beat, BeatShift {
  readonly relativeLevelDb: number | null;
  readonly healthyRelativeLevelDb: number | null;
}

/** The JSON of `events`. */
export interface EventsReport {
  /** As the gear took it; `null` for oscillating cylinders. */
  readonly cutoffRatio: number | null;
  /** The greatest this gear has, either way; `null` for oscillating cylinders. */
  readonly fullGearCutoffRatio: number | null;
  /** What is out of true, as the machine file says. */
  readonly faults: readonly ReportedFault[];
  readonly ends: readonly EndEvents[];
  readonly beats: readonly ReportedBeat[];
  readonly beatsPerTurn: number;
  /** Smallest shift of one beat that an ear notices at that speed; `null` where nothing exhausts to the air. */
  readonly audibleShiftDeg: number | null;
  readonly assumed: RenderSummary["assumed"];
  readonly warnings: readonly string[];
  readonly caution: string;
}

/** Refuses a gear whose events fall at no crank angle. @throws RangeError for a pump without a crank */
export function requireEvents(gear: GearDescription): void {
  requireCrank(gear, "events", "There is no crank angle to count by: 'check' tells its strokes.");
}

/**
 * Valve events and expected beats of a machine, counted in the direction its gear drives it.
 *
 * @throws RangeError for a gear that cannot work, or a cut-off that it does not have
 */
export function eventsReport(request: EventsRequest): EventsReport {
  const { gear, exhaustsToAir, speedRpm, relativeLevelsDb, assumed, caution } = request;
  requireEvents(gear);
  const resolved = resolveCutoff(gear, request.cutoffRatio ?? ownCutoffRatio(gear, speedRpm));
  const { cutoffRatio, direction } = resolved;
  const turnOf = (faults: GearDescription["faults"]) => {
    const motion = new Motion({ ...gear, faults });
    if (cutoffRatio !== null) motion.setCutoff(cutoffRatio);
    const ends = eventsOfTurn(motion, direction);
    return { ends, ...(exhaustsToAir ? beatsOfTurn(motion, ends, direction) : { beats: [], beatsPerTurn: 0 }) };
  };
  const { ends, beats, beatsPerTurn } = turnOf(gear.faults);
  const audibleDeg = audibleShiftDeg(
    speedRpm,
    beats.map(({ intervalDeg }) => intervalDeg),
  );
  const healthyBeats = gear.faults.length === 0 ? beats : turnOf([]).beats;
  const shifts = beatShifts(beats, healthyBeats, direction, audibleDeg ?? Infinity);
  const levelOf = (levelsDb: EventsRequest["relativeLevelsDb"], beat: Beat) => {
    const index = ends.findIndex(({ cylinder, end }) => cylinder === beat.cylinder && end === beat.end);
    return levelsDb?.[index] ?? null;
  };
  const healthyLevelsDb = request.healthyLevelsDb ?? relativeLevelsDb;
  return {
    cutoffRatio,
    fullGearCutoffRatio: resolveCutoff(gear, null).cutoffRatio,
    faults: reportedFaults(gear.faults),
    ends,
    beats: beats.map((beat, i) => ({
      ...beat,
      relativeLevelDb: levelOf(relativeLevelsDb, beat),
      ...shifts[i]!,
      healthyRelativeLevelDb: levelOf(healthyLevelsDb, beat),
    })),
    beatsPerTurn,
    audibleShiftDeg: audibleDeg,
    assumed,
    warnings: [
      ...request.warnings,
      ...resolved.notes,
      ...warningsOfDirection(request, direction),
      ...ends.flatMap(warningsOfEnd),
    ],
    caution,
  };
}

// Valves are set to open at dead centre or a little before. [common practice]
const LATE_ADMISSION_RATIO = 0.02;

function percent(ratio: number): string {
  return `${(100 * ratio).toFixed(1)} %`;
}

function warningsOfDirection(request: EventsRequest, direction: RunningDirection): string[] {
  if (request.cutoffRatio !== null || request.speedRpm * direction >= 0) return [];
  return ["speed is negative, but the ports drive the machine forward only: these are the events of running forward."];
}

function warningsOfEnd(events: EndEvents): string[] {
  const name = `cylinder ${events.cylinder} ${events.end} end`;
  const warnings: string[] = [];
  if (events.cutoffStrokeRatio === null || events.admissionStrokeRatio === null) {
    const never = events.maxSteamOpeningM > 0 ? "shuts" : "opens";
    warnings.push(`${name}: its steam port never ${never} in this gear.`);
  }
  if (events.releaseStrokeRatio === null || events.compressionStrokeRatio === null) {
    const never = events.maxExhaustOpeningM > 0 ? "shuts" : "opens";
    warnings.push(`${name}: its exhaust port never ${never} in this gear.`);
  }
  if (warnings.length > 0) return warnings;
  const steamAtRelease = events.cutoffStrokeRatio! > events.releaseStrokeRatio!;
  const exhaustAtAdmission = events.compressionStrokeRatio! > 1 - events.admissionStrokeRatio!;
  if (steamAtRelease || exhaustAtAdmission) {
    warnings.push(`${name}: its steam and exhaust ports stand open together; steam blows straight through.`);
  }
  const lateRatio = -events.admissionStrokeRatio!;
  if (lateRatio > LATE_ADMISSION_RATIO) {
    warnings.push(`${name}: its steam port opens when ${percent(lateRatio)} of the stroke is already gone.`);
  }
  if (events.cutoffStrokeRatio! > 1) warnings.push(`${name}: its steam port is still open at the end of the stroke.`);
  return warnings;
}
