import { describe, expect, test } from "vitest";
import type { EventsReport } from "../../src/offline/events-report.js";
import { turnRing } from "../../src/pictures/turn-ring.js";
import { allNodes, allText, ofClass, readSvg, type SvgNode } from "./read-svg.js";
import { figures, locomotive, presetText, ringCase, type RingCase } from "./ring-machines.js";

const draw = ({ report, machine }: RingCase): SvgNode => readSvg(turnRing(report, machine));
const inTurn = (angleDeg: number): number => ((angleDeg % 360) + 360) % 360;
/** Distance of two angles on the turn. */
const apart = (a: number, b: number): number => Math.abs(inTurn(a - b + 180) - 180);

/** Angle at which a path begins: 0 at the top, clockwise. */
function startDeg(node: SvgNode): number {
  const [, x, y] = /^M(-?[\d.]+) (-?[\d.]+)/.exec(node.attributes.d!)!.map(Number);
  return inTurn((Math.atan2(x!, -y!) * 180) / Math.PI);
}

const lane = (ring: SvgNode, end: string): SvgNode =>
  ofClass(ring, "lane").find(({ attributes }) => attributes["data-end"] === end)!;
const phase = (ring: SvgNode, end: string, name: string): SvgNode | undefined =>
  lane(ring, end).children.find(({ attributes }) => attributes["data-phase"] === name);
const beatLength = (beat: SvgNode): number => {
  const { y1, y2 } = beat.children[0]!.attributes;
  return Math.abs(Number(y2) - Number(y1));
};

const cases: [string, RingCase][] = [
  ...["harrow-tank", "stell-mineral", "oxmoor-mill", "lingmere-condensing", "pocket-wobbler", "bench-slide"].map(
    (name): [string, RingCase] => [name, ringCase(presetText(name))],
  ),
  ["a locomotive notched up", ringCase(presetText("harrow-tank"), 0.2)],
  ["one in backward gear", ringCase(presetText("harrow-tank"), -0.3)],
  ["one that is quartered wrong", ringCase(lame("90 rpm"))],
  ["one that is quartered wrong, running backward", ringCase(lame("-90 rpm"))],
  ["one in mid gear", ringCase(presetText("harrow-tank"), 0)],
];

function lame(speed: string): string {
  const faults =
    "faults: [{ kind: quartering, cylinder: 2, by: 4 deg }, { kind: eccentricSlip, cylinder: 1, by: 3 deg }]";
  return locomotive(`cylinders: { count: 2, bore: 17 in, stroke: 24 in }\nspeed: ${speed}\n${faults}`);
}

describe("the arcs of the turn ring", () => {
  test.each(cases)("of %s begin where the table of events has them, less the crank's own angle", (_, one) => {
    const ring = draw(one);
    const { direction, crankAnglesDeg } = one.machine;
    for (const events of one.report.ends) {
      const end = `${events.cylinder} ${events.end}`;
      // Crank k stands at shaft angle + its own angle, and the table counts in the running direction (README, signs).
      const shaftOf = (angleDeg: number) => direction * angleDeg - crankAnglesDeg[events.cylinder - 1]!;
      const begins = { steam: events.admissionDeg, exhaust: events.releaseDeg };
      for (const [name, angleDeg] of Object.entries(begins)) {
        // Two decimals of a coordinate are 0.004 degrees at the innermost lane.
        expect(apart(startDeg(phase(ring, end, name)!), shaftOf(angleDeg!)), `${end} ${name}`).toBeLessThan(0.01);
      }
      const steam = phase(ring, end, "steam")!.attributes;
      expect(Number(steam["data-sweep-deg"])).toBeCloseTo(
        direction * inTurn(events.cutoffDeg! - events.admissionDeg!),
        1,
      );
      const exhaust = phase(ring, end, "exhaust")!.attributes;
      const openDeg = inTurn(events.compressionDeg! - events.releaseDeg!);
      expect(Number(exhaust["data-sweep-deg"])).toBeCloseTo(direction * openDeg, 1);
    }
  });

  test.each(cases)("of %s fill the turn once where no port stands open with the other", (_, one) => {
    const ring = draw(one);
    for (const node of ofClass(ring, "lane")) {
      const sweeps = node.children.map(({ attributes }) => Number(attributes["data-sweep-deg"] ?? 0));
      expect(Math.abs(sweeps.reduce((sum, sweep) => sum + sweep, 0))).toBeCloseTo(360, 1);
    }
  });

  // Worked by hand: a crank a quarter turn ahead has its events a quarter turn earlier on the shaft when it runs
  // forward; backward the same crank angle is counted the other way. 150 - 90 = 60; -150 - 90 = -240, which is 120.
  test.each([
    [1, 60],
    [-1, 120],
  ] as const)("stand on the shaft's turn, not the crank's: direction %i", (direction, shaftDeg) => {
    const { report, machine } = ringCase(presetText("harrow-tank"));
    const ends = report.ends.map((events) => ({ ...events, releaseDeg: events.end === "head" ? 150 : 330 }));
    const ring = readSvg(turnRing({ ...report, ends, beats: [] }, { ...machine, direction, crankAnglesDeg: [0, 90] }));
    expect(apart(startDeg(phase(ring, "2 head", "exhaust")!), shaftDeg)).toBeLessThan(0.01);
  });

  test("of a port that never opens are none, and of one that never shuts a whole turn", () => {
    const { report, machine } = ringCase(presetText("oxmoor-mill"));
    const never = { admissionDeg: null, cutoffDeg: null, admissionStrokeRatio: null, cutoffStrokeRatio: null };
    const drawn = (maxSteamOpeningM: number) => {
      const ends = report.ends.map((events) => ({ ...events, ...never, maxSteamOpeningM }));
      return readSvg(turnRing({ ...report, ends }, machine));
    };
    expect(phase(drawn(0), "1 head", "steam")).toBeUndefined();
    expect(allText(drawn(0))).toContain("never");
    expect(phase(drawn(0.01), "1 head", "steam")!.attributes["data-sweep-deg"]).toBe("360");
    expect(phase(drawn(0.01), "1 head", "expansion")).toBeUndefined();
  });

  test("overlap where steam blows straight through, and nothing is shut there", () => {
    const { report, machine } = ringCase(presetText("oxmoor-mill"));
    const ends = report.ends.map((events) => ({ ...events, cutoffDeg: events.releaseDeg! + 15 }));
    const ring = readSvg(turnRing({ ...report, ends }, machine));
    expect(phase(ring, "1 head", "expansion")).toBeUndefined();
    const { "data-from-deg": from, "data-sweep-deg": sweep } = phase(ring, "1 head", "steam")!.attributes;
    expect(inTurn(Number(from) + Number(sweep))).toBeCloseTo(report.ends[0]!.releaseDeg! + 15, 1);
  });
});

