import { pictureStyle } from "./palette.js";
import { beatStrokeLength, ringBeats, ringIntervals } from "./ring-beats.js";
import { placeLabels, ringLabels, type RingLabel } from "./ring-labels.js";
import { ringLanes } from "./ring-lanes.js";
import { ringLegend } from "./ring-legend.js";
import {
  MOST_ENDS_LABELLED,
  PAGE_MARGIN,
  PAGE_WIDTH,
  type RingMeasures,
  ringMeasures,
  typeSize,
} from "./ring-measures.js";
import { ringMiddle, ringScale } from "./ring-scale.js";
import { eventReadings, ringTable } from "./ring-table.js";
import { beatFigures, endTurns, footWords, machineLine, middleWords, ringDescription } from "./ring-words.js";
import { coordinate, element, plainLine, textElement } from "./svg-text.js";
import { fitted, textWidth, wrapped } from "./text-fit.js";
import type { EndTurn } from "./end-phases.js";
import type { TurnRingMachine, TurnRingReport } from "./turn-ring-content.js";

// Largest first. [common practice]
const typeSizeOfName = [typeSize.title, 34, 28] as const;
const LEAST_NAME_SIZE = 24;

const SUBJECT = "Turn ring: valve events and exhaust beats over one turn of the shaft";

/**
 * The turn ring: one turn of the shaft as a ring, each cylinder end's valve events as arcs and the expected beats as
 * strokes whose length is loudness, as one self-contained SVG page.
 *
 * Shaft angle 0 is at the top and forward is clockwise. The same input gives the same bytes. Texts may hold anything.
 *
 * @param report as `eventsReport` gives it
 * @throws RangeError for figures that are not finite, or fewer crank angles than cylinders
 * @example
 * turnRing(report, { name: "Oxmoor mill", speedRpm: 40, direction: 1, crankAnglesDeg: [0], exhaustsToAir: true });
 */
export function turnRing(report: TurnRingReport, machine: TurnRingMachine): string {
  const name = plainLine(machine.name) || "Unnamed engine";
  const turns = endTurns(report, machine);
  const measures = ringMeasures(turns.length, report.beats.length > 0);
  const width = PAGE_WIDTH - 2 * PAGE_MARGIN;
  const labels = placeLabels(labelsOf(report, turns, measures), measures);

  const head = [
    textElement("text", { class: "quiet", x: 0, y: -18, "font-size": typeSize.small }, SUBJECT),
    ...titleLines(name, width),
    textElement("text", { class: "quiet", x: 0, y: 78, "font-size": typeSize.heading }, machineLine(report, machine)),
  ].join("");
  const ring = [
    ...ringScale(measures),
    ...ringLanes(turns, measures),
    ...ringIntervals(report.beats, machine.direction, measures),
    ...ringLabels(labels, measures),
    ...ringBeats(report.beats, measures),
    ...ringMiddle({ direction: machine.direction, ...middleWords(report, machine) }, measures),
  ].join("");
  const circles = report.beats.length > 0 ? measures.labelRadius : measures.beatRadius;
  const reach = Math.max(circles, ...labels.map(({ y }) => Math.abs(y))) + 52;

  let y = 88;
  const pieces = [element("rect", { class: "paper", width: "100%", height: "100%" })];
  const add = (x: number, svg: string) => pieces.push(element("g", { transform: place(x, y) }, svg));
  add(PAGE_MARGIN, head);
  y += 78 + reach;
  add(PAGE_WIDTH / 2, ring);
  y += reach;
  if (turns[0] !== undefined) {
    const legend = ringLegend(turns[0], report.beats.length > 0, width);
    add(PAGE_MARGIN, legend.svg);
    y += legend.height + 20;
  }
  const table = ringTable(turns, width);
  add(PAGE_MARGIN, table.svg);
  y += table.height + 34;
  const texts: [string, number][] = [
    ...footWords(report, machine).map((text): [string, number] => [text, typeSize.small]),
    [plainLine(report.caution), typeSize.caution],
  ];
  for (const [text, size] of texts) {
    const lines = wrapped(text, size, width);
    add(PAGE_MARGIN, lines.map((line, i) => textElement("text", footLine(i, size), line)).join(""));
    y += lines.length * (size + 6) + 8;
  }
  return page(name, ringDescription(report, machine, turns), y + 40, pieces);
}

function footLine(index: number, size: number): Record<string, string | number> {
  return { class: "quiet", x: 0, y: index * (size + 6), "font-size": size };
}

function place(x: number, y: number): string {
  return `translate(${coordinate(x)} ${coordinate(y)})`;
}

/** The name as large as it goes, a long one smaller and in two lines. */
function titleLines(name: string, width: number): string[] {
  const size = typeSizeOfName.find((one) => textWidth(name, one, true) <= width) ?? LEAST_NAME_SIZE;
  const lines = wrapped(name, size, width, true);
  const shown = lines.length <= 2 ? lines : [lines[0]!, fitted(lines.slice(1).join(" "), size, width, true)];
  const firstY = shown.length > 1 ? 16 : 40;
  return shown.map((line, i) =>
    textElement("text", { x: 0, y: firstY + 30 * i, "font-size": size, "font-weight": 700 }, line),
  );
}

/** One label a beat, and for machines of few ends one for every other event. */
function labelsOf(report: TurnRingReport, turns: readonly EndTurn[], measures: RingMeasures): RingLabel[] {
  const beats = report.beats.map((beat): RingLabel => {
    const tip = measures.beatRadius + beatStrokeLength(beat, measures);
    const heading = `${beat.cylinder} ${beat.end} beat`;
    return { ...beat, fromRadius: tip + 8, heading, figures: beatFigures(beat) };
  });
  if (turns.length > MOST_ENDS_LABELLED) return beats;
  const hasBeat = (turn: EndTurn) =>
    report.beats.some(({ cylinder, end }) => cylinder === turn.cylinder && end === turn.end);
  const events = turns.flatMap((turn) =>
    turn.events.flatMap((event): RingLabel[] => {
      if (event.shaftDeg === null || (event.name === "release" && hasBeat(turn))) return [];
      const { cylinder, end } = turn;
      const figures = eventReadings(event)
        .filter((text) => text !== "")
        .join(", ");
      const heading = `${cylinder} ${end} ${event.name}`;
      return [{ cylinder, end, shaftDeg: event.shaftDeg, fromRadius: measures.beatRadius, heading, figures }];
    }),
  );
  return [...beats, ...events];
}

function page(name: string, description: string, height: number, pieces: readonly string[]): string {
  const attributes = {
    xmlns: "http://www.w3.org/2000/svg",
    class: "turn-ring",
    viewBox: `0 0 ${PAGE_WIDTH} ${Math.ceil(height)}`,
    width: PAGE_WIDTH,
    height: Math.ceil(height),
    role: "img",
    "aria-labelledby": "turn-ring-title turn-ring-desc",
    "xml:lang": "en",
  };
  const content = [
    textElement("title", { id: "turn-ring-title" }, `${name}. ${SUBJECT}`),
    textElement("desc", { id: "turn-ring-desc" }, description),
    element("style", {}, pictureStyle("turn-ring")),
    ...pieces,
  ];
  return `<?xml version="1.0" encoding="UTF-8"?>\n${element("svg", attributes, content)}\n`;
}
