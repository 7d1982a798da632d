import { mkdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { allText, ofClass, readSvg } from "../pictures/read-svg.js";
import { buildCli, expectRefusal, fourValues, Workplace } from "./built-cli.js";

const place = new Workplace();

beforeAll(() => {
  buildCli();
  place.write("mill.yaml", `name: "Mill <&>"\n${fourValues}`);
  place.write("bad.yaml", "cylinders: 3\n");
  mkdirSync(join(place.folder, "folder"));
});
afterAll(() => place.remove());

const read = (name: string) => readFileSync(join(place.folder, name), "utf8");

describe("events --svg", () => {
  it("writes the ring beside the table and tells where it is", () => {
    const { code, out, err } = place.run(["events", "mill.yaml", "--cutoff", "40 %", "--svg", "ring.svg"]);
    expect(code, err).toBe(0);
    expect(out).toContain("Turn ring: ring.svg");
    expect(out).toContain("Valve events at 40.0 % cut-off");
    const ring = readSvg(read("ring.svg"));
    expect(allText(ring)).toContain("Mill <&>");
    expect(allText(ring)).toContain("40.0 % cut-off, forward gear");
    expect(place.files().filter((name) => name.includes(".part"))).toEqual([]);
  });

  it("shows what is out of true and which beats it moves", () => {
    const lame = `${fourValues}faults: [{ kind: eccentricSlip, cylinder: 1, by: 8 deg }]\n`;
    place.write("lame.yaml", lame);
    expect(place.run(["events", "lame.yaml", "--svg", "lame.svg"]).code).toBe(0);
    const text = allText(readSvg(read("lame.svg"))).replace(/\s+/g, " ");
    expect(text).toMatch(/Out of true: cylinder 1, eccentricSlip: both ends 8 deg late/);
    expect(text).toMatch(/Beats moved by it: 1 head [\d.]+° late/);
    expect(allText(readSvg(read("ring.svg")))).not.toContain("Out of true");
  });

  it("keeps the JSON to its contract and tells the path beside it", () => {
    const { code, out, err } = place.run(["events", "mill.yaml", "--json", "--svg", "json-ring.svg"]);
    expect(code, err).toBe(0);
    const report = JSON.parse(out) as { beats: { shaftDeg: number }[] };
    expect(Object.keys(report)).toEqual(
      "cutoffRatio fullGearCutoffRatio faults ends beats beatsPerTurn audibleShiftDeg assumed warnings caution".split(
        " ",
      ),
    );
    expect(err.trim()).toBe("Turn ring: json-ring.svg");
    const drawn = ofClass(readSvg(read("json-ring.svg")), "beat").map(({ attributes }) => attributes["data-shaft-deg"]);
    expect(drawn.map(Number)).toEqual(report.beats.map(({ shaftDeg }) => Math.round(shaftDeg * 100) / 100));
  });

  it.each([
    [["mill.yaml", "--svg", "folder"], "--svg must be a file, got the folder folder"],
    [["mill.yaml", "--svg", "nowhere/ring.svg"], "must stand in a folder that exists"],
    [["mill.yaml", "--svg", "mill.yaml"], "must be a file of its own"],
    [["mill.yaml", "--svg", ""], "--svg must be a file name"],
    [["bad.yaml", "--svg", "none.svg"], "bad.yaml:1"],
    [["mill.yaml", "--cutoff", "99 %", "--svg", "none.svg"], "full gear"],
  ])("refuses %j in words and writes nothing", async (words, message) => {
    const before = place.files();
    expectRefusal(await place.call(["events", ...words]), message);
    expect(place.files()).toEqual(before);
    expect(read("mill.yaml")).toContain("Mill <&>");
  });
});
