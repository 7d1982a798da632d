import { describe, expect, it } from "vitest";
import { planTicks } from "../../src/engine/tick-plan.js";
import { planLoop } from "../../src/offline/loop-plan.js";
import { OfflineRender } from "../../src/offline/render.js";
import type { RenderRequest } from "../../src/offline/render-request.js";
import { checkMachine } from "../../src/offline/check.js";
import { preset, request, runOfText, type PresetName } from "./renders.js";

interface Passes {
  readonly render: OfflineRender;
  readonly frameCount: number;
  /** Mix, then stems. */
  readonly tracks: readonly Float64Array[];
}

/** A loop gone through, twice if not told otherwise, each pass made anew. */
function passes(name: PresetName, changes: Partial<RenderRequest>, passCount = 2): Passes {
  const render = new OfflineRender(request(preset(name), { loop: true, ...changes }), passCount);
  const tracks = ["mix", ...render.stemNames].map(() => new Float64Array(render.totalFrames));
  let at = 0;
  for (let block = render.next(); block !== null; block = render.next()) {
    const { frameCount } = block;
    [block.mix, ...block.stems].forEach((made, t) => tracks[t].set(made.subarray(0, frameCount), at));
    at += frameCount;
  }
  return { render, frameCount: at / passCount, tracks };
}

const greatest = (values: Float64Array) => values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
const decibels = (ratio: number) => 20 * Math.log10(ratio);

function differenceDb(track: Float64Array, frameCount: number): number {
  let most = 0;
  for (let i = 0; i < frameCount; i++) most = Math.max(most, Math.abs(track[i + frameCount] - track[i]));
  return decibels(most / greatest(track));
}

const cases: [PresetName, Partial<RenderRequest>, string][] = [
  ["harrow-tank", { turns: 2 }, "two turns"],
  ["harrow-tank", { turns: 1, speedRpm: -60, cutoffRatio: -0.5 }, "one turn backwards"],
  ["pocket-wobbler", { seconds: 1 }, "about a second, ticks of a sample"],
  ["stell-mineral", { turns: 3, cutoffRatio: 0.3 }, "notched up"],
  ["stell-mineral", { turns: 3, cutoffRatio: 0.3, rateHz: 44_100 }, "notched up, 44.1 kHz"],
  ["stell-mineral", { turns: 3, cutoffRatio: 0.3, rateHz: 96_000 }, "notched up, 96 kHz"],
  ["stell-mineral", { turns: 1, cutoffRatio: 0.2 }, "cylinders between wet and dry"],
  ["oxmoor-mill", { seconds: 2 }, "open exhaust of a mill"],
];

