import type { CylinderEnd } from "../gear/gear-description.js";

/** How one cylinder end is told from the others: by colour and, for those who see no colour, by dashes. */
export interface EndInk {
  /** Class that fills. */
  readonly fill: string;
  /** Class that draws lines. */
  readonly stroke: string;
  /** Class of text that stands on the end's full colour. */
  readonly onFill: string;
  /** `stroke-dasharray`, in units of the page; `undefined` is a whole line. */
  readonly dashes: string | undefined;
}

// [source: Okabe & Ito, Color universal design, 2008, palette of eight; its yellow, too pale for paper, gives way to the
// middle grey that the palette is often given as a ninth]
const endColours = ["#0072b2", "#d55e00", "#009e73", "#cc79a7", "#56b4e9", "#e69f00", "#000000", "#999999"];
const endDashes = [undefined, "9 4", "3 3", "14 4 3 4", "18 6", "6 6", "9 3 3 3 3 3", "2 5"];
const BLACK_INDEX = 6;
// White or black, whichever has more contrast on the colour [source: W3C, WCAG 2.1, contrast ratio]; on the palette's
// black the paper itself.
const onColours = ["#ffffff", "#000000", "#000000", "#000000", "#000000", "#000000", "", "#000000"];

/** Ink of a cylinder end: the same end has the same one on every machine. Colours repeat after eight. */
export function endInk(cylinder: number, end: CylinderEnd): EndInk {
  const index = (2 * (cylinder - 1) + (end === "head" ? 0 : 1)) % endColours.length;
  return {
    fill: `end-fill-${index}`,
    stroke: `end-stroke-${index}`,
    onFill: `on-fill-${index}`,
    dashes: endDashes[index],
  };
}

interface Sheet {
  readonly paper: string;
  readonly ink: string;
  /** Lesser text. */
  readonly quiet: string;
  /** Hairlines. */
  readonly hair: string;
  /** Shut phases are paler than steam, so that admission and cut-off are edges: opacity of their bands. */
  readonly shutRatio: number;
  /** What the palette calls black. */
  readonly black: string;
}

// Tints of paper and ink, and how pale a pale band may be to be seen on them. [common practice]
const light: Sheet = {
  paper: "#fbf8f1",
  ink: "#1f1c18",
  quiet: "#5f594f",
  hair: "#c9c1b2",
  shutRatio: 0.42,
  black: "#000000",
};
const dark: Sheet = {
  paper: "#16181b",
  ink: "#ebe6da",
  quiet: "#aaa497",
  hair: "#474b51",
  shutRatio: 0.54,
  black: "#f4f1ea",
};

/**
 * Style of a picture: paper and ink, light or dark as the reader's screen is set, light in print.
 *
 * @param root class of the picture's root element, so that a page around it keeps its own style
 */
export function pictureStyle(root: string): string {
  const ends = endColours.map((colour, i) => endRules(root, i, colour)).join("");
  return (
    `.${root}{font-family:"Helvetica Neue",Helvetica,Arial,"Liberation Sans","DejaVu Sans",sans-serif}` +
    `.${root} text{fill:${light.ink}}` +
    sheetRules(root, light) +
    ends +
    `@media screen and (prefers-color-scheme:dark){.${root} text{fill:${dark.ink}}` +
    sheetRules(root, dark) +
    endRules(root, BLACK_INDEX, dark.black) +
    `}`
  );
}

function endRules(root: string, index: number, colour: string): string {
  const on = onColours[index] === "" ? "" : `.${root} text.on-fill-${index}{fill:${onColours[index]}}`;
  return `.${root} .end-fill-${index}{fill:${colour}}.${root} .end-stroke-${index}{stroke:${colour};fill:none}${on}`;
}

function sheetRules(root: string, { paper, ink, quiet, hair, shutRatio }: Sheet): string {
  const rules: readonly [string, string][] = [
    [".paper", `fill:${paper}`],
    [".ink", `fill:${ink}`],
    ["text.quiet", `fill:${quiet}`],
    [`text.on-fill-${BLACK_INDEX}`, `fill:${paper}`],
    ["text.halo", `stroke:${paper};stroke-width:5;stroke-linejoin:round;paint-order:stroke`],
    [".dot", `fill:${ink};stroke:${paper};stroke-width:2`],
    [".shut", `fill-opacity:${shutRatio}`],
    [".line", `stroke:${ink};fill:none`],
    [".hair", `stroke:${hair};fill:none`],
    [".leader", `stroke:${quiet};fill:none`],
  ];
  return rules.map(([selector, body]) => `.${root} ${selector}{${body}}`).join("");
}
