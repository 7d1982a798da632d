import { pow } from "../quantities/portable-maths.js";
import type { RunningDirection } from "../gear/equivalent-eccentric.js";
import { inTurn } from "./end-phases.js";
import { endInk } from "./palette.js";
import { arcPath, pathPoint, pointAt } from "./polar.js";
import { degreesReading } from "./readings.js";
import type { RingMeasures } from "./ring-measures.js";
import { element, textElement } from "./svg-text.js";
import type { RingBeat } from "./turn-ring-content.js";

/** What is so much fainter sounds half as loud. [source: Stevens, The measurement of loudness, JASA 27, 1955] */
export const HALF_AS_LOUD_DB = 10;

/** How long a beat's stroke is against the loudest one's, 0 to 1: half as long sounds half as loud. */
export function strokeRatio(relativeLevelDb: number): number {
  return Math.min(1, pow(0.5, -relativeLevelDb / HALF_AS_LOUD_DB));
}

const STROKE_WIDTH = 9;

// A beat of unknown loudness is a stub. [common practice]
const STUB_RATIO = 0.12;

/** Length of a beat's stroke in the units of the page. */
export function beatStrokeLength(beat: RingBeat, { beatLength }: RingMeasures): number {
  return beatLength * (beat.relativeLevelDb === null ? STUB_RATIO : strokeRatio(beat.relativeLevelDb));
}

/** The beats as strokes that point away from the ring, with circles for the loudest and for half of it. */
export function ringBeats(beats: readonly RingBeat[], measures: RingMeasures): string[] {
  const { beatRadius, beatLength } = measures;
  if (beats.length === 0) return [];
  const circles = [0.5, 1].map((ratio) =>
    element("circle", { class: "hair", "stroke-dasharray": "1 5", r: beatRadius + ratio * beatLength }),
  );
  const asideOf = strokesAside(beats, beatRadius);
  const strokes = beats.map((beat, i) => {
    const { fill, stroke, dashes } = endInk(beat.cylinder, beat.end);
    const tip = -beatRadius - beatStrokeLength(beat, measures);
    const x = asideOf[i]!;
    const line = { class: stroke, "stroke-width": STROKE_WIDTH, "stroke-dasharray": dashes };
    const facts = { "data-shaft-deg": beat.shaftDeg, "data-end": `${beat.cylinder} ${beat.end}` };
    return element("g", { class: "beat", ...facts, transform: `rotate(${turned(beat.shaftDeg)})` }, [
      element("line", { ...line, x1: x, y1: -beatRadius, x2: x, y2: tip }),
      element("circle", { class: fill, cx: x, cy: tip, r: 0.5 * STROKE_WIDTH + 1 }),
    ]);
  });
  return [...circles, ...strokes];
}

function turned(angleDeg: number): string {
  return String(Math.round(angleDeg * 1000) / 1000);
}

/** How far each stroke stands aside of its own radius, so that beats that fall together are seen side by side. */
function strokesAside(beats: readonly RingBeat[], radius: number): number[] {
  const room = STROKE_WIDTH + 3;
  const nearDeg = (180 * room) / (Math.PI * radius);
  const count = beats.length;
  const isNear = (i: number) => count > 1 && inTurn(beats[(i + 1) % count]!.shaftDeg - beats[i]!.shaftDeg) < nearDeg;
  const aside = new Array<number>(count).fill(0);
  const first = beats.findIndex((_, i) => !isNear((i + count - 1) % count));
  if (first < 0) return aside;
  for (let i = 0; i < count;) {
    const members = [(first + i) % count];
    while (members.length < count && isNear(members.at(-1)!)) members.push((members.at(-1)! + 1) % count);
    members.forEach((member, k) => (aside[member] = (k - (members.length - 1) / 2) * room));
    i += members.length;
  }
  return aside;
}

// Narrower intervals than this have no room for their figure. [common practice]
const LEAST_SHOWN_DEG = 16;

/** Intervals between distinct beats: a thin arc with its degrees. */
export function ringIntervals(
  beats: readonly RingBeat[],
  direction: RunningDirection,
  measures: RingMeasures,
): string[] {
  const radius = measures.beatRadius + 0.25 * measures.beatLength;
  const running = direction === 1 ? beats : [...beats].reverse();
  return running.flatMap((beat, i) => {
    const next = running[(i + 1) % running.length]!;
    const toNextDeg = inTurn(direction * (next.shaftDeg - beat.shaftDeg));
    // Of beats that fall together the last one's interval is the one drawn.
    const isLastOfPlace = running.length > 1 && Math.abs(toNextDeg - beat.intervalDeg) < 1e-6;
    if (!isLastOfPlace || beat.intervalDeg < LEAST_SHOWN_DEG) return [];
    const marginDeg = (180 * STROKE_WIDTH) / (Math.PI * radius);
    const sweepDeg = direction * (beat.intervalDeg - 2 * marginDeg);
    const middle = pointAt(beat.shaftDeg + (direction * beat.intervalDeg) / 2, radius);
    const text = { class: "quiet halo", x: middle.x, y: middle.y, dy: 5, "font-size": 14, "text-anchor": "middle" };
    const fromDeg = beat.shaftDeg + direction * marginDeg;
    const ends = [fromDeg, fromDeg + sweepDeg].map(
      (angleDeg) => `M${pathPoint(angleDeg, radius - 5)}L${pathPoint(angleDeg, radius + 5)}`,
    );
    return [
      element("path", { class: "leader", d: arcPath(radius, fromDeg, sweepDeg) + ends.join("") }),
      textElement("text", text, degreesReading(beat.intervalDeg)),
    ];
  });
}