describe("the beats of the turn ring", () => {
  test.each(cases)("of %s stand where the report expects them, and where their exhaust arc begins", (_, one) => {
    const ring = draw(one);
    const beats = ofClass(ring, "beat");
    expect(beats.length).toBe(one.report.beats.length);
    beats.forEach((node, i) => {
      const expected = one.report.beats[i]!;
      const turned = Number(/^rotate\(([\d.]+)\)$/.exec(node.attributes.transform!)![1]);
      expect(apart(turned, expected.shaftDeg)).toBeLessThan(0.001);
      const exhaust = phase(ring, `${expected.cylinder} ${expected.end}`, "exhaust")!;
      expect(apart(startDeg(exhaust), expected.shaftDeg)).toBeLessThan(0.01);
    });
  });

  test("are the longer the louder", () => {
    const text = presetText("stell-mineral");
    const figure = figures(5);
    const levels = Array.from({ length: 6 }, () => -40 * figure.next().value);
    levels[3] = 0;
    const one = ringCase(text, null, levels);
    const lengths = ofClass(draw(one), "beat").map(beatLength);
    const byLevel = one.report.beats
      .map(({ relativeLevelDb }, i) => ({ level: relativeLevelDb!, length: lengths[i]! }))
      .sort((a, b) => a.level - b.level);
    for (let i = 1; i < byLevel.length; i++) expect(byLevel[i]!.length).toBeGreaterThan(byLevel[i - 1]!.length);
  });

  test("are half as long 10 dB down, as a sound half as loud is: Stevens, JASA 27, 1955", () => {
    const one = ringCase(presetText("oxmoor-mill"), null, [0, -10]);
    const [head, crank] = ofClass(draw(one), "beat").map(beatLength);
    expect(crank! / head!).toBeCloseTo(0.5, 3);
  });

  test("of unknown loudness are shorter than the loudest and say so", () => {
    const ring = draw(ringCase(presetText("oxmoor-mill"), null, [0, null]));
    const [head, crank] = ofClass(ring, "beat").map(beatLength);
    expect(crank!).toBeLessThan(head!);
    expect(crank!).toBeGreaterThan(0);
    expect(allText(ring)).toContain("no level");
  });

  test("that fall together are drawn side by side", () => {
    const cylinders =
      "cylinders: { count: 4, bore: 15 in, stroke: 26 in, crankAngles: [0 deg, 180 deg, 90 deg, 270 deg] }";
    const ring = draw(ringCase(locomotive(`${cylinders}\nspeed: 90 rpm`)));
    const strokes = ofClass(ring, "beat").map(({ attributes, children }) => ({
      turned: Number(attributes["data-shaft-deg"]),
      aside: Number(children[0]!.attributes.x1),
      width: Number(children[0]!.attributes["stroke-width"]),
    }));
    expect(strokes.length).toBe(8);
    for (const one of strokes) {
      const twin = strokes.find((other) => other !== one && apart(other.turned, one.turned) < 0.1)!;
      expect(Math.abs(twin.aside - one.aside)).toBeGreaterThan(one.width);
    }
    expect(allText(ring)).toContain("beats a turn");
  });

  test("of an engine with a condenser are none, and the picture says why", () => {
    const ring = draw(ringCase(presetText("lingmere-condensing")));
    expect(ofClass(ring, "beat")).toEqual([]);
    expect(allText(ring)).toContain("no beats");
    expect(allText(ring)).toContain("condenser");
    expect(allText(ring)).not.toContain("An ear notices");
  });
});

