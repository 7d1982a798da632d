import { describe, expect, it } from "vitest";
import { eventsReport } from "../../src/offline/events-report.js";
import { eventsText } from "../../src/offline/events-text.js";
import { DEG, eccentric, machine } from "../gear/machines.js";
import { CAUTION, request, toy } from "./events-requests.js";

describe("events text", () => {
  it("prints the table a valve setter reads, to a tenth, and ends with the caution", () => {
    const report = eventsReport(
      request({
        gear: machine(eccentric({ lead: 1 / 4 }), { cranksDeg: [0, 90] }),
        relativeLevelsDb: [0, -1.26, -0.04, null],
        assumed: [
          { name: "chest.volume", value: "12 L", rule: "a share of the swept volume" },
          { name: "valveGear.steamLap", value: "25.4 mm", rule: "a usual cut-off" },
        ],
        warnings: ["cylinders.clearance is large."],
      }),
    );
    const text = eventsText(report, "metric", 90);
    // By hand: sin(advance) = 1.25 / 2.5, asin(1 / 2.5) = 23.58 degrees, so -6.42, 126.42, 150, 330 degrees; stroke
    // shares at 150 and 330 degrees from the slider-crank table of the checks, section 4.
    expect(text.split("\n")).toEqual([
      "Valve events at 79.7 % cut-off, forward gear; full gear.",
      "",
      "    end  admits       cuts off        releases        compresses        lead  steam  exhaust",
      "            deg    %       deg     %       deg     %         deg     %    mm     mm       mm",
      " 1 head    -6.4  0.4     126.4  82.0     150.0  94.2       330.0  92.4  6.35  38.10    38.10",
      "1 crank   173.6  0.3     306.4  77.4     330.0  92.4       150.0  94.2  6.35  38.10    38.10",
      " 2 head    -6.4  0.4     126.4  82.0     150.0  94.2       330.0  92.4  6.35  38.10    38.10",
      "2 crank   173.6  0.3     306.4  77.4     330.0  92.4       150.0  94.2  6.35  38.10    38.10",
      "Degrees of that cylinder's crank in the running direction, of both ends from its head-end dead centre: the crank",
      "end's own dead centre is at 180. Per cent of the stroke on which the event falls; admission: of the return stroke",
      "still to go. Lead: opening at the end's own dead centre, negative if still shut. Steam, exhaust: greatest openings.",
      "",
      "Exhaust beats: 4 a turn, 6.0 a second at 90.0 rpm.",
      "shaft      end  to the next  level",
      "  deg                   deg     dB",
      " 60.0   2 head         90.0    0.0",
      "150.0   1 head         90.0    0.0",
      "240.0  2 crank         90.0      -",
      "330.0  1 crank         90.0   -1.3",
      "Level: strength against the loudest, 100 to 800 Hz, at that speed with the regulator full open.",
      "An ear notices one beat out of place from about 3.2 deg at this speed.",
      "",
      "Assumed:",
      "  valveGear.steamLap = 25.4 mm (a usual cut-off)",
      "One value that does not bear on the events was assumed too; 'fourbeat check' lists all.",
      "",
      "Warnings:",
      "  cylinders.clearance is large.",
      "",
      CAUTION,
    ]);
  });

  it("prints openings in 64ths of an inch for those who want them, and dashes where there is nothing", () => {
    const gear = machine(eccentric({ lead: 0 }));
    const text = eventsText(eventsReport(request({ gear, cutoffRatio: 0 })), "imperial");
    expect(text).toContain("1/64 in  1/64 in  1/64 in");
    expect(text).not.toMatch(/\bmm\b/); // one system of units in one table
    expect(text.split("\n").find((line) => line.includes("1 head"))).toMatch(/1 head +- +- +- +- +90\.0/);
    expect(text).not.toContain("a second");
  });

  it("names backward gear and oscillating cylinders", () => {
    expect(eventsText(eventsReport(request({ cutoffRatio: -0.4 })), "metric")).toContain(
      "at 40.0 % cut-off, backward gear",
    );
    expect(eventsText(eventsReport(request({ gear: toy })), "metric")).toContain("oscillating cylinders");
  });

  it("names the full gear of a machine that is notched up", () => {
    const text = eventsText(eventsReport(request({ cutoffRatio: 0.3 })), "metric");
    expect(text.split("\n")[0]).toBe("Valve events at 30.0 % cut-off, forward gear; full gear cuts off at 83.0 %.");
  });

  it("sets the beats of a machine out of true beside those in good order", () => {
    const faults = [{ kind: "eccentricSlip", cylinder: 1, byRad: 5 * DEG }] as const;
    const gear = machine(eccentric(), { cranksDeg: [0, 90], faults });
    const lines = eventsText(eventsReport(request({ gear })), "metric", 90).split("\n");
    expect(lines).toContain("  cylinder 1, eccentricSlip: both ends 5 deg late in forward gear");
    const start = lines.indexOf(
      "    end  healthy    now  difference  shift heard  to the next  healthy level  level now",
    );
    expect(lines.slice(start + 2, start + 6)).toEqual([
      " 2 head     64.8   64.8         0.0           no         95.0              -          -",
      " 1 head    154.8  159.8        +5.0          yes         85.0              -          -",
      "2 crank    244.8  244.8         0.0           no         95.0              -          -",
      "1 crank    334.8  339.8        +5.0          yes         85.0              -          -",
    ]);
  });

  it("says which beats are weaker than healthy, whatever their shift", () => {
    const faults = [{ kind: "portChoke", cylinder: 1, end: "head", toRatio: 0.3 }] as const;
    const gear = machine(eccentric(), { cranksDeg: [0, 90], faults });
    const report = eventsReport(request({ gear }));
    const beats = report.beats.map((beat) => ({
      ...beat,
      healthyRelativeLevelDb: 0,
      relativeLevelDb: beat.cylinder === 1 && beat.end === "head" ? -12.9 : -2.9,
    }));
    expect(eventsText({ ...report, beats }, "metric", 90)).toContain(
      "\nPlainly weaker beside the loudest than when healthy: 1 head by 12.9 dB.\n",
    );
    expect(eventsText(report, "metric", 90)).not.toContain("Plainly weaker");
  });

  it("shows the angle of a slipped valve in the table of one cylinder only", () => {
    const faults = [{ kind: "eccentricSlip", cylinder: 1, byRad: 2 * DEG }] as const;
    const report = eventsReport(request({ gear: machine(eccentric(), { cranksDeg: [0, 90], faults }) }));
    expect(report.ends[0].releaseDeg! - report.ends[2].releaseDeg!).toBeCloseTo(2, 8);
  });
});
