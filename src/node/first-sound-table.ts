import type { BeatArrival } from "./beat-arrivals.js";
import { columns } from "./terminal-text.js";

/** Per beat where it was expected and where it came, and below it one line that sums up. */
export function firstSoundTable(arrivals: readonly BeatArrival[], runsBackwards: boolean): string {
  if (arrivals.length === 0) return "No beats: no end exhausts to the air.";
  const direction = runsBackwards ? -1 : 1;
  const after = (deg: number | null, beat: number): number | null => (deg === null ? null : direction * (deg - beat));
  const flowOff = arrivals.map(({ beat, flowStartDeg }) => after(flowStartDeg, beat.shaftDeg));
  const lags = arrivals.map(({ beat, soundCentreDeg }) => after(soundCentreDeg, beat.shaftDeg));
  const heard = lags.filter((lag) => lag !== null);
  const meanLag = heard.length === 0 ? null : heard.reduce((sum, lag) => sum + lag, 0) / heard.length;
  const lagOff = lags.map((lag) => (lag === null || meanLag === null ? null : lag - meanLag));
  const rows = arrivals.map(({ beat, flowStartDeg, soundCentreDeg }, i) => [
    beat.timeS.toFixed(3),
    `${beat.cylinder} ${beat.end}`,
    beat.shaftDeg.toFixed(2),
    degrees(flowStartDeg),
    signedDegrees(flowOff[i]!),
    degrees(soundCentreDeg),
    degrees(lags[i]!),
    signedDegrees(lagOff[i]!),
  ]);
  const head = ["time s", "beat", "expected", "flow began", "off by", "sound centred", "after release", "off the mean"];
  return [
    "The beats of the last turns, in degrees of the shaft. Expected: where the valve opens that end to the exhaust.",
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
      ? "the exhaust flow of no end stops between beats"
      : `the exhaust flow of ${began} began within ${greatest(flowOff).toFixed(2)} degrees of where it was expected`;
  const sound =
    meanLag === null
      ? "the shaft does not run evenly enough to say where the sound is centred"
      : `the sound is centred ${meanLag.toFixed(1)} degrees after release, each beat within ${greatest(lagOff).toFixed(1)} of that`;
  return `Of ${flowOff.length} beats ${flow}; ${sound}.`;
}

function degrees(value: number | null): string {
  return value === null ? "-" : value.toFixed(2);
}

function signedDegrees(value: number | null): string {
  if (value === null) return "-";
  const text = value.toFixed(2);
  return Number(text) === 0 ? "0.00" : value > 0 ? `+${text}` : text;
}
