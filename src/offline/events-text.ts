import { beatRateHz } from "../gear/beats.js";
import type { EndEvents } from "../gear/valve-events.js";
import type { EventsReport } from "./events-report.js";

/** What openings are printed in. Lead is printed in both. */
export type LengthUnits = "metric" | "imperial";

// [source: international inch of 1959, exact]
const SIXTY_FOURTH_INCH_M = 0.0254 / 64;

/**
 * The events as plain tables for a terminal: degrees and per cent of stroke to 0.1, lead in mm and in 1/64 in. It ends
 * with the caution.
 *
 * @param speedRpm to say how many beats that makes in a second; left out, it is not said
 */
export function eventsText(report: EventsReport, units: LengthUnits, speedRpm?: number): string {
  const lines = [heading(report), "", ...endTable(report.ends, units), "", ...beatTable(report, speedRpm), ""];
  if (report.assumed.length > 0) {
    lines.push("Assumed:", ...report.assumed.map(({ name, value, rule }) => `  ${name} = ${value} (${rule})`), "");
  }
  if (report.warnings.length > 0) lines.push("Warnings:", ...report.warnings.map((warning) => `  ${warning}`), "");
  lines.push(report.caution);
  return lines.join("\n");
}

function heading({ cutoffRatio }: EventsReport): string {
  if (cutoffRatio === null) return "Valve events of oscillating cylinders, running forward.";
  const gear = cutoffRatio < 0 ? "backward" : "forward";
  return `Valve events at ${tenths(100 * Math.abs(cutoffRatio))} % cut-off, ${gear} gear.`;
}

function endTable(ends: readonly EndEvents[], units: LengthUnits): string[] {
  const unitM = units === "metric" ? 0.001 : SIXTY_FOURTH_INCH_M;
  const unitName = units === "metric" ? "mm" : "1/64 in";
  const opening = (lengthM: number) => fixed(lengthM / unitM, units === "metric" ? 2 : 1);
  const percent = (ratio: number | null) => (ratio === null ? "-" : tenths(100 * ratio));
  const degrees = (angleDeg: number | null) => (angleDeg === null ? "-" : tenths(angleDeg));
  const rows = ends.map((end) => [
    `${end.cylinder} ${end.end}`,
    degrees(end.admissionDeg),
    percent(end.admissionStrokeRatio),
    degrees(end.cutoffDeg),
    percent(end.cutoffStrokeRatio),
    degrees(end.releaseDeg),
    percent(end.releaseStrokeRatio),
    degrees(end.compressionDeg),
    percent(end.compressionStrokeRatio),
    fixed(end.leadM / 0.001, 2),
    tenths(end.leadM / SIXTY_FOURTH_INCH_M),
    opening(end.maxSteamOpeningM),
    opening(end.maxExhaustOpeningM),
  ]);
  const names = ["end", "admits", "", "cuts off", "", "releases", "", "compresses", "", "lead", "", "steam", "exhaust"];
  const unitRow = ["", "deg", "%", "deg", "%", "deg", "%", "deg", "%", "mm", "1/64 in", unitName, unitName];
  return [
    ...columns([names, unitRow, ...rows]),
    "Degrees of that cylinder's crank in the running direction, from its head-end dead centre. Per cent of the stroke",
    "on which the event falls; admission: of the return stroke still to go. Steam and exhaust: greatest openings.",
  ];
}

function beatTable(report: EventsReport, speedRpm: number | undefined): string[] {
  if (report.beats.length === 0) return ["No exhaust beats: no end exhausts to the air."];
  const rows = report.beats.map((beat) => [
    tenths(beat.shaftDeg),
    `${beat.cylinder} ${beat.end}`,
    tenths(beat.intervalDeg),
    beat.relativeLevelDb === null ? "-" : tenths(beat.relativeLevelDb),
  ]);
  const rate =
    speedRpm === undefined
      ? ""
      : `, ${tenths(beatRateHz(report.beatsPerTurn, speedRpm))} a second at ${tenths(Math.abs(speedRpm))} rpm`;
  const lines = [
    `Exhaust beats: ${report.beatsPerTurn} a turn${rate}.`,
    ...columns([["shaft", "end", "to the next", "level"], ["deg", "", "deg", "dB"], ...rows]),
  ];
  if (report.audibleShiftDeg !== null) {
    lines.push(`An ear notices one beat out of place from about ${tenths(report.audibleShiftDeg)} deg at this speed.`);
  }
  return lines;
}

/** Right-aligned columns, two spaces apart. */
function columns(rows: readonly (readonly string[])[]): string[] {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((row) => row[i]!.length)));
  return rows.map((row) =>
    row
      .map((cell, i) => cell.padStart(widths[i]!))
      .join("  ")
      .trimEnd(),
  );
}

function tenths(value: number): string {
  return fixed(value, 1);
}

function fixed(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace("-", "") : text;
}
