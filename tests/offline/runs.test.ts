import { describe, expect, it } from "vitest";
import type { MachineFile } from "../../src/preset/machine-file.js";
import {
  eventsOf,
  exhaustOnly,
  preset,
  pulsesOf,
  rendered,
  request,
  runNames,
  runOfText,
  shippedRun,
  wrapped180,
} from "./renders.js";

const harrow = preset("harrow-tank");
const asRun = (machine: MachineFile, text: string) => request(machine, { run: runOfText(text, machine) });

/** Where a release falls by the geometry alone, nearest to an angle. */
function expectRelease(
  machine: MachineFile,
  beat: { shaftDeg: number; cylinder: number; end: string },
  cutoffRatio: number,
) {
  const release = eventsOf(machine, cutoffRatio).beats.find((b) => b.cylinder === beat.cylinder && b.end === beat.end)!;
  expect(Math.abs(wrapped180(beat.shaftDeg - release.shaftDeg))).toBeLessThan(1e-3);
}

describe("a run with the speed ramped", () => {
  // 1 rpm is 6 degrees a second: steady at 30, up to 90 from 1 s to 3 s, steady.
  const text =
    "seconds: 4\ncontrols: [{ at: 0 s, speed: 30 rpm, cutoff: 75 % }, { at: 3 s, speed: 90 rpm, over: 2 s }]";
  const shaftAt = (t: number) => {
    if (t <= 1) return 180 * t;
    if (t <= 3) return 180 + 180 * (t - 1) + 90 * (t - 1) * (t - 1);
    return 900 + 540 * (t - 3);
  };
  const asked = asRun(harrow, text);
  it("the shaft stands at the integral of the speed to a millionth of a degree", () => {
    const table = pulsesOf(asked);
    const times = table.get("timeS")!;
    const shaft = table.get("shaftDeg")!;
    let worst = 0;
    for (let i = 0; i < shaft.length; i++) worst = Math.max(worst, Math.abs(shaft[i] - shaftAt(times[i])));
    expect(worst).toBeLessThan(1e-6);
    expect(times[48_000]).toBe(1);
  });
  it("the beats follow: each at its release, when the shaft comes there", () => {
    const { beats, summary } = rendered(asked);
    // 1440 degrees hold four turns, the first beat among them at 58 degrees.
    expect(beats.length).toBe(16);
    for (const beat of beats) {
      expectRelease(harrow, beat, 0.75);
      expect(Math.abs(beat.shaftDeg - shaftAt(beat.timeS))).toBeLessThan(0.005);
    }
    expect(summary.turns).toBeCloseTo(4, 6);
    expect(summary.speedRpm).toBeCloseTo(60, 6);
  });
});

describe("a run notched up", () => {
  const asked = asRun(
    harrow,
    "seconds: 6\ncontrols: [{ at: 0 s, speed: 60 rpm, cutoff: 75 % }, { at: 4 s, cutoff: 30 %, over: 2 s }]",
  );
  const { beats } = rendered(asked);
  const inTurn = (turn: number) => beats.filter(({ shaftDeg }) => Math.floor(shaftDeg / 360) === turn);
  it("begins and ends with the beats of its cut-offs", () => {
    for (const turn of [0, 1]) for (const beat of inTurn(turn)) expectRelease(harrow, beat, 0.75);
    for (const turn of [4, 5]) for (const beat of inTurn(turn)) expectRelease(harrow, beat, 0.3);
  });
  it("lets every beat go earlier, the more the nearer to mid gear", () => {
    for (const first of inTurn(0)) {
      const angles = [1, 2, 3, 4].map((turn) => {
        const beat = inTurn(turn).find(({ cylinder, end }) => cylinder === first.cylinder && end === first.end)!;
        return beat.shaftDeg - 360 * turn;
      });
      expect(angles[0]).toBeCloseTo(first.shaftDeg, 6);
      expect(angles[3]).toBeLessThan(first.shaftDeg - 5);
      for (let i = 1; i < angles.length; i++) expect(angles[i]).toBeLessThan(angles[i - 1] + 1e-6);
    }
  });
});

