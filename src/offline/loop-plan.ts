import { ticksPerNoiseRow } from "../machine/flow-rows.js";
import { planTicks } from "../engine/tick-plan.js";
import type { LoopTiming } from "../machine/loop-drive.js";
import type { RenderRequest } from "./render-request.js";
import { longestRenderS, planRun, type RunPlan } from "./run-plan.js";
import { requireCrank } from "./steady-pump.js";

/** How far a loop's speed may be moved so that its turns fill whole samples. [common practice: 50 ppm, a twelfth of a cent] */
export const greatestNudgeRatio = 50e-6;
// From how far off the wanted length is told. [common practice: a twentieth]
const toldLengthRatio = 0.05;

/** A loop's drive and length. */
export interface LoopPlan extends RunPlan {
  readonly frameCount: number;
  readonly timing: LoopTiming;
  /** The speed at which the turns fill the samples, signed. */
  readonly loopRpm: number;
}

/** A length in turns that fills whole ticks, and so whole samples. */
interface Fit {
  readonly turns: number;
  readonly frameCount: number;
}

/**
 * The plan of a request with `loop`: the whole number of turns asked for, or the one nearest to the length asked for,
 * at a speed moved by at most 50 ppm, so that it lasts whole samples.
 *
 * @throws RangeError in words for what has no turn to repeat, or turns that do not fit
 */
export function planLoop(request: RenderRequest): LoopPlan {
  const { machine, run, rateHz, fidelity } = request;
  if (run !== null) {
    throw new RangeError("render: a run cannot be looped, it does not repeat. Loop its machine file, with --speed.");
  }
  requireCrank(machine.description.gear, "render: loop", "Its strokes repeat only nearly: render --seconds.");
  const speedRpm = request.speedRpm ?? machine.description.speedRpm;
  if (speedRpm === 0) {
    throw new RangeError("render: a standing shaft cannot be looped, it has no turn to repeat. Give a --speed.");
  }
  // Checks the lengths asked for.
  const asked = planRun(request);
  const plan = planTicks(machine.description, rateHz, fidelity);
  const { ticksPerSample } = plan;
  // Noise looks at the flow in steps of some ticks: a loop holds whole ones.
  const samplesPerStep = ticksPerNoiseRow * plan.samplesPerTick;
  const samplesPerTurn = (60 * rateHz) / Math.abs(speedRpm);
  const fit =
    request.turns === null
      ? nearestFit(asked.seconds * rateHz, samplesPerTurn, samplesPerStep, rateHz)
      : fitOfTurns(request.turns, samplesPerTurn, samplesPerStep, rateHz);
  const loopRpm = (Math.sign(speedRpm) * 60 * rateHz * fit.turns) / fit.frameCount;
  // The same speed in other digits is no nudge.
  const isNudged = Math.abs(loopRpm - speedRpm) > 1e-12 * Math.abs(speedRpm);
  const steady = planRun({ ...request, turns: null, seconds: null, speedRpm: isNudged ? loopRpm : speedRpm });
  return {
    ...steady,
    seconds: fit.frameCount / rateHz,
    frameCount: fit.frameCount,
    timing: {
      turns: Math.sign(speedRpm) * fit.turns,
      ticks: (fit.frameCount * ticksPerSample) / plan.samplesPerTick,
    },
    loopRpm,
    notes: [
      ...steady.notes,
      ...(isNudged ? [nudgeNote(speedRpm, loopRpm, fit)] : []),
      ...lengthNotes(request.seconds, fit, rateHz),
    ],
  };
}

function nudgeNote(speedRpm: number, loopRpm: number, { turns, frameCount }: Fit): string {
  const ppm = 1e6 * (loopRpm / speedRpm - 1);
  return (
    `Speed ${Number(loopRpm.toPrecision(8))} rpm instead of ${speedRpm} rpm (${ppm < 0 ? "" : "+"}${ppm.toPrecision(2)} ppm), ` +
    `so that ${countOf(turns)} fill${turns === 1 ? "s" : ""} ${frameCount} samples.`
  );
}

// A length that is far from what was asked for is told.
function lengthNotes(wantedS: number | null, { turns, frameCount }: Fit, rateHz: number): string[] {
  const seconds = frameCount / rateHz;
  if (wantedS === null || Math.abs(seconds / wantedS - 1) <= toldLengthRatio) return [];
  const last = turns === 1 ? "lasts" : "last";
  return [`${countOf(turns)} ${last} ${Number(seconds.toPrecision(4))} s, the nearest to ${wantedS} s that fits.`];
}

// Null where no whole number of ticks is near enough.
function fitting(turns: number, samplesPerTurn: number, samplesPerStep: number): Fit | null {
  const exact = turns * samplesPerTurn;
  const frameCount = Math.round(exact / samplesPerStep) * samplesPerStep;
  if (frameCount === 0) return null;
  return Math.abs(exact / frameCount - 1) <= greatestNudgeRatio ? { turns, frameCount } : null;
}

// From a number of turns, up or down: the first that fits within a day.
function fitBeyond(
  turns: number,
  step: 1 | -1,
  samplesPerTurn: number,
  samplesPerStep: number,
  rateHz: number,
): Fit | null {
  for (let t = turns; t >= 1 && t * samplesPerTurn <= longestRenderS * rateHz; t += step) {
    const fit = fitting(t, samplesPerTurn, samplesPerStep);
    if (fit !== null) return fit;
  }
  return null;
}

function nearestFit(wantedFrames: number, samplesPerTurn: number, samplesPerStep: number, rateHz: number): Fit {
  const below = Math.floor(wantedFrames / samplesPerTurn);
  const shorter = fitBeyond(below, -1, samplesPerTurn, samplesPerStep, rateHz);
  const longer = fitBeyond(Math.max(1, below + 1), 1, samplesPerTurn, samplesPerStep, rateHz);
  const offOf = (fit: Fit | null) => (fit === null ? Infinity : Math.abs(fit.frameCount - wantedFrames));
  const nearest = offOf(longer) < offOf(shorter) ? longer : shorter;
  if (nearest !== null) return nearest;
  throw new RangeError(
    `render: a turn of ${(samplesPerTurn / rateHz).toPrecision(4)} s cannot be looped within ${longestRenderS} s. Give a higher --speed.`,
  );
}

function fitOfTurns(turns: number, samplesPerTurn: number, samplesPerStep: number, rateHz: number): Fit {
  const lower = Math.floor(turns);
  if (turns !== lower) {
    const near = lower < 1 ? "1" : `${lower} or ${lower + 1}`;
    throw new RangeError(`render: turns of a loop must be a whole number, got ${turns}. Ask for ${near}.`);
  }
  const fit = fitting(turns, samplesPerTurn, samplesPerStep);
  if (fit !== null) return fit;
  const near = [
    fitBeyond(turns - 1, -1, samplesPerTurn, samplesPerStep, rateHz),
    fitBeyond(turns + 1, 1, samplesPerTurn, samplesPerStep, rateHz),
  ].filter((other) => other !== null);
  const ask =
    near.length === 0 ? "Give another --speed" : `The nearest that do: ${near.map((each) => each.turns).join(" and ")}`;
  const unit = `whole steps of ${samplesPerStep} samples`;
  throw new RangeError(
    `render: ${countOf(turns)} at this speed and rate ${turns === 1 ? "does" : "do"} not fill ${unit} within 50 ppm. ${ask}.`,
  );
}

function countOf(turns: number): string {
  return turns === 1 ? "1 turn" : `${turns} turns`;
}