// The second pass equals the first to -120 dB of its peak, the mix and every stem.
describe("a loop", () => {
  it.each(cases)("%s, %j (%s): goes on after its end as it began, in every stem", (name, changes) => {
    const { render, frameCount, tracks } = passes(name, changes);
    const names = ["mix", ...render.stemNames];
    const found = tracks.map((track, t) => {
      // A voice that has nothing to say is silent from end to end.
      if (t > 5 && greatest(track) === 0) return -Infinity;
      expect(greatest(track), names[t]).toBeGreaterThan(0);
      return differenceDb(track, frameCount);
    });
    console.log(name, JSON.stringify(changes), frameCount, found.map((db) => db.toFixed(0)).join(" "));
    found.forEach((db, t) => expect(db, names[t]).toBeLessThan(-120));
    // The step across the seam is an ordinary one. By chance one loop in twenty has a step above the 95th percentile there,
    // one in a thousand above this.
    const [mix] = tracks;
    const steps = Array.from({ length: frameCount - 1 }, (_, i) => Math.abs(mix[i + 1] - mix[i])).sort((a, b) => a - b);
    const seam = Math.abs(mix[0] - mix[frameCount - 1]);
    expect(seam).toBeLessThanOrEqual(steps[Math.floor(0.999 * steps.length)]);
    expect(render.summary().warnings.filter((words) => /loop|settl|differ/.test(words))).toEqual([]);
  });

  it("has noise that differs from turn to turn within it", () => {
    const { render, frameCount, tracks } = passes("harrow-tank", { turns: 2 }, 1);
    for (const name of ["exhaust-noise", "exhaust-jet"]) {
      const track = tracks[1 + render.stemNames.indexOf(name)];
      const turn = frameCount / 2;
      let [same, power] = [0, 0];
      for (let i = 0; i < turn; i++) {
        same += track[i] * track[i + turn];
        power += 0.5 * (track[i] ** 2 + track[i + turn] ** 2);
      }
      expect(Math.abs(same / power), name).toBeLessThan(0.3);
    }
  });

  it("holds each beat of its turns once, evenly across the seam too", () => {
    for (const [name, changes] of [
      ["harrow-tank", { turns: 2 }],
      ["pocket-wobbler", { seconds: 1 }],
    ] as const) {
      const { render, frameCount } = passes(name, changes, 1);
      const { turns, beatsPerTurn } = render.summary();
      const beats = render.beats();
      const lengthS = frameCount / 48_000;
      expect(turns % 1).toBe(0);
      expect(beats.length, name).toBe(turns * beatsPerTurn);
      const perTurn = beatsPerTurn;
      beats.forEach((beat, i) => {
        expect(beat.timeS).toBeGreaterThanOrEqual(0);
        expect(beat.timeS).toBeLessThan(lengthS);
        // The beat one turn on, or past the seam, comes a turn's time later.
        const next = beats[(i + perTurn) % beats.length];
        const laterS = next.timeS + (i + perTurn >= beats.length ? lengthS : 0) - beat.timeS;
        expect(laterS).toBeCloseTo(lengthS / turns, 9);
        expect([next.cylinder, next.end]).toEqual([beat.cylinder, beat.end]);
      });
    }
  });

  it("does the work that the check of the machine says, at the scale of any other render", () => {
    const machine = preset("stell-mineral");
    const loop = new OfflineRender(request(machine, { loop: true, turns: 1, speedRpm: 80, fullScalePa: null }));
    const plain = new OfflineRender(request(machine, { turns: 1, fullScalePa: null }));
    expect(loop.fullScalePa).toBe(plain.fullScalePa);
    while (loop.next() !== null);
    const [summary, check] = [loop.summary(), checkMachine(machine)];
    expect(Math.abs(summary.powerW! / check.powerW - 1)).toBeLessThan(0.01);
    expect(Math.abs(summary.meanFlowKgPerS / check.steamKgPerS - 1)).toBeLessThan(0.01);
    expect(summary.turns).toBe(1);
  });
});

describe("a machine whose metal finds no rest", () => {
  it("is looped all the same, and that is told", () => {
    // A tenth of the stroke: much work of condensing and drying, little of driving.
    const { render, frameCount, tracks } = passes("harrow-tank", { turns: 1, cutoffRatio: 0.1 });
    const heard = tracks.filter((track) => greatest(track) > 0);
    heard.forEach((track) => expect(differenceDb(track, frameCount)).toBeLessThan(-120));
    expect(render.summary().warnings.join()).toMatch(/metal finds no rest at this setting/);
  });
});

