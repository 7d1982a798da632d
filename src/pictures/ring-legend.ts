import { endInk } from "./palette.js";
import type { EndTurn, Phase } from "./end-phases.js";
import { phaseHeight } from "./ring-lanes.js";
import { typeSize } from "./ring-measures.js";
import { coordinate, element, textElement } from "./svg-text.js";
import { textWidth } from "./text-fit.js";

const SAMPLE_WIDTH = 44;
const SAMPLE_HEIGHT = 24;
const GAP = 12;
const COLUMN_COUNT = 3;
const ROW_PITCH = 40;

/** A piece of the page and how high it is. */
export interface PagePart {
  readonly svg: string;
  readonly height: number;
}

/** What each sign means: samples in the first end's ink with their words, in rows. */
export function ringLegend(turn: EndTurn, hasBeats: boolean, width: number): PagePart {
  const { fill, stroke } = endInk(turn.cylinder, turn.end);
  const band = (phase: Phase): string => {
    const [from, to] = phaseHeight(phase).map((share) => SAMPLE_HEIGHT * (1 - share));
    const d = `M0 ${SAMPLE_HEIGHT}L0 ${coordinate(from!)}L${SAMPLE_WIDTH} ${coordinate(to!)}L${SAMPLE_WIDTH} ${SAMPLE_HEIGHT}Z`;
    return element("path", { class: phase === "steam" ? fill : `${fill} shut`, d });
  };
  const line = (y: number, strokeWidth: number) =>
    element("line", { class: stroke, "stroke-width": strokeWidth, x1: 0, y1: y, x2: SAMPLE_WIDTH, y2: y });
  const entries: [string, string][] = [
    [band("steam"), "steam, admission to cut-off"],
    [band("expansion"), "expansion, to release"],
    [line(SAMPLE_HEIGHT - 4, 4), "exhaust, to compression"],
    [band("compression"), "compression, to admission"],
    [element("circle", { class: "ink", cx: SAMPLE_WIDTH / 2, cy: 14, r: 5 }), "that end's own dead centre"],
  ];
  if (hasBeats) {
    const beat = line(14, 9) + element("circle", { class: fill, cx: SAMPLE_WIDTH - 1, cy: 14, r: 5.5 });
    entries.push([beat, "beat: half as long, half as loud"]);
  }
  const pieces: string[] = [];
  const pitch = width / COLUMN_COUNT;
  let [column, y] = [0, 0];
  for (const [sample, words] of entries) {
    const takes = SAMPLE_WIDTH + GAP + textWidth(words, typeSize.small);
    const columns = Math.ceil(takes / pitch);
    if (column + columns > COLUMN_COUNT) [column, y] = [0, y + ROW_PITCH];
    const x = column * pitch;
    const text = textElement("text", { x: SAMPLE_WIDTH + GAP, y: 19, "font-size": typeSize.small }, words);
    pieces.push(element("g", { transform: `translate(${coordinate(x)} ${y})` }, [sample, text]));
    column += columns;
  }
  return { svg: pieces.join(""), height: y + ROW_PITCH };
}
