import { resolveCutoff } from "../gear/equivalent-eccentric.js";
import type { EngineDescription } from "../engine/engine-description.js";
import { type GearDescription, isCrankless } from "../gear/gear-description.js";
import { ControlTrack, type TrackPoint } from "../machine/control-track.js";
import { restingControls, type SideControl, sideControlIndex, sideControls } from "../engine/engine-controls.js";
import { TimedDrive, type SideTracks } from "../machine/drive.js";
import { againstGearNotes } from "./against-gear.js";
import type { RenderRequest } from "./render-request.js";

// [common practice: a tenth of a second]
const shortestRenderS = 0.1;
/** Longest render, s. [common practice: a day] */
export const longestRenderS = 86_400;

/** A render's drive and length. */
export interface RunPlan {
  readonly speedRpm: ControlTrack;
  readonly regulator: ControlTrack;
  readonly cutoff: ControlTrack;
  /** Of the other controls, those that are ever touched. */
  readonly side: SideTracks;
  /** Whether steam, load and inertia turn the shaft; `speedRpm` is 0 then. */
  readonly turnsItself: boolean;
  readonly seconds: number;
  readonly notes: readonly string[];
}

/** Full gear in the direction in which the machine's own speed turns it; null where there is no gear to set. */
export function ownCutoffRatio(gear: GearDescription, speedRpm: number): number | null {
  const full = resolveCutoff(gear, null).cutoffRatio;
  return full === null ? null : speedRpm < 0 ? -full : full;
}

/** A fresh drive over a plan's controls. */
export function driveOf(plan: RunPlan): TimedDrive {
  return new TimedDrive(plan.speedRpm, plan.regulator, plan.cutoff, plan.side);
}

/** Steady running: one speed, one regulator, one cut-off (null: own full gear). @throws RangeError for a cut-off the gear lacks */
export function steadyPlan(
  description: EngineDescription,
  speedRpm: number,
  regulatorRatio: number,
  cutoffRatio: number | null,
  seconds: number,
): RunPlan {
  const wanted = cutoffRatio ?? ownCutoffRatio(description.gear, speedRpm);
  const resolved = resolveCutoff(description.gear, wanted);
  const drive = {
    speedRpm: new ControlTrack(speedRpm, []),
    cutoff: new ControlTrack(resolved.cutoffRatio ?? 1, []),
    side: {},
    turnsItself: false,
    seconds,
  };
  const notes = [...resolved.notes, ...againstGearNotes(description.gear, { ...drive, changesS: [] })];
  return { ...drive, regulator: new ControlTrack(regulatorRatio, []), notes };
}

/** The plan of a request. @throws RangeError in words for lengths and cut-offs that cannot be */
export function planRun(request: RenderRequest): RunPlan {
  const { run, machine } = request;
  const { description } = machine;
  if (request.seconds !== null && request.turns !== null) {
    throw new RangeError("render: give either seconds or turns, not both. Leave one out.");
  }
  if (run === null && isCrankless(description.gear)) return pumpPlan(request);
  if (run === null) {
    const speedRpm = request.speedRpm ?? description.speedRpm;
    const seconds = request.turns !== null ? secondsOfTurns(request.turns, speedRpm) : (request.seconds ?? 10);
    return steadyPlan(
      description,
      speedRpm,
      request.regulatorRatio ?? 1,
      request.cutoffRatio,
      checkedSeconds(seconds, request.turns),
    );
  }
  if (request.speedRpm !== null || request.cutoffRatio !== null || request.regulatorRatio !== null) {
    throw new RangeError(
      "render: speed, cutoff and regulator are the run file's to say. Change its controls, or render the machine file.",
    );
  }
  const notes: string[] = [];
  const points: { speed: TrackPoint[]; regulator: TrackPoint[]; cutoff: TrackPoint[] } = {
    speed: [],
    regulator: [],
    cutoff: [],
  };
  const sidePoints = new Map<SideControl, TrackPoint[]>();
  for (const control of run.controls) {
    const at = { atS: control.atS, overS: control.overS };
    if (control.speedRpm !== undefined) points.speed.push({ ...at, value: control.speedRpm });
    if (control.regulatorRatio !== undefined) points.regulator.push({ ...at, value: control.regulatorRatio });
    if (control.cutoffRatio !== undefined) {
      const resolved = resolveCutoff(description.gear, control.cutoffRatio);
      for (const note of resolved.notes) if (!notes.includes(note)) notes.push(note);
      points.cutoff.push({ ...at, value: resolved.cutoffRatio ?? 1 });
    }
    for (const name of sideControls) {
      const value = name === "barring" ? control.barringRpm : control[`${name}Ratio`];
      if (value !== undefined) sidePoints.set(name, [...(sidePoints.get(name) ?? []), { ...at, value }]);
    }
  }
  const turnsItself = !run.kinematic;
  if (turnsItself && request.turns !== null) {
    throw new RangeError(
      "render: turns cannot be counted beforehand where the machine turns itself. Give --seconds, or a speed in the run.",
    );
  }
  const plan = {
    turnsItself,
    speedRpm: new ControlTrack(turnsItself ? 0 : description.speedRpm, points.speed),
    regulator: new ControlTrack(1, points.regulator),
    cutoff: new ControlTrack(
      ownCutoffRatio(description.gear, points.speed[0]?.value ?? description.speedRpm) ?? 1,
      points.cutoff,
    ),
    side: sideTracks(sidePoints, description, run.start === "cold"),
  };
  const seconds =
    request.turns === null
      ? (request.seconds ?? run.seconds)
      : secondsToTurn(request.turns, plan.speedRpm, run.seconds);
  const changesS = run.controls.flatMap(({ atS, overS }) => [atS - overS, atS]);
  const checked = checkedSeconds(seconds, request.turns);
  if (!turnsItself) notes.push(...againstGearNotes(description.gear, { ...plan, changesS, seconds: checked }));
  return { ...plan, seconds: checked, notes };
}