describe("a loop's length", () => {
  const harrow = preset("harrow-tank");
  it("is the whole number of turns nearest to what is wanted that fills whole steps within 50 ppm", () => {
    let state = 7;
    const draw = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
    for (let k = 0; k < 300; k++) {
      const speedRpm = (draw() < 0.5 ? 1 : -1) * 3 * 200 ** draw();
      const rateHz = [22_050, 44_100, 48_000, 96_000][Math.floor(4 * draw())];
      const seconds = 0.1 + 12 * draw();
      const fidelity = ([1, 2, 4] as const)[Math.floor(3 * draw())];
      const cutoffRatio = Math.sign(speedRpm) * 0.6;
      const asked = request(harrow, { loop: true, seconds, speedRpm, rateHz, fidelity, cutoffRatio });
      const { frameCount, timing, loopRpm } = planLoop(asked);
      const { samplesPerTick } = planTicks(harrow.description, rateHz, fidelity);
      const samplesPerStep = 2 * samplesPerTick;
      expect(frameCount % samplesPerStep).toBe(0);
      expect(timing.ticks * samplesPerTick).toBe(frameCount);
      expect(Math.abs(loopRpm / speedRpm - 1)).toBeLessThanOrEqual(50e-6 * (1 + 1e-9));
      expect((loopRpm * frameCount) / (60 * rateHz)).toBeCloseTo(timing.turns, 9);
      // No number of turns nearer to the wanted length fits.
      const perTurn = (60 * rateHz) / Math.abs(speedRpm);
      const off = Math.abs(frameCount - seconds * rateHz);
      for (let turns = 1; turns * perTurn < seconds * rateHz + off; turns++) {
        const steps = Math.round((turns * perTurn) / samplesPerStep);
        const nudge = Math.abs((turns * perTurn) / (steps * samplesPerStep) - 1);
        if (Math.abs(steps * samplesPerStep - seconds * rateHz) < off - 1e-6) expect(nudge).toBeGreaterThan(50e-6);
      }
    }
  });

  it("is about ten seconds when nothing is said, and the nudge is told with the speed", () => {
    const plain = planLoop(request(harrow, { loop: true }));
    expect(plain.frameCount).toBe(480_000);
    expect(plain.notes).toEqual([]);
    const odd = new OfflineRender(request(harrow, { loop: true, turns: 5, speedRpm: 66 }));
    expect(odd.totalFrames).toBe(218_184);
    while (odd.next() !== null);
    // 5 turns at 66 rpm are 218181.8 samples; the nearest step of 8 samples is 10 ppm beyond them.
    const { speedRpm, warnings } = odd.summary();
    expect(speedRpm).toBeCloseTo((60 * 48_000 * 5) / 218_184, 9);
    expect(warnings).toContain("Speed 65.99934 rpm instead of 66 rpm (-10 ppm), so that 5 turns fill 218184 samples.");
  });

  it.each([
    // A turn is 9450 samples, 1181.25 steps of 8: four fit exactly, five within 42 ppm, fewer not at all.
    [
      "turns that do not fit",
      { turns: 3, speedRpm: 280, rateHz: 44_100 },
      /3 turns at this speed and rate do not fill whole steps of 8 samples within 50 ppm\. The nearest that do: 4\./,
    ],
    ["a turn that does not fit", { turns: 1, speedRpm: 280, rateHz: 44_100 }, /1 turn .* does not .* do: 4\.$/],
    ["a part of a turn", { turns: 2.5 }, /turns of a loop must be a whole number, got 2.5. Ask for 2 or 3/],
    ["less than a turn", { turns: 0.5 }, /Ask for 1\./],
    ["a standing shaft", { speedRpm: 0 }, /standing shaft cannot be looped.* Give a --speed/],
    ["no turns", { turns: 0 }, /turns/],
    ["both lengths", { turns: 2, seconds: 3 }, /either seconds or turns/],
    ["a turn of months", { speedRpm: 1e-5 }, /higher --speed/],
  ] as const)("refuses %s in words", (_, changes, words) => {
    const asked = request(harrow, { loop: true, ...changes });
    expect(() => new OfflineRender(asked)).toThrow(words);
    expect(() => new OfflineRender(asked)).toThrow(RangeError);
  });

  it("tells a length that is not the one asked for, and turns too short to be rendered", () => {
    const long = planLoop(request(harrow, { loop: true, seconds: 0.1, speedRpm: 60 }));
    expect(long.frameCount).toBe(48_000);
    expect(long.notes).toContain("1 turn lasts 1 s, the nearest to 0.1 s that fits.");
    expect(planLoop(request(harrow, { loop: true, seconds: 2, speedRpm: 60 })).notes).toEqual([]);
    const short = request(preset("pocket-wobbler"), { loop: true, turns: 1 });
    expect(() => planLoop(short)).toThrow(
      "render: turns must last between 0.1 s and 86400 s, got 1 in 0.0857 s. Ask for at least 2 turns.",
    );
  });

  it("refuses a run in words", () => {
    const run = runOfText("seconds: 4\ncontrols: [{ at: 0 s, speed: 30 rpm }]", harrow);
    expect(() => new OfflineRender(request(harrow, { loop: true, run }))).toThrow(/a run cannot be looped.*--speed/);
  });
});
