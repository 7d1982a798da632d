import { describe, expect, test } from "vitest";
import { endInk, pictureStyle } from "../../src/pictures/palette.js";
import { degreesReading, figure, levelReading, turnReading } from "../../src/pictures/readings.js";
import { spreadLabels } from "../../src/pictures/spread-labels.js";
import { coordinate, element, escaped, plainLine } from "../../src/pictures/svg-text.js";
import { fitted, textWidth, wrapped } from "../../src/pictures/text-fit.js";
import { readSvg } from "./read-svg.js";
import { figures } from "./ring-machines.js";

describe("text in a picture", () => {
  test("comes back as it went in", () => {
    const text = `<a href="x">'&amp;'</a> ]]> 100 %`;
    const node = readSvg(element("text", { title: text }, escaped(text)));
    expect(node.text).toBe(text);
    expect(node.attributes.title).toBe(text);
  });

  test("loses what XML forbids and what turns writing round, and nothing else", () => {
    expect(plainLine("a\u0000b\u202ec\ud800d\ufffee")).toBe("a b c d e");
    expect(plainLine("  機関車 🚂\n é ")).toBe("機関車 🚂 é");
  });

  test("is cut where it would not fit, and wrapped between words", () => {
    expect(fitted("short", 10, 1000)).toBe("short");
    const cut = fitted("a very long name indeed", 10, 60);
    expect(cut).toMatch(/\.\.\.$/);
    expect(textWidth(cut, 10)).toBeLessThanOrEqual(60);
    const lines = wrapped("one two three four five six", 10, 70);
    expect(lines.length).toBeGreaterThan(1);
    expect(lines.join(" ")).toBe("one two three four five six");
    for (const line of lines) expect(textWidth(line, 10)).toBeLessThanOrEqual(70);
  });

  // Advance widths of a wide grotesque's bold in thousandths of the type size, from memory: what no usual face exceeds.
  test.each([
    ["0123456789", 696],
    ["aeou", 687],
    ["MW", 1103],
  ])("is allowed about the width it has in a wide bold: %s", (letters, thousandths) => {
    const perLetter = textWidth(letters, 1000, true) / letters.length;
    expect(perLetter).toBeGreaterThan(0.98 * thousandths);
    expect(perLetter).toBeLessThan(1.2 * thousandths);
  });
});

describe("figures in a picture", () => {
  test("have a true minus, no minus zero, and a tenth of a degree", () => {
    expect(degreesReading(-3.37)).toBe("\u22123.4°");
    expect(degreesReading(-0.04)).toBe("0.0°");
    expect(turnReading(359.97)).toBe("0.0°");
    expect(turnReading(359.94)).toBe("359.9°");
    expect(figure(90, 1)).toBe("90");
    expect(figure(-0.001, 1)).toBe("0");
    expect([0, -0.04, -2.83, null].map(levelReading)).toEqual(["loudest", "loudest", "\u22122.8 dB", "no level"]);
  });

  test("are coordinates without exponents, or are refused", () => {
    expect([1e-9, -1e-9, 1.005, 123456.789].map(coordinate)).toEqual(["0", "0", "1", "123456.79"]);
    for (const bad of [NaN, Infinity, -Infinity, 1e21]) expect(() => coordinate(bad)).toThrow(RangeError);
  });
});

describe("labels that are spread", () => {
  test("keep their order and their gap, stay within bounds, and move no more than they must", () => {
    const roll = figures(11);
    for (let trial = 0; trial < 200; trial++) {
      const wanted = Array.from(
        { length: 1 + Math.floor(10 * roll.next().value) },
        () => 400 * roll.next().value - 200,
      );
      wanted.sort((a, b) => a - b);
      const placed = spreadLabels(wanted, 40, -220, 220);
      for (let i = 1; i < placed.length; i++) expect(placed[i]! - placed[i - 1]!).toBeGreaterThan(40 - 1e-9);
      expect(Math.min(...placed)).toBeGreaterThan(-220 - 1e-9);
      expect(Math.max(...placed)).toBeLessThan(220 + 1e-9);
    }
    expect(spreadLabels([-100, 0, 100], 40, -220, 220)).toEqual([-100, 0, 100]);
    // Two that want one place part evenly: least squares.
    expect(spreadLabels([10, 10], 40, -220, 220)).toEqual([-10, 30]);
  });
});

describe("the colours of the ends", () => {
  const ends = [1, 2, 3, 4].flatMap((cylinder) => [endInk(cylinder, "head"), endInk(cylinder, "crank")]);
  const style = pictureStyle("ring");
  const [light, dark] = style.split("@media screen and (prefers-color-scheme:dark)");
  const colourOf = (rules: string, selector: string): string | undefined =>
    new RegExp(`\\.ring ${selector.replace(".", "\\.")}\\{[^}]*fill:(#[0-9a-f]{6})`).exec(rules)?.[1];

  test("differ from end to end, and so do the dashes, for who sees no colour", () => {
    expect(new Set(ends.map(({ fill }) => colourOf(light!, `.${fill}`))).size).toBe(8);
    expect(new Set(ends.map(({ dashes }) => dashes ?? "")).size).toBe(8);
  });

  test.each([
    // Okabe & Ito, Color universal design, 2008: the palette's figures.
    [0, [0, 114, 178]],
    [1, [213, 94, 0]],
    [2, [0, 158, 115]],
    [3, [204, 121, 167]],
    [4, [86, 180, 233]],
    [5, [230, 159, 0]],
  ])("are those of Okabe and Ito: %i", (index, rgb) => {
    const hex = `#${rgb.map((part) => part.toString(16).padStart(2, "0")).join("")}`;
    expect(colourOf(light!, `.end-fill-${index}`)).toBe(hex);
  });

  /** Contrast ratio. W3C, Web Content Accessibility Guidelines 2.1, "relative luminance" and "contrast ratio". */
  function contrast(one: string, other: string): number {
    const [a, b] = [one, other].map((hex) => {
      const [red, green, blue] = [1, 3, 5].map((at) => {
        const share = Number(`0x${hex.slice(at, at + 2)}`) / 255;
        return share <= 0.03928 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
      });
      return 0.2126 * red! + 0.7152 * green! + 0.0722 * blue!;
    });
    return (Math.max(a!, b!) + 0.05) / (Math.min(a!, b!) + 0.05);
  }

  // WCAG 2.1, success criterion 1.4.3: 4.5 to 1.
  test.each([
    ["light", light!],
    ["dark", dark!],
  ])("leave every text readable on its ground: %s", (_, rules) => {
    const paper = colourOf(rules, ".paper")!;
    expect(contrast(paper, colourOf(rules, "text")!)).toBeGreaterThan(4.5);
    expect(contrast(paper, colourOf(rules, "text.quiet")!)).toBeGreaterThan(4.5);
    for (const { fill, onFill } of ends) {
      const ground = colourOf(rules, `.${fill}`) ?? colourOf(light!, `.${fill}`)!;
      const text = colourOf(rules, `text.${onFill}`) ?? colourOf(light!, `text.${onFill}`)!;
      expect(contrast(ground, text), fill).toBeGreaterThan(4.5);
    }
  });
});