describe("a run with the regulator ramped", () => {
  it("grows from a murmur to a bark, and its beats stay where they were", () => {
    const { mix, beats } = rendered(
      asRun(
        exhaustOnly(harrow),
        "seconds: 6\ncontrols: [{ at: 0 s, speed: 60 rpm, cutoff: 75 %, regulator: 2 % }, { at: 4 s, regulator: 100 %, over: 2 s }]",
      ),
    );
    for (const beat of beats) expectRelease(harrow, beat, 0.75);
    const rms = (fromS: number) => {
      const turn = mix.subarray(fromS * 48_000, (fromS + 1) * 48_000);
      return Math.sqrt(turn.reduce((sum, x) => sum + x * x, 0) / turn.length);
    };
    expect(rms(4)).toBeGreaterThan(4 * rms(1));
    expect(rms(3)).toBeGreaterThan(rms(1));
  });
});

describe("a run backwards", () => {
  const asked = asRun(harrow, "seconds: 3\ncontrols: [{ at: 0 s, speed: -60 rpm, cutoff: -60 % }]");
  it("lets the shaft angle fall from 0", () => {
    const shaft = pulsesOf(asked).get("shaftDeg")!;
    expect(shaft[0]).toBeCloseTo(0, 12);
    for (let i = 1; i < shaft.length; i++) expect(shaft[i]).toBeLessThan(shaft[i - 1]);
    expect(shaft[96_000]).toBeCloseTo(-720, 6);
  });
  it("does work and beats at the mirrored angles", () => {
    const { beats, summary } = rendered(asked);
    expect(beats.length).toBe(12);
    for (let i = 1; i < beats.length; i++) expect(beats[i].shaftDeg).toBeLessThan(beats[i - 1].shaftDeg);
    for (const beat of beats) expectRelease(harrow, beat, -0.6);
    expect(summary.powerW).toBeGreaterThan(10_000);
    expect(summary.speedRpm).toBeCloseTo(-60, 6);
  });
});

describe("a run through mid gear and through a standstill", () => {
  it("reverses: every sample a number, the shaft where the speed puts it", () => {
    const asked = asRun(
      harrow,
      "seconds: 5\ncontrols: [{ at: 0 s, speed: 60 rpm, cutoff: 70 % }, { at: 3 s, cutoff: -70 %, speed: -60 rpm, over: 2 s }]",
    );
    const { mix, beats, summary } = rendered(asked);
    expect(mix.every(Number.isFinite)).toBe(true);
    // A turn by 1 s, half a turn on to the standstill at 2 s, half a turn back by 3 s, then two turns back.
    expect(summary.speedRpm).toBeCloseTo((360 - 720) / 360 / (5 / 60), 6);
    expect(beats.some(({ timeS }) => timeS < 1)).toBe(true);
    expect(beats.some(({ timeS }) => timeS > 4)).toBe(true);
    for (const beat of beats.filter(({ timeS }) => timeS > 3.01)) expectRelease(harrow, beat, -0.7);
  });
});

describe("the runs that ship", () => {
  // Those that turn themselves are heard whole in heard-runs.test.ts.
  const turned = runNames.filter((name) => shippedRun(name).run.kinematic);
  it.each(turned)("%s: renders to its end, heard and finite, its beats in order", (name) => {
    const { machine, run } = shippedRun(name);
    const { mix, beats, fullScalePa } = rendered(request(machine, { run, seconds: 6, fullScalePa: null }));
    expect(mix.every(Number.isFinite)).toBe(true);
    expect(fullScalePa).toBeGreaterThan(0);
    expect(mix.reduce((most, x) => Math.max(most, Math.abs(x)), 0)).toBeGreaterThan(0.01);
    expect(beats.length).toBeGreaterThan(3);
    for (let i = 1; i < beats.length; i++) expect(beats[i].timeS).toBeGreaterThanOrEqual(beats[i - 1].timeS);
  });

  // The others are held to it where they are heard whole.
  it.each(["corrie-winds", "tarn-fills", "harrow-away", "mill-day", "stell-climb"])("%s: does not clip", (name) => {
    const { machine, run } = shippedRun(name);
    const { mix } = rendered(request(machine, { run, rateHz: 16_000, fullScalePa: null }));
    expect(mix.reduce((most, x) => Math.max(most, Math.abs(x)), 0)).toBeLessThan(1);
  });
});