// A bare pump without a crank, at work against its lift.
function pumpPlan({ machine, speedRpm, turns, cutoffRatio, regulatorRatio, seconds }: RenderRequest): RunPlan {
  if (speedRpm !== null) {
    throw new RangeError(
      `render: speed must be left out for a pump without a crank, got ${speedRpm} rpm: steam and water decide how fast it strokes. ` +
        "Throttle it by --regulator instead.",
    );
  }
  if (turns !== null) {
    throw new RangeError(
      "render: turns must be left out for a pump without a crank, whose strokes cannot be counted beforehand. Give --seconds.",
    );
  }
  const length = checkedSeconds(seconds ?? 10, null);
  const plan = steadyPlan(machine.description, 0, regulatorRatio ?? 1, cutoffRatio, length);
  return { ...plan, turnsItself: true };
}

function sideTracks(
  points: ReadonlyMap<SideControl, readonly TrackPoint[]>,
  { running }: EngineDescription,
  startsCold: boolean,
): SideTracks {
  const resting = restingControls();
  const gradientRatio = running?.train?.gradientRatio ?? 0;
  resting[sideControlIndex.gradient] = gradientRatio;
  if (startsCold) resting[sideControlIndex.fire] = 0;
  const tracks: { -readonly [K in keyof SideTracks]: SideTracks[K] } = {};
  sideControls.forEach((name, i) => {
    const own = points.get(name);
    const isTouched =
      own !== undefined || (name === "gradient" && gradientRatio !== 0) || (name === "fire" && startsCold);
    if (isTouched) tracks[name] = new ControlTrack(resting[i]!, own ?? []);
  });
  return tracks;
}

function checkedSeconds(seconds: number, turns: number | null): number {
  if (seconds >= shortestRenderS && seconds <= longestRenderS) return seconds;
  if (turns !== null) {
    const ask =
      seconds < shortestRenderS
        ? `Ask for at least ${Math.ceil((turns * shortestRenderS) / seconds)} turns.`
        : "Ask for fewer turns, or a higher speed.";
    throw new RangeError(
      `render: turns must last between ${shortestRenderS} s and ${longestRenderS} s, got ${turns} in ${Number(seconds.toPrecision(3))} s. ${ask}`,
    );
  }
  throw new RangeError(
    `render: seconds must be between ${shortestRenderS} s and ${longestRenderS} s, got ${seconds}. Ask for a length in that range.`,
  );
}

function secondsOfTurns(turns: number, speedRpm: number): number {
  if (!(turns > 0)) throw new RangeError(`render: turns must be above 0, got ${turns}. Ask for at least one.`);
  if (speedRpm === 0)
    throw new RangeError("render: turns cannot be counted on a standing shaft. Give --seconds instead.");
  return (turns * 60) / Math.abs(speedRpm);
}

// The first moment at which the shaft has gone the given number of turns from its start, either way.
function secondsToTurn(turns: number, speedRpm: ControlTrack, longestS: number): number {
  const gone = (timeS: number) => Math.abs(speedRpm.integralAt(timeS)) / 60;
  const stepS = 0.01;
  for (let timeS = stepS; timeS <= longestS + stepS; timeS += stepS) {
    if (gone(timeS) < turns) continue;
    let low = timeS - stepS;
    let high = timeS;
    for (let i = 0; i < 50; i++) {
      const middle = 0.5 * (low + high);
      if (gone(middle) < turns) low = middle;
      else high = middle;
    }
    return high;
  }
  throw new RangeError(
    `render: the run turns ${gone(longestS).toFixed(1)} times in its ${longestS} s, fewer than ${turns}. Ask for fewer turns.`,
  );
}