describe("the words of the turn ring", () => {
  test("give the machine, cut-off, gear, speed, audible shift, warning and caution", () => {
    const { report, machine } = ringCase(presetText("harrow-tank"), -0.25);
    const text = allText(readSvg(turnRing({ ...report, warnings: ["odd"] }, machine)));
    for (const words of [
      machine.name,
      "25.0 % cut-off, backward gear",
      "60 rpm",
      "running backward",
      // 60 rpm, four beats: 2.5 % of 90 degrees (Friberg & Sundberg, JASA 98, 1995).
      `about ${0.025 * 90}° at 60 rpm`,
      "1 warning",
      report.caution,
    ]) {
      expect(text).toContain(words);
    }
  });

  test("print the shaft angle of every event to a tenth of a degree, and its share of the stroke", () => {
    const { report, machine } = ringCase(presetText("oxmoor-mill"), 0.35);
    const text = allText(readSvg(turnRing(report, machine)));
    for (const events of report.ends) {
      for (const deg of [events.cutoffDeg!, events.releaseDeg!, events.compressionDeg!]) {
        expect(text).toContain(`${deg.toFixed(1)}°`);
      }
      expect(text).toContain(`${(100 * events.cutoffStrokeRatio!).toFixed(1)} %`);
    }
  });

  test("name themselves to a screen reader: title and description come first", () => {
    const { report, machine } = ringCase(presetText("harrow-tank"));
    const ring = readSvg(turnRing(report, machine));
    expect(ring.attributes.role).toBe("img");
    expect(ring.children.slice(0, 2).map(({ name }) => name)).toEqual(["title", "desc"]);
    const ids = ring.children.slice(0, 2).map(({ attributes }) => attributes.id);
    expect(ring.attributes["aria-labelledby"]).toBe(ids.join(" "));
    for (const { shaftDeg } of report.beats) expect(ring.children[1]!.text).toContain(`${shaftDeg.toFixed(1)}°`);
  });

  const hostile = [
    "</text></svg><script>alert(1)</script>",
    `a & b < c > d "e" 'f' ]]> <!-- --> &amp; &#0; %s`,
    "bell \u0007, nul \u0000, escape \u001b[31m, half a pair \ud800 and \udc00, \uffff\ufffe, turned \u202e round",
    "機関車 🚂 Ω",
    "W".repeat(120),
    "\n\t ",
  ];
  test.each(hostile)("survive the name %j", (name) => {
    const { report, machine } = ringCase(presetText("oxmoor-mill"));
    const svg = turnRing({ ...report, caution: name }, { ...machine, name });
    const ring = readSvg(svg);
    const names = new Set(allNodes(ring).map((node) => node.name));
    expect([...names].sort()).toEqual(["circle", "desc", "g", "line", "path", "rect", "style", "svg", "text", "title"]);
    expect(ring.children[0]!.text).not.toMatch(/[\u0000-\u001f\u007f\u202e]/);
    expect(ring.children[0]!.text).toMatch(/\S\. Turn ring/);
  });

  test("stay the same from call to call", () => {
    const { report, machine } = ringCase(presetText("stell-mineral"));
    expect(turnRing(report, machine)).toBe(turnRing(report, machine));
  });

  test("are refused when a figure is not finite, or a crank is missing", () => {
    const { report, machine } = ringCase(presetText("harrow-tank"));
    const beats = report.beats.map((beat) => ({ ...beat, shaftDeg: NaN }));
    expect(() => turnRing({ ...report, beats }, machine)).toThrow(RangeError);
    expect(() => turnRing(report, { ...machine, crankAnglesDeg: [0] })).toThrow(/one angle per cylinder/);
  });
});

test("the picture takes the report of events as it is", () => {
  const { report, machine } = ringCase(presetText("bench-slide"));
  const asReported: EventsReport = report;
  expect(turnRing(asReported, machine)).toContain("<svg");
});
