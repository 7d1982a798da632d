import type { EndTurn, EventMark } from "./end-phases.js";
import { endInk } from "./palette.js";
import { percentReading, turnReading } from "./readings.js";
import type { PagePart } from "./ring-legend.js";
import { typeSize } from "./ring-measures.js";
import { element, textElement } from "./svg-text.js";

const ROW_PITCH = 34;
const HEAD_HEIGHT = 40;

/** Every end's events: shaft angle, and share of the stroke in hand. */
export function ringTable(turns: readonly EndTurn[], width: number): PagePart {
  const nameX = 74;
  const firstX = 200;
  const pitch = (width - firstX) / 4;
  const head = { "font-size": typeSize.text, "font-weight": 700 };
  const degreesX = (i: number) => firstX + i * pitch + 0.45 * pitch;
  const pieces = [
    textElement("text", { ...head, x: 0, y: 20 }, "cylinder end"),
    ...(["admission", "cut-off", "release", "compression"] as const).map((name, i) =>
      textElement("text", { ...head, x: degreesX(i) + 0.5 * pitch, y: 20, "text-anchor": "end" }, name),
    ),
    element("path", { class: "line", "stroke-width": 1, d: `M0 31L${width} 31` }),
  ];
  turns.forEach((turn, row) => {
    const { stroke, dashes } = endInk(turn.cylinder, turn.end);
    const y = HEAD_HEIGHT + row * ROW_PITCH + 20;
    const line = { class: stroke, "stroke-width": 7, "stroke-dasharray": dashes, x1: 0, y1: y - 6, x2: 58, y2: y - 6 };
    pieces.push(element("line", line));
    pieces.push(textElement("text", { ...head, x: nameX, y }, `${turn.cylinder} ${turn.end}`));
    turn.events.forEach((event, i) => {
      const [degrees, percent] = eventReadings(event);
      const text = { y, "font-size": typeSize.text, "text-anchor": "end" };
      pieces.push(textElement("text", { ...text, x: degreesX(i) }, degrees));
      pieces.push(textElement("text", { ...text, class: "quiet", x: degreesX(i) + 0.5 * pitch }, percent));
    });
    const below = y + 12;
    pieces.push(element("path", { class: "hair", d: `M0 ${below}L${width} ${below}` }));
  });
  return { svg: pieces.join(""), height: HEAD_HEIGHT + turns.length * ROW_PITCH };
}

/** An event's two figures: shaft angle, share of the stroke. */
export function eventReadings({ shaftDeg, strokeRatio }: EventMark): readonly [string, string] {
  return [shaftDeg === null ? "never" : turnReading(shaftDeg), strokeRatio === null ? "" : percentReading(strokeRatio)];
}
