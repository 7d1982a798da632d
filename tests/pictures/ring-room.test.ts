import { describe, expect, test } from "vitest";
import { MOST_ENDS_LABELLED, PAGE_WIDTH } from "../../src/pictures/ring-measures.js";
import { textWidth } from "../../src/pictures/text-fit.js";
import { turnRing } from "../../src/pictures/turn-ring.js";
import { allNodes, ofClass, readSvg, type SvgNode } from "./read-svg.js";
import { figures, locomotive, ringCase, type RingCase } from "./ring-machines.js";

interface Box {
  readonly text: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

// Capitals reach 0.73 of the type size above the line, tails 0.21 below it, digits not at all, in the usual grotesques. From memory.
const ABOVE = 0.74;
const BELOW = 0.22;

/** The box of a text that stands level. */
function boxOf(node: SvgNode): Box {
  const { x, y, dy, "font-size": size, "text-anchor": anchor, "font-weight": weight } = node.attributes;
  const width = textWidth(node.text, Number(size), weight === "700");
  const line = Number(y) + Number(dy ?? 0);
  const left = Number(x) - (anchor === "end" ? width : anchor === "middle" ? width / 2 : 0);
  const [top, bottom] = [line - ABOVE * Number(size), line + (/^\d+$/.test(node.text) ? 0 : BELOW) * Number(size)];
  return { text: node.text, left, right: left + width, top, bottom };
}

/** The ring's level texts: labels, intervals, scale and middle. Words in the lanes turn with them. */
function ringBoxes(ring: SvgNode): Box[] {
  const group = allNodes(ring).find(({ children }) => children.some((one) => one.attributes.class === "lane"))!;
  return allNodes(group)
    .filter(({ name, attributes }) => name === "text" && attributes.transform === undefined)
    .map(boxOf);
}

function overlaps(boxes: readonly Box[]): string[] {
  return boxes.flatMap((a, i) =>
    boxes
      .slice(i + 1)
      .filter((b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom)
      .map((b) => `${a.text} / ${b.text}`),
  );
}

const draw = ({ report, machine }: RingCase): SvgNode => readSvg(turnRing(report, machine));

describe("the texts around and in the ring", () => {
  const rolls = Array.from({ length: 60 }, (_, i) => i + 1);

  test.each(rolls)("do not overlap and stay on the page: roll %i", (seed) => {
    const figure = figures(seed * 7919);
    const next = () => figure.next().value;
    const count = 1 + Math.floor(4 * next());
    // Some machines have their cranks so near together that the beats crowd.
    const spreadDeg = [360, 40, 8, 0][Math.floor(4 * next())]!;
    const angles = Array.from({ length: count }, (_, k) => (k === 0 ? 0 : (spreadDeg * next()).toFixed(1)));
    const acting = next() < 0.7 ? "double" : "single";
    const speed = (next() < 0.3 ? -1 : 1) * (10 + Math.floor(400 * next()));
    const cylinders = `cylinders: { bore: 15 in, stroke: 24 in, acting: ${acting}, crankAngles: [${angles.map((a) => `${a} deg`).join(", ")}] }`;
    const cutoffRatio = next() < 0.5 ? null : (speed < 0 ? -1 : 1) * (0.1 + 0.6 * next());
    const levels = Array.from({ length: 8 }, () => (next() < 0.1 ? null : -30 * next()));
    const condenser = next() < 0.2 ? "\nexhaust: { condenser: { pressure: 3 psi abs } }" : "";
    const one = ringCase(locomotive(`${cylinders}\nspeed: ${speed} rpm${condenser}`), cutoffRatio, levels);
    const boxes = ringBoxes(draw(one));
    expect(boxes.length).toBeGreaterThan(14);
    expect(overlaps(boxes)).toEqual([]);
    for (const { text, left, right } of boxes) {
      expect(left, text).toBeGreaterThan(-PAGE_WIDTH / 2);
      expect(right, text).toBeLessThan(PAGE_WIDTH / 2);
    }
  });

  test("are found by this very check when they do overlap", () => {
    const box = { text: "a", left: 0, right: 10, top: 0, bottom: 10 };
    expect(
      overlaps([box, { ...box, text: "b", left: 9, right: 12 }, { ...box, text: "c", left: 10, right: 20 }]),
    ).toEqual(["a / b", "b / c"]);
  });

  test("label every event of a machine of one cylinder, and the beats only of a larger one", () => {
    const labels = (cylinders: string) =>
      ofClass(
        draw(ringCase(locomotive(`cylinders: { ${cylinders}, bore: 15 in, stroke: 24 in }\nspeed: 90 rpm`))),
        "label",
      );
    expect(MOST_ENDS_LABELLED).toBe(2);
    expect(labels("count: 1").length).toBe(8);
    expect(labels("count: 3").length).toBe(6);
  });
});

describe("the page", () => {
  test("is as high as what stands on it: nothing hangs over its foot", () => {
    for (const count of [1, 2, 3, 4]) {
      const one = ringCase(locomotive(`cylinders: { count: ${count}, bore: 15 in, stroke: 24 in }\nspeed: 90 rpm`));
      const ring = draw(one);
      const height = Number(ring.attributes.height);
      const groups = ring.children.filter(({ name }) => name === "g");
      const last = groups.at(-1)!;
      const lastY = Number(/ ([\d.]+)\)/.exec(last.attributes.transform!)![1]);
      const lines = last.children.map(({ attributes }) => Number(attributes.y));
      expect(lastY + Math.max(...lines)).toBeLessThan(height);
      expect(lastY + Math.max(...lines)).toBeGreaterThan(height - 120);
    }
  });
});
