import type { BeatArrival } from "./beat-arrivals.js";
import { columns } from "./terminal-text.js";

/** A beat, where it came, and where the valve's geometry alone puts it. */
export interface ExpectedArrival extends BeatArrival {
  /** Unwrapped shaft angle of release, degrees. */
  readonly expectedDeg: number;
}

/** Per beat where it was expected and where it came, and below it one line that sums up. */
export function firstSoundTable(arrivals: readonly ExpectedArrival[], runsBackwards: boolean): string {
  if (arrivals.length === 0) return "No beats: no end exhausts to the air.";
  const direction = runsBackwards ? -1 : 1;
  const after = (deg: number | null, beat: number): number | null => (deg === null ? null : direction * (deg - beat));
  const flowOff = arrivals.map(({ expectedDeg, flowStartDeg }) => after(flowStartDeg, expectedDeg));
  const lags = arrivals.map(({ expectedDeg, soundCentreDeg }) => after(soundCentreDeg, expectedDeg));
  const heard = lags.filter((lag) => lag !== null);
  const meanLag = heard.length === 0 ? null : heard.reduce((sum, lag) => sum + lag, 0) / heard.length;
  const lagOff = lags.map((lag) => (lag === null || meanLag === null ? null : lag - meanLag));
  const rows = arrivals.map(({ beat, expectedDeg, flowStartDeg, soundCentreDeg }, i) => [
    beat.timeS.toFixed(3),
    `${beat.cylinder} ${beat.end}`,
    degrees(expectedDeg, 2),
    degrees(flowStartDeg, 2),
    signedDegrees(flowOff[i]!, 3),
    degrees(soundCentreDeg, 1),
    degrees(lags[i]!, 1),
    signedDegrees(lagOff[i]!, 1),
  ]);
  const head = ["time s", "beat", "expected", "flow began", "off by", "sound centred", "after release", "off the mean"];
  return [
    "The beats of the last turns, in degrees of the shaft.",
    "Expected: where the valve's own geometry opens that end to the exhaust. Flow began: in the running model, at 0.1 %",
    "of its peak. Sound centred: centroid of the rendered beat, 300 to 4000 Hz.",
    "",
    columns(head, rows),
    "",
    sumUp(flowOff, meanLag, lagOff),
  ].join("\n");
}

function sumUp(
  flowOff: readonly (number | null)[],
  meanLag: number | null,
  lagOff: readonly (number | null)[],
): string {
  const greatest = (values: readonly (number | null)[]): number =>
    Math.max(...values.filter((value) => value !== null).map(Math.abs));
  const began = flowOff.filter((value) => value !== null).length;
  const flow =
    began === 0
      ? "none shows where its flow began, as no end's flow stops between beats"
      : `${began === flowOff.length ? "every one's flow" : `the flow of ${began}`} began within ${greatest(flowOff).toFixed(3)} degrees of where it was expected`;
  const sound =
    meanLag === null
      ? "the shaft does not run evenly enough to say where the sound is centred"
      : `the sound is centred ${meanLag.toFixed(1)} degrees after release, each beat within ${greatest(lagOff).toFixed(1)} of that`;
  return `Of ${flowOff.length} beats ${flow}; ${sound}.`;
}

function degrees(value: number | null, digits: number): string {
  return value === null ? "-" : value.toFixed(digits);
}

function signedDegrees(value: number | null, digits: number): string {
  if (value === null) return "-";
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace("-", "") : value > 0 ? `+${text}` : text;
}
