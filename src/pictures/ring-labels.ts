import { endInk } from "./palette.js";
import type { CylinderEnd } from "../gear/gear-description.js";
import { pathPoint, pointAt } from "./polar.js";
import { type RingMeasures, typeSize } from "./ring-measures.js";
import { spreadLabels } from "./spread-labels.js";
import { coordinate, element, textElement } from "./svg-text.js";

/** A label outside the ring. */
export interface RingLabel {
  readonly cylinder: number;
  readonly end: CylinderEnd;
  readonly shaftDeg: number;
  /** Radius from which its leader starts. */
  readonly fromRadius: number;
  /** What it is: set bold. */
  readonly heading: string;
  /** The figures. */
  readonly figures: string;
}

/** Height that a label takes, its gap to the next included. [common practice] */
export const LABEL_PITCH = 48;

const BAR_HEIGHT = 38;
const TEXT_INSET = 12;

/** Where a label has come to stand. */
export interface PlacedLabel extends RingLabel {
  /** 1 right of the ring, -1 left of it. */
  readonly side: 1 | -1;
  /** Of the bar at its inner edge, from the middle of the ring. */
  readonly x: number;
  /** Of its middle. */
  readonly y: number;
}

/** Sets labels around the ring, each on its own side, as near to their angles as they go without touching. */
export function placeLabels(labels: readonly RingLabel[], { labelRadius }: RingMeasures): PlacedLabel[] {
  return ([1, -1] as const).flatMap((side) => {
    const own = labels
      .filter(({ shaftDeg }) => (shaftDeg < 180 ? 1 : -1) === side)
      .map((label) => ({ label, y: pointAt(label.shaftDeg, labelRadius + LABEL_PITCH / 2).y }))
      .sort((a, b) => a.y - b.y);
    const bound = labelRadius + LABEL_PITCH / 2;
    const places = spreadLabels(
      own.map(({ y }) => y),
      LABEL_PITCH,
      -bound,
      bound,
    );
    return own.map(({ label }, i): PlacedLabel => {
      const y = places[i]!;
      // The corner nearest the middle stands on the circle; beyond the circle's top the label keeps to its side.
      const nearY = Math.max(0, Math.abs(y) - LABEL_PITCH / 2);
      const onCircle = Math.sqrt(Math.max(0, labelRadius * labelRadius - nearY * nearY));
      return { ...label, side, x: side * Math.max(10, onCircle), y };
    });
  });
}

/** Draws labels: a leader from what they name, a bar in the end's colour and dashes, two lines of text. */
export function ringLabels(placed: readonly PlacedLabel[], measures: RingMeasures): string[] {
  return placed.map((label) => {
    const { side, x, y } = label;
    const { stroke, dashes } = endInk(label.cylinder, label.end);
    const knee = pathPoint(label.shaftDeg, measures.labelRadius - 14);
    const leader = `M${pathPoint(label.shaftDeg, label.fromRadius)}L${knee}L${coordinate(x)} ${coordinate(y)}`;
    const text = { x: x + side * TEXT_INSET, "text-anchor": side === 1 ? "start" : "end", "font-size": typeSize.label };
    const bar = { x1: x, y1: y - BAR_HEIGHT / 2, x2: x, y2: y + BAR_HEIGHT / 2 };
    return element("g", { class: "label" }, [
      element("path", { class: "leader", d: leader }),
      element("line", { class: stroke, "stroke-width": 5, "stroke-dasharray": dashes, ...bar }),
      textElement("text", { ...text, y: y - 4, "font-weight": 700 }, label.heading),
      textElement("text", { ...text, y: y + 15 }, label.figures),
    ]);
  });
}
