import { beatRateHz } from "../gear/beats.js";
import type { EndEvents } from "../gear/valve-events.js";
import type { EventsReport, ReportedBeat } from "./events-report.js";
import { faultWords } from "./reported-faults.js";

// A beat that has lost this much is heard to be weaker. [common practice: half the power]
const plainlyWeakerDb = 3;

/** What openings are printed in. */
export type LengthUnits = "metric" | "imperial";

// [source: international inch of 1959, exact]
const SIXTY_FOURTH_INCH_M = 0.0254 / 64;

/**
 * The events as plain tables for a terminal: degrees and per cent of stroke to 0.1, lead and openings in mm or 1/64 in.
 * Of a machine with faults the beats stand beside those it has in good order. It ends with the caution.
 *
 * @param speedRpm to say how many beats that makes in a second; left out, it is not said
 */
export function eventsText(report: EventsReport, units: LengthUnits, speedRpm?: number): string {
  const lines = [heading(report), ""];
  if (report.faults.length > 0)
    lines.push("Out of true:", ...report.faults.map((fault) => `  ${faultWords(fault)}`), "");
  lines.push(...endTable(report.ends, units), "", ...beatTable(report, speedRpm), "", ...assumedLines(report));
  if (report.warnings.length > 0) lines.push("Warnings:", ...report.warnings.map((warning) => `  ${warning}`), "");
  lines.push(report.caution);
  return lines.join("\n");
}

// Names of what decides the events; the rest bears on the sound only.
const DECIDES_EVENTS = /^(valveGear|cylinders)\.(?!pistonRod|clearance|portLength)/;

function assumedLines({ assumed }: EventsReport): string[] {
  const bearing = assumed.filter(({ name }) => DECIDES_EVENTS.test(name));
  const lines = bearing.map(({ name, value, rule }) => `  ${name} = ${value} (${rule})`);
  if (lines.length > 0) lines.unshift("Assumed:");
  const others = assumed.length - bearing.length;
  if (others > 0) {
    const count = others === 1 ? "One value" : `${others} values`;
    lines.push(
      `${count} that do${others === 1 ? "es" : ""} not bear on the events ${others === 1 ? "was" : "were"} assumed too; 'fourbeat check' lists all.`,
    );
  }
  return lines.length > 0 ? [...lines, ""] : [];
}

function heading({ cutoffRatio, fullGearCutoffRatio }: EventsReport): string {
  if (cutoffRatio === null) return "Valve events of oscillating cylinders, running forward.";
  const gear = cutoffRatio < 0 ? "backward" : "forward";
  const isFull = fullGearCutoffRatio !== null && Math.abs(cutoffRatio) >= fullGearCutoffRatio - 1e-12;
  const full =
    fullGearCutoffRatio === null || isFull
      ? "full gear"
      : `full gear cuts off at ${tenths(100 * fullGearCutoffRatio)} %`;
  return `Valve events at ${tenths(100 * Math.abs(cutoffRatio))} % cut-off, ${gear} gear; ${full}.`;
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
    opening(end.leadM),
    opening(end.maxSteamOpeningM),
    opening(end.maxExhaustOpeningM),
  ]);
  const names = ["end", "admits", "", "cuts off", "", "releases", "", "compresses", "", "lead", "steam", "exhaust"];
  const unitRow = ["", "deg", "%", "deg", "%", "deg", "%", "deg", "%", unitName, unitName, unitName];
  return [
    ...columns([names, unitRow, ...rows]),
    "Degrees of that cylinder's crank in the running direction, of both ends from its head-end dead centre: the crank",
    "end's own dead centre is at 180. Per cent of the stroke on which the event falls; admission: of the return stroke",
    "still to go. Lead: opening at the end's own dead centre, negative if still shut. Steam, exhaust: greatest openings.",
  ];
}

function beatTable(report: EventsReport, speedRpm: number | undefined): string[] {
  if (report.beats.length === 0) return ["No exhaust beats: no end exhausts to the air."];
  const rate =
    speedRpm === undefined
      ? ""
      : `, ${tenths(beatRateHz(report.beatsPerTurn, speedRpm))} a second at ${tenths(Math.abs(speedRpm))} rpm`;
  const lines = [`Exhaust beats: ${report.beatsPerTurn} a turn${rate}.`];
  lines.push(...columns(report.faults.length === 0 ? plainRows(report.beats) : comparedRows(report.beats)));
  if (report.faults.length > 0) {
    lines.push(
      "Healthy: with nothing out of true. Difference: how much later. Shift heard: among the beats on either side.",
      ...weakerLines(report.beats),
    );
  }
  if (report.beats.some(({ relativeLevelDb }) => relativeLevelDb !== null)) {
    lines.push("Level: strength against the loudest, 100 to 800 Hz, at that speed with the regulator full open.");
  }
  if (report.audibleShiftDeg !== null) {
    lines.push(`An ear notices one beat out of place from about ${tenths(report.audibleShiftDeg)} deg at this speed.`);
  }
  return lines;
}

// Beats that lose strength say so: nothing of it is in when they come.
function weakerLines(beats: readonly ReportedBeat[]): string[] {
  const weaker = beats.flatMap(({ cylinder, end, relativeLevelDb, healthyRelativeLevelDb }) => {
    if (relativeLevelDb === null || healthyRelativeLevelDb === null) return [];
    const lostDb = healthyRelativeLevelDb - relativeLevelDb;
    return lostDb >= plainlyWeakerDb ? [`${cylinder} ${end} by ${tenths(lostDb)} dB`] : [];
  });
  return weaker.length === 0 ? [] : [`Plainly weaker beside the loudest than when healthy: ${weaker.join(", ")}.`];
}

function plainRows(beats: readonly ReportedBeat[]): string[][] {
  const rows = beats.map((beat) => [
    tenths(beat.shaftDeg),
    `${beat.cylinder} ${beat.end}`,
    tenths(beat.intervalDeg),
    tenthsOrDash(beat.relativeLevelDb),
  ]);
  return [["shaft", "end", "to the next", "level"], ["deg", "", "deg", "dB"], ...rows];
}

function comparedRows(beats: readonly ReportedBeat[]): string[][] {
  const rows = beats.map((beat) => [
    `${beat.cylinder} ${beat.end}`,
    tenthsOrDash(beat.healthyShaftDeg),
    tenths(beat.shaftDeg),
    beat.deviationDeg === null ? "-" : signed(beat.deviationDeg),
    beat.isAudible ? "yes" : "no",
    tenths(beat.intervalDeg),
    tenthsOrDash(beat.healthyRelativeLevelDb),
    tenthsOrDash(beat.relativeLevelDb),
  ]);
  return [
    ["end", "healthy", "now", "difference", "shift heard", "to the next", "healthy level", "level now"],
    ["", "deg", "deg", "deg", "", "deg", "dB", "dB"],
    ...rows,
  ];
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

function tenthsOrDash(value: number | null): string {
  return value === null ? "-" : tenths(value);
}

function signed(value: number): string {
  const text = tenths(value);
  return Number(text) > 0 ? `+${text}` : text;
}

function fixed(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace("-", "") : text;
}
