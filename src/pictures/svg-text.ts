/** Attributes of an element. Numbers are rounded to a hundredth; `undefined` leaves the attribute out. */
export type SvgAttributes = Readonly<Record<string, string | number | undefined>>;

// What XML 1.0 does not allow at all, and marks that turn the direction of writing or show nothing.
// [source: W3C, Extensible Markup Language (XML) 1.0, fifth edition, production 2 Char]
const unfit =
  /[\u0000-\u001f\u007f-\u009f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\uffff]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/**
 * Free text as one plain line: what XML forbids and what would turn the writing round becomes a blank, and runs of blanks
 * become one.
 */
export function plainLine(text: string): string {
  return text.replace(unfit, " ").replace(/\s+/g, " ").trim();
}

/** Text that may stand in an element or in an attribute, whatever it holds. */
export function escaped(text: string): string {
  return text
    .replace(unfit, " ")
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;")
    .replace(/"/g, "&quot;")
    .replace(/'/g, "&#39;");
}

/**
 * A coordinate: at most two decimals, never with an exponent.
 *
 * @throws RangeError for what is not finite: such a picture would be blank without a word
 */
export function coordinate(value: number): string {
  if (!(Math.abs(value) < 1e9)) {
    throw new RangeError(
      `picture: a coordinate must be finite and below 1e9, got ${value}. Look at what was measured.`,
    );
  }
  const rounded = Math.round(value * 100) / 100;
  return rounded === 0 ? "0" : String(rounded);
}

/**
 * One element.
 *
 * @param content finished SVG; text goes through `escaped` first, or use `textElement`
 * @example
 * element("circle", { r: 4 }); // <circle r="4"/>
 */
export function element(name: string, attributes: SvgAttributes, content: string | readonly string[] = ""): string {
  const inside = typeof content === "string" ? content : content.join("");
  const written = Object.entries(attributes)
    .filter((pair): pair is [string, string | number] => pair[1] !== undefined)
    .map(([key, value]) => ` ${key}="${typeof value === "number" ? coordinate(value) : escaped(value)}"`)
    .join("");
  return inside === "" ? `<${name}${written}/>` : `<${name}${written}>${inside}</${name}>`;
}

/** An element that holds text. */
export function textElement(name: string, attributes: SvgAttributes, text: string): string {
  return element(name, attributes, escaped(text));
}
