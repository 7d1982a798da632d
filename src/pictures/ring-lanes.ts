import { type EndTurn, type Phase, type PhaseArc } from "./end-phases.js";
import { endInk } from "./palette.js";
import { arcPath, bandPath, pathPoint, pointAt, standingOn } from "./polar.js";
import type { RingMeasures } from "./ring-measures.js";
import { element, textElement } from "./svg-text.js";
import { textWidth } from "./text-fit.js";

// How high a phase stands in its lane where it begins and ends, as pressure stands in the cylinder: full of steam,
// falling, low, rising. A sign of the phase, not a measured pressure. [common practice: indicator diagram]
const phaseHeights: Readonly<Record<Phase, readonly [number, number]>> = {
  steam: [1, 1],
  expansion: [1, 0.42],
  exhaust: [0.16, 0.16],
  compression: [0.16, 0.6],
};

/** Height of a phase's band where it begins and ends, as a share of the lane. */
export function phaseHeight(phase: Phase): readonly [number, number] {
  return phaseHeights[phase];
}

/** One cylinder end's phase as a shape on the circle `radius`. */
function phaseShape(turn: EndTurn, arc: PhaseArc, radius: number, laneHeight: number): string {
  const { phase, fromDeg, sweepDeg } = arc;
  const { fill, stroke, dashes } = endInk(turn.cylinder, turn.end);
  const [fromShare, toShare] = phaseHeights[phase];
  const facts = { "data-phase": phase, "data-from-deg": fromDeg, "data-sweep-deg": sweepDeg };
  if (phase === "exhaust") {
    const d = arcPath(radius + fromShare * laneHeight, fromDeg, sweepDeg);
    return element("path", { ...facts, class: stroke, "stroke-width": 4, "stroke-dasharray": dashes, d });
  }
  const d = bandPath(radius, fromShare * laneHeight, toShare * laneHeight, fromDeg, sweepDeg);
  return element("path", { ...facts, class: phase === "steam" ? fill : `${fill} shut`, d });
}

/** All lanes: each end's phases, its events as ticks, its own dead centre as a dot, and its name. */
export function ringLanes(turns: readonly EndTurn[], measures: RingMeasures): string[] {
  return turns.map((turn, i) => {
    const radius = measures.laneRadii[i]!;
    const { laneHeight } = measures;
    const parts = [element("circle", { class: "hair", r: radius })];
    // The bands first, so that a line of exhaust shows where steam blows straight through.
    const drawn = [...turn.arcs].sort((a, b) => Number(a.phase === "exhaust") - Number(b.phase === "exhaust"));
    parts.push(...drawn.map((arc) => phaseShape(turn, arc, radius, laneHeight)));
    for (const { shaftDeg } of turn.events) {
      if (shaftDeg === null) continue;
      const d = `M${pathPoint(shaftDeg, radius)}L${pathPoint(shaftDeg, radius + laneHeight)}`;
      parts.push(element("path", { class: "line", "stroke-width": 1, d }));
    }
    const centre = pointAt(turn.deadCentreDeg, radius);
    parts.push(element("circle", { class: "dot", cx: centre.x, cy: centre.y, r: 5 }));
    parts.push(...laneWords(turn, radius, laneHeight));
    const name = `${turn.cylinder} ${turn.end}`;
    return element("g", { class: "lane", "data-end": name }, parts);
  });
}

// Type in the lanes, as a share of their height and at most as large as the labels. [common practice]
const LANE_TYPE_RATIO = 0.56;
const GREATEST_LANE_TYPE = 17;
const LEAST_LANE_TYPE = 11;
// The middle of what the line of exhaust leaves free.
const ABOVE_EXHAUST_RATIO = 0.64;
// Lower lanes carry the end's name only: the legend names the phases.
const LEAST_WORDED_HEIGHT = 24;

/** The end's name over its exhaust, or over its longest arc; the phases' names in broad lanes. */
function laneWords(turn: EndTurn, radius: number, laneHeight: number): string[] {
  const size = Math.max(LEAST_LANE_TYPE, Math.min(GREATEST_LANE_TYPE, LANE_TYPE_RATIO * laneHeight));
  const sagitta = (text: string) => {
    const halfWidth = 0.5 * textWidth(text, size, true);
    return (0.5 * halfWidth * halfWidth) / radius;
  };
  const clearsLine = (text: string) => size + sagitta(text) <= (1 - phaseHeights.exhaust[0]) * laneHeight;
  const isWorded = laneHeight >= LEAST_WORDED_HEIGHT;
  const named = turn.arcs.find(({ phase }) => phase === "exhaust") ?? longest(turn.arcs);
  const words: string[] = [];
  for (const arc of turn.arcs) {
    const isNamed = arc === named;
    const name = `${turn.cylinder} ${turn.end}`;
    const text = !isNamed ? arc.phase : arc.phase === "exhaust" ? `${name}, exhaust` : `${name}, ${arc.phase}`;
    const room = (Math.abs(arc.sweepDeg) * Math.PI * radius) / 180 - 2 * size;
    const fits = textWidth(text, size, true) <= room && (arc.phase !== "exhaust" || clearsLine(text));
    const fitting = isWorded && fits ? text : isNamed ? name : "";
    if (fitting === "") continue;
    const share = arc.phase === "exhaust" ? ABOVE_EXHAUST_RATIO : 0.5 * Math.max(...phaseHeights[arc.phase]);
    // A straight line of text leaves the circle at both ends by its sagitta: it is lowered by half of that.
    const onRadius = radius + share * laneHeight - 0.5 * sagitta(fitting);
    const hasOverlap = isNamed && turn.arcs.some((other) => other !== arc && covers(other, arc));
    const look = hasOverlap ? "halo" : arc.phase === "steam" ? endInk(turn.cylinder, turn.end).onFill : undefined;
    const place = standingOn(arc.fromDeg + arc.sweepDeg / 2, onRadius);
    const attributes = {
      class: look,
      transform: place,
      "font-size": size,
      "font-weight": isNamed ? 700 : undefined,
      "text-anchor": "middle",
      dy: 0.35 * size,
    };
    words.push(textElement("text", attributes, fitting));
  }
  return words;
}

function longest(arcs: readonly PhaseArc[]): PhaseArc | undefined {
  return [...arcs].sort((a, b) => Math.abs(b.sweepDeg) - Math.abs(a.sweepDeg))[0];
}

/** Whether the middle of `arc` lies in `other`. */
function covers(other: PhaseArc, arc: PhaseArc): boolean {
  const way = Math.sign(other.sweepDeg);
  const onDeg = way * (arc.fromDeg + arc.sweepDeg / 2 - other.fromDeg);
  return onDeg - 360 * Math.floor(onDeg / 360) < Math.abs(other.sweepDeg);
}
