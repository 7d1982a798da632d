import type { RunningDirection } from "../gear/equivalent-eccentric.js";
import { arcPath, pathPoint, pointAt } from "./polar.js";
import { type RingMeasures, typeSize } from "./ring-measures.js";
import { element, textElement } from "./svg-text.js";

/** Rims, spokes at the quarters, ticks every 10 degrees and figures every 30, as on a degree wheel. */
export function ringScale({ holeRadius, rimRadius, beatRadius }: RingMeasures): string[] {
  const spokes = [0, 90, 180, 270].map(
    (angleDeg) => `M${pathPoint(angleDeg, holeRadius)}L${pathPoint(angleDeg, beatRadius)}`,
  );
  const ticks = Array.from({ length: 36 }, (_, i) => 10 * i).flatMap((angleDeg) => {
    const length = angleDeg % 30 === 0 ? 9 : 5;
    return [
      `M${pathPoint(angleDeg, holeRadius)}L${pathPoint(angleDeg, holeRadius - length)}`,
      `M${pathPoint(angleDeg, beatRadius)}L${pathPoint(angleDeg, beatRadius - 0.7 * length)}`,
    ];
  });
  const figures = Array.from({ length: 12 }, (_, i) => 30 * i).map((angleDeg) => {
    const { x, y } = pointAt(angleDeg, holeRadius - 24 - (angleDeg % 180 === 90 ? 8 : 0));
    const isQuarter = angleDeg % 90 === 0;
    const attributes = {
      class: isQuarter ? undefined : "quiet",
      x,
      y,
      dy: 5,
      "font-size": typeSize.small,
      "font-weight": isQuarter ? 700 : undefined,
      "text-anchor": "middle",
    };
    return textElement("text", attributes, `${angleDeg}°`);
  });
  return [
    element("path", { class: "hair", d: spokes.join("") }),
    element("circle", { class: "line", r: holeRadius, "stroke-width": 1 }),
    element("circle", { class: "hair", r: rimRadius }),
    element("circle", { class: "line", r: beatRadius, "stroke-width": 1 }),
    element("path", { class: "line", "stroke-width": 1, d: ticks.join("") }),
    ...figures,
  ];
}

/** What stands in the middle: which way it runs, the beats of a turn as a large figure, and lines under it. */
export interface RingMiddle {
  readonly direction: RunningDirection;
  /** `4`, or words in its place. */
  readonly large: string;
  readonly lines: readonly string[];
}

// The arrow spans this much of the turn about the top. [common practice]
const ARROW_DEG = 56;

/** The middle of the ring, with an arrow in the running direction. */
export function ringMiddle({ direction, large, lines }: RingMiddle, { holeRadius }: RingMeasures): string[] {
  const radius = holeRadius - 48;
  const startDeg = (-direction * ARROW_DEG) / 2;
  const endDeg = -startDeg;
  const headDeg = (direction * 180 * 14) / (Math.PI * radius);
  const head = [pathPoint(endDeg + headDeg, radius), pathPoint(endDeg, radius + 6), pathPoint(endDeg, radius - 6)].join(
    "L",
  );
  const size = /^\d+$/.test(large) ? 80 : 30;
  const middle = { x: 0, "text-anchor": "middle" };
  const way = direction === 1 ? "running forward" : "running backward";
  return [
    element("path", { class: "line", "stroke-width": 2, d: arcPath(radius, startDeg, direction * ARROW_DEG) }),
    element("path", { class: "ink", d: `M${head}Z` }),
    textElement("text", { ...middle, y: 38 - radius, "font-size": typeSize.small }, way),
    textElement("text", { ...middle, y: 20, "font-size": size, "font-weight": 700 }, large),
    ...lines.map((line, i) => textElement("text", { ...middle, y: 48 + 23 * i, "font-size": typeSize.text }, line)),
  ];
}
