import { describe, expect, it } from "vitest";
import { eventsReport } from "../../src/offline/events-report.js";
import { eventsText } from "../../src/offline/events-text.js";
import { DEG, INCH_M, eccentric, machine } from "../gear/machines.js";
import { oscillating, request, toy } from "./events-requests.js";

describe("events report", () => {
  it("has the fields of the contract, and those that set a fault against good order (design, section 6)", () => {
    const report = eventsReport(request());
    expect(Object.keys(report).sort()).toEqual(
      [
        ...["assumed", "audibleShiftDeg", "beats", "beatsPerTurn", "caution", "cutoffRatio", "ends", "warnings"],
        ...["faults", "fullGearCutoffRatio"],
      ].sort(),
    );
    expect(Object.keys(report.ends[0]).sort()).toEqual(
      [
        ...["cylinder", "end", "admissionDeg", "cutoffDeg", "releaseDeg", "compressionDeg", "admissionStrokeRatio"],
        ...["cutoffStrokeRatio", "releaseStrokeRatio", "compressionStrokeRatio", "leadM", "maxSteamOpeningM"],
        "maxExhaustOpeningM",
      ].sort(),
    );
    expect(Object.keys(report.beats[0]).sort()).toEqual(
      [
        ...["cylinder", "end", "shaftDeg", "intervalDeg", "relativeLevelDb"],
        ...["healthyShaftDeg", "deviationDeg", "isAudible", "healthyRelativeLevelDb"],
      ].sort(),
    );
    expect(JSON.parse(JSON.stringify(report))).toEqual(report);
  });

  it("case A in full gear: ends in order, beats by shaft angle", () => {
    const report = eventsReport(request());
    expect(report.cutoffRatio).toBeCloseTo(0.8298, 4);
    expect(report.ends.map(({ cylinder, end }) => `${cylinder} ${end}`)).toEqual([
      "1 head",
      "1 crank",
      "2 head",
      "2 crank",
    ]);
    expect(report.beats.map(({ cylinder, end }) => `${cylinder} ${end}`)).toEqual([
      "2 head",
      "1 head",
      "2 crank",
      "1 crank",
    ]);
    [64.849, 154.849, 244.849, 334.849].forEach((angle, i) => {
      expect(Math.abs(report.beats[i].shaftDeg - angle)).toBeLessThan(0.001);
      expect(report.beats[i].intervalDeg).toBeCloseTo(90, 6);
    });
    expect(report.beatsPerTurn).toBe(4);
    expect(report.audibleShiftDeg).toBeCloseTo(3.24, 9); // needs 3.2, fact 6: 3.2 degrees at 90 rpm
    expect(report.ends[0].leadM).toBeCloseTo(INCH_M / 16, 12);
  });

  it("backward gear: the same crank angles in the running direction, beats at mirrored shaft angles", () => {
    const forward = eventsReport(request({ cutoffRatio: 0.5 }));
    const backward = eventsReport(request({ cutoffRatio: -0.5, speedRpm: -90 }));
    expect(backward.cutoffRatio).toBe(-0.5);
    expect(backward.warnings).toEqual([]);
    backward.ends.forEach((end, i) => expect(end.releaseDeg).toBeCloseTo(forward.ends[i].releaseDeg!, 8));
    // Crank 1 stands at the shaft angle, which falls: release r degrees on is at 360 - r; crank 2 is 90 degrees ahead.
    const release = forward.ends[0].releaseDeg!;
    const firstHead = backward.beats.find(({ cylinder, end }) => cylinder === 1 && end === "head")!;
    const secondHead = backward.beats.find(({ cylinder, end }) => cylinder === 2 && end === "head")!;
    expect(firstHead.shaftDeg).toBeCloseTo(360 - release, 6);
    expect(secondHead.shaftDeg).toBeCloseTo(270 - release, 6);
    const angles = backward.beats.map(({ shaftDeg }) => shaftDeg);
    expect(angles).toEqual([...angles].sort((a, b) => a - b));
    backward.beats.forEach(({ intervalDeg }) => expect(intervalDeg).toBeCloseTo(90, 6));
  });

  it("levels of the ends reach the beats of those ends", () => {
    const report = eventsReport(request({ relativeLevelsDb: [-1, -2, null, -4] }));
    expect(report.beats.map(({ relativeLevelDb }) => relativeLevelDb)).toEqual([null, -1, -4, -2]);
    expect(eventsReport(request()).beats[0].relativeLevelDb).toBeNull();
  });

  it("a longer valve rod: the head end late and the crank end early by the arc sine of shift over throw", () => {
    // Without exhaust lap the port opens as the valve passes its middle; moved by a tenth of its throw, asin(0.1) later.
    const gear = machine(eccentric(), {
      cranksDeg: [0, 90],
      faults: [{ kind: "valveRodLength", cylinder: 1, byM: 0.25 * INCH_M }],
    });
    const levels = [0, -1, -2, -3];
    const report = eventsReport(request({ gear, relativeLevelsDb: levels, healthyLevelsDb: [-4, -5, -6, -7] }));
    const byAngle = Math.asin(0.1) / DEG;
    const shifts = report.beats.map(({ cylinder, end, deviationDeg, isAudible, healthyRelativeLevelDb }) => ({
      name: `${cylinder} ${end}`,
      shift: Math.round(deviationDeg! * 1e6) / 1e6,
      isAudible,
      healthyRelativeLevelDb,
    }));
    const late = Math.round(byAngle * 1e6) / 1e6;
    expect(shifts).toEqual([
      { name: "2 head", shift: 0, isAudible: false, healthyRelativeLevelDb: -6 },
      { name: "1 head", shift: late, isAudible: true, healthyRelativeLevelDb: -4 },
      { name: "2 crank", shift: 0, isAudible: false, healthyRelativeLevelDb: -7 },
      { name: "1 crank", shift: -late, isAudible: true, healthyRelativeLevelDb: -5 },
    ]);
    const healthy = eventsReport(request());
    expect(report.beats.map(({ healthyShaftDeg }) => healthyShaftDeg)).toEqual(
      healthy.beats.map((beat) => beat.shaftDeg),
    );
    healthy.beats.forEach((beat) =>
      expect(beat).toMatchObject({ healthyShaftDeg: beat.shaftDeg, deviationDeg: 0, isAudible: false }),
    );
  });

  it("a slipped eccentric is late, a crank that leads by more is early, also running backward; faults are told in degrees", () => {
    const faults = [
      { kind: "eccentricSlip", cylinder: 1, byRad: 2 * DEG },
      { kind: "quartering", cylinder: 2, byRad: 1 * DEG },
    ] as const;
    const gear = machine(eccentric(), { cranksDeg: [0, 90], faults });
    const report = eventsReport(request({ gear }));
    for (const beat of report.beats) expect(beat.deviationDeg).toBeCloseTo(beat.cylinder === 1 ? 2 : -1, 6);
    expect(report.faults).toEqual([
      { kind: "eccentricSlip", cylinder: 1, byDeg: 2 },
      { kind: "quartering", cylinder: 2, byDeg: 1 },
    ]);
    // The crank that leads forward follows backward; the eccentric that is late forward is early backward.
    const backward = eventsReport(request({ gear, cutoffRatio: -0.5, speedRpm: -90 }));
    for (const beat of backward.beats) expect(Math.sign(beat.deviationDeg!)).toBe(beat.cylinder === 1 ? -1 : 1);
  });

  it("events that no engine runs with are said", () => {
    const faults = [{ kind: "eccentricSlip", cylinder: 1, byRad: 60 * DEG }] as const;
    const { warnings, ends } = eventsReport(request({ gear: machine(eccentric(), { cranksDeg: [0, 90], faults }) }));
    const late = (-100 * ends[0].admissionStrokeRatio!).toFixed(1);
    expect(Number(late)).toBeGreaterThan(20);
    expect(warnings).toContain(
      `cylinder 1 head end: its steam port opens when ${late} % of the stroke is already gone.`,
    );
    expect(warnings).toContain("cylinder 1 crank end: its steam port is still open at the end of the stroke.");
    expect(warnings.some((warning) => warning.startsWith("cylinder 2"))).toBe(false);
  });

  it("a condensing machine has no beats and nothing for an ear to notice", () => {
    const report = eventsReport(request({ exhaustsToAir: false }));
    expect([report.beats, report.beatsPerTurn, report.audibleShiftDeg]).toEqual([[], 0, null]);
    expect(report.ends).toHaveLength(4);
    expect(eventsText(report, "metric")).toContain("No exhaust beats");
  });

  it("an oscillating machine has no cut-off to report and refuses one", () => {
    const report = eventsReport(request({ gear: toy }));
    expect(report.cutoffRatio).toBeNull();
    expect(report.beatsPerTurn).toBe(1);
    expect(report.beats[0].intervalDeg).toBe(360);
    expect(() => eventsReport(request({ gear: toy, cutoffRatio: 0.5 }))).toThrow("oscillating");
  });

  it("ports that never open are null and said; notes of the reverser and the caller's warnings come along", () => {
    const gear = machine(eccentric({ lead: 0, exhaustLap: 1.2 }));
    const report = eventsReport(request({ gear, cutoffRatio: 0, warnings: ["odd rod"] }));
    expect(report.ends[0]).toMatchObject({
      admissionDeg: null,
      cutoffDeg: null,
      releaseDeg: null,
      compressionDeg: null,
    });
    expect(report.ends[0]).toMatchObject({ admissionStrokeRatio: null, maxSteamOpeningM: 0, maxExhaustOpeningM: 0 });
    expect(report.beats).toEqual([]);
    expect(report.warnings[0]).toBe("odd rod");
    expect(report.warnings).toContain("cylinder 1 head end: its steam port never opens in this gear.");
    expect(report.warnings).toContain("cylinder 1 crank end: its exhaust port never opens in this gear.");
    expect(eventsReport(request({ cutoffRatio: 0.01 })).warnings[0]).toContain("taken as mid gear");
    expect(eventsReport(request({ cutoffRatio: 0.835 })).warnings[0]).toContain("taken as full gear");
  });

  it("a valve that slipped too far off its middle leaves one end without steam", () => {
    const gear = machine(eccentric(), { faults: [{ kind: "valveRodLength", cylinder: 1, byM: -1.6 * INCH_M }] });
    const report = eventsReport(request({ gear }));
    expect(report.ends[0].admissionDeg).toBeNull();
    expect(report.ends[1].admissionDeg).not.toBeNull();
    expect(report.warnings).toContain("cylinder 1 head end: its steam port never opens in this gear.");
  });

  it("steam blowing straight through is said: exhaust clearance beyond the lap, or round ports too near", () => {
    const clear = eventsReport(request({ gear: machine(eccentric({ exhaustLap: -1.2 })) }));
    expect(clear.warnings).toContain(
      "cylinder 1 head end: its steam and exhaust ports stand open together; steam blows straight through.",
    );
    const near = machine({ ...oscillating, portDiameterM: 4e-3 }, { cylinder: toy.cylinder });
    expect(eventsReport(request({ gear: near })).warnings[0]).toContain("blows straight through");
    expect(eventsReport(request({ gear: toy })).warnings).toEqual([]);
    expect(eventsReport(request()).warnings).toEqual([]);
  });

  it("a negative speed without a cut-off is answered in backward gear: the same events, counted the other way", () => {
    const report = eventsReport(request({ speedRpm: -60 }));
    expect(report.ends[0].releaseDeg).toBeCloseTo(154.849, 3);
    expect(report.cutoffRatio).toBeLessThan(0);
    expect(report.warnings).toEqual([]);
  });
});
