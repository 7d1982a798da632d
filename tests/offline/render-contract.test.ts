import { describe, expect, it } from "vitest";
import { butterworthBandPass } from "../../src/listening/band-filter.js";
import { filterZeroPhase } from "../../src/listening/zero-phase.js";
import { checkMachine } from "../../src/offline/check.js";
import { OfflineRender } from "../../src/offline/render.js";
import type { RenderRequest } from "../../src/offline/render-request.js";
import { HighPass } from "../../src/sound/high-pass.js";
import {
  changed,
  decibels,
  eventsOf,
  greatestOf,
  preset,
  pulsesOf,
  rendered,
  request,
  rmsOf,
  runOfText,
  wrapped180,
  type PresetName,
} from "./renders.js";

const harrow = preset("harrow-tank");
const frames = (asked: RenderRequest): number => new OfflineRender(asked).totalFrames;
const fullScale = (asked: RenderRequest): number => new OfflineRender(asked).fullScalePa;

describe("sample 0 is shaft 0", () => {
  it("so every beat falls at its release angle over the speed (design, section 4)", () => {
    for (const speedRpm of [73, -73]) {
      const { beats } = rendered(request(harrow, { turns: 3, speedRpm }));
      const events = eventsOf(harrow, null, speedRpm).beats;
      expect(beats.length).toBe(3 * events.length);
      for (const { timeS, shaftDeg, cylinder, end } of beats) {
        const release = events.find((beat) => beat.cylinder === cylinder && beat.end === end)!.shaftDeg;
        expect(Math.abs(wrapped180(shaftDeg - release))).toBeLessThan(1e-6);
        // A turn is 360 degrees and a minute holds so many turns.
        expect(timeS).toBeCloseTo(shaftDeg / (6 * speedRpm), 9);
      }
      const times = beats.map(({ timeS }) => timeS);
      expect(times).toEqual([...times].sort((a, b) => a - b));
    }
  });

  it("and the sound stands at the flow that makes it: rho/(4 pi r) dQ/dt of the pulse record, no sample early or late", () => {
    // The mill engine has no chimney, so its mouth's flow is all there is. [source: monopole, e.g. Pierce, Acoustics, 4.3]
    const mill = preset("oxmoor-mill");
    const asked = request(mill, { seconds: 1.5, fullScalePa: 1 });
    const pulse = rendered(asked).stems[0];
    const flow = pulsesOf(asked).get("nozzleVolumeFlowM3PerS")!;
    // Moist air at 15 degC and 60 %. [source: CIPM-2007 air density formula, 1.2204 kg/m3, from memory]
    const factor = 1.2204 / (4 * Math.PI * 7.5);
    const expected = new Float64Array(flow.length);
    for (let i = 1; i + 1 < flow.length; i++) expected[i] = factor * 24_000 * (flow[i + 1] - flow[i - 1]);
    // Files pass the stated 8 Hz high-pass.
    new HighPass(48_000).process(expected, expected, expected.length);
    const band = butterworthBandPass(4, 60, 800, 48_000);
    const [heard, made] = [pulse, expected].map((x) => filterZeroPhase(band, x).subarray(4800, flow.length - 4800));
    const error = (lag: number) => {
      let sum = 0;
      for (let i = 8; i < heard.length - 8; i++) sum += (heard[i + lag] - made[i]) ** 2;
      return Math.sqrt(sum / heard.length) / rmsOf(made);
    };
    expect(error(0)).toBeLessThan(0.02);
    for (const lag of [-4, -2, -1, 1, 2, 4]) expect(error(lag)).toBeGreaterThan(error(0));
  });
});

describe("a render is repeatable", () => {
  it("the same bits on a second run, whatever ran between", () => {
    const asked = request(preset("bench-slide"), { seconds: 0.5 });
    const first = rendered(asked);
    rendered(request(preset("hall-exhibit"), { seconds: 0.2 }));
    const second = rendered(asked);
    expect(second.mix).toEqual(first.mix);
    expect(second.stems).toEqual(first.stems);
  });
  it("another seed gives other beats at the same mean level (0.2 dB, needs 12)", () => {
    const [one, two] = [1, 2].map((seed) => rendered(request(harrow, { turns: 16, seed })));
    expect(two.stems[0]).toEqual(one.stems[0]);
    const difference = one.mix.map((x, i) => x - two.mix[i]);
    expect(decibels(rmsOf(difference) / rmsOf(one.mix))).toBeGreaterThan(-40);
    expect(Math.abs(decibels(rmsOf(one.mix) / rmsOf(two.mix)))).toBeLessThan(0.2);
    expect(Math.abs(decibels(rmsOf(one.stems[1]) / rmsOf(two.stems[1])))).toBeLessThan(0.2);
  });
  it("stems add up to the mix within -90 dBFS (needs 4)", () => {
    const { mix, stems } = rendered(request(preset("stell-mineral"), { seconds: 1 }));
    expect(greatestOf(mix)).toBeGreaterThan(0.05);
    const sum = mix.map((_, i) => stems.reduce((total, stem) => total + stem[i], 0));
    expect(greatestOf(mix.map((x, i) => x - sum[i]))).toBeLessThan(10 ** (-90 / 20));
  });
});

describe("level", () => {
  it.each<PresetName>(["harrow-tank", "oxmoor-mill", "pocket-wobbler"])(
    "%s: the rule leaves 6 dB over the peak of four settled turns at 7.5 m",
    (name) => {
      const { mix, fullScalePa } = rendered(request(preset(name), { turns: 4, fullScalePa: null }));
      expect(decibels(greatestOf(mix))).toBeGreaterThan(-6.1);
      expect(decibels(greatestOf(mix))).toBeLessThan(-5.9);
      expect(fullScalePa).toBeGreaterThan(0);
    },
  );
  it("the rule is of the machine alone: no length, rate, speed, regulator, seed or distance of a render moves it", () => {
    const bench = preset("bench-slide");
    const rule = fullScale(request(bench, { fullScalePa: null, turns: 1 }));
    const run = runOfText("listener: { distance: 30 m }\nseed: 4\ncontrols: [{ at: 0 s, regulator: 10 % }]", bench);
    for (const change of [
      { seconds: 3 },
      { seconds: 1, rateHz: 44_100, seed: 9 },
      { seconds: 1, speedRpm: 100, regulatorRatio: 0.1, cutoffRatio: 0.3 },
      { seconds: 1, fidelity: 1 as const },
      { run },
    ]) {
      expect(fullScale(request(bench, { fullScalePa: null, ...change }))).toBe(rule);
    }
  });
  it("option before run file, run file before machine file, machine file before rule", () => {
    const machine = { ...preset("bench-slide"), fullScalePa: 3 };
    const silentRun = runOfText("seconds: 1", machine);
    const speakingRun = runOfText(
      `seconds: 1\nfullScale: 5 Pa\nseed: 8\ncontrols: [{ at: 0 s, speed: ${machine.description.speedRpm} rpm }]`,
      machine,
    );
    const ask = (changes: Partial<RenderRequest>) => request(machine, { fullScalePa: null, ...changes });
    expect(fullScale(ask({ seconds: 1 }))).toBe(3);
    expect(fullScale(ask({ run: silentRun }))).toBe(3);
    expect(fullScale(ask({ run: speakingRun }))).toBe(5);
    expect(fullScale(ask({ run: speakingRun, fullScalePa: 7 }))).toBe(7);
    // The seed likewise: option, run file, 1.
    const jet = (changes: Partial<RenderRequest>) =>
      rendered(ask({ ...changes, seconds: 0.3, fullScalePa: 1 })).stems[1];
    expect(jet({ seed: 8 })).toEqual(jet({ run: speakingRun }));
    expect(jet({ run: speakingRun, seed: 1 })).toEqual(jet({}));
    expect(jet({ seed: 8 })).not.toEqual(jet({}));
  });
  it("a sample is pressure over full scale: twice the full scale, half the sample", () => {
    const [one, two] = [10, 20].map((fullScalePa) => rendered(request(harrow, { seconds: 0.3, fullScalePa })).mix);
    expect(decibels(greatestOf(one.map((x, i) => x - 2 * two[i])) / greatestOf(one))).toBeLessThan(-250);
  });
});

describe("the listener", () => {
  const at = (text: string) => {
    const run = runOfText(
      `seconds: 1\nlistener: { ${text} }\ncontrols: [{ at: 0 s, speed: 60 rpm, cutoff: 75 % }]`,
      harrow,
    );
    return rendered(request(harrow, { run }));
  };
  const near = at("distance: 7.5 m");
  it("hears sound fall as 1/r in a free field", () => {
    const far = at("distance: 30 m");
    near.stems.forEach((stem, s) => {
      if (greatestOf(stem) === 0) return;
      expect(decibels(greatestOf(stem.map((x, i) => x - 4 * far.stems[s][i])) / greatestOf(stem))).toBeLessThan(-150);
    });
  });
  it("hears it at once, unless the delay is asked for: then r/c later, and nothing else", () => {
    // Sound in air of 15 degC: 340.3 m/s. [source: ISO 9613-1:1993, reference conditions, from memory]
    const distanceM = 34.03;
    const [dry, late] = [at(`distance: ${distanceM} m`), at(`distance: ${distanceM} m, delay: true`)];
    const delay = 4800;
    expect(late.beats).toEqual(dry.beats);
    expect(late.mix.length).toBe(dry.mix.length);
    dry.stems.forEach((stem, s) => {
      if (greatestOf(stem) === 0) return;
      const kept = stem.subarray(0, stem.length - delay);
      const shifted = late.stems[s].subarray(delay);
      const difference = kept.map((x, i) => x - shifted[i]);
      expect(decibels(rmsOf(difference) / rmsOf(kept)), `stem ${s}`).toBeLessThan(-60);
    });
  });
});

describe("length", () => {
  it("in seconds, in turns, or ten seconds when nothing is said", () => {
    expect(frames(request(harrow, { seconds: 2.5 }))).toBe(120_000);
    expect(frames(request(harrow, { turns: 3, speedRpm: 90 }))).toBe(96_000);
    expect(frames(request(harrow, { turns: 3, speedRpm: -90 }))).toBe(96_000);
    expect(frames(request(harrow))).toBe(480_000);
    expect(frames(request(harrow, { seconds: 2.5, rateHz: 44_100 }))).toBe(110_250);
  });
  it("of a run: its own, or as told, in turns by the shaft's own going", () => {
    const run = runOfText(
      "seconds: 4\ncontrols: [{ at: 0 s, speed: 30 rpm }, { at: 3 s, speed: 90 rpm, over: 2 s }]",
      harrow,
    );
    expect(frames(request(harrow, { run }))).toBe(192_000);
    expect(frames(request(harrow, { run, seconds: 1 }))).toBe(48_000);
    // Half a turn by 1 s; then 0.5 u + 0.25 u^2 more, which is 1 at u = sqrt(5) - 1.
    expect(frames(request(harrow, { run, turns: 1.5 }))).toBe(Math.round(48_000 * Math.sqrt(5)));
    expect(() => frames(request(harrow, { run, turns: 100 }))).toThrow(/fewer than 100/);
  });
  it.each([
    ["both", { seconds: 1, turns: 1 }, /either seconds or turns/],
    ["no length", { seconds: 0 }, /between 0.1 s and 86400 s/],
    ["for ever", { seconds: 1e9 }, /between 0.1 s and 86400 s/],
    ["not a number", { seconds: NaN }, /between 0.1 s and 86400 s/],
    ["no turns", { turns: 0 }, /turns must be above 0/],
    ["turns of a standing shaft", { turns: 3, speedRpm: 0 }, /standing shaft/],
    ["a loop of a part of a turn", { turns: 2.5, loop: true }, /whole number/],
    ["a cut-off that the gear has not", { cutoffRatio: 0.99 }, /cut/],
  ] as const)("refuses %s in words", (_, changes, words) => {
    expect(() => new OfflineRender(request(harrow, changes))).toThrow(words);
    expect(() => new OfflineRender(request(harrow, changes))).toThrow(RangeError);
  });
});

describe("what a render says it did", () => {
  it.each<PresetName>(["harrow-tank", "stell-mineral", "oxmoor-mill", "lingmere-condensing", "pocket-wobbler"])(
    "%s: flow, mean effective pressures and power agree with the check of the machine within a hundredth",
    (name) => {
      const machine = preset(name);
      const turns = 6;
      const { summary } = rendered(request(machine, { turns }));
      const check = checkMachine(machine);
      expect(summary.turns).toBeCloseTo(turns, 2);
      expect(summary.speedRpm).toBeCloseTo(machine.description.speedRpm, 9);
      expect(Math.abs(summary.meanFlowKgPerS / check.steamKgPerS - 1)).toBeLessThan(0.01);
      expect(Math.abs(summary.powerW! / check.powerW - 1)).toBeLessThan(0.01);
      summary.meanEffectivePressurePa!.forEach((pa, i) => {
        expect(Math.abs(pa / check.meanEffectivePressurePa[i] - 1)).toBeLessThan(0.01);
      });
      // Power is the mean effective pressures times swept volumes, turn by turn (handbook: p l a n).
      const { gear } = machine.description;
      const { boreM, strokeM, pistonRodM, acting } = gear.cylinder;
      const head = 0.25 * Math.PI * boreM * boreM * strokeM;
      const swept = acting === "single" ? [head] : [head, head * (1 - (pistonRodM / boreM) ** 2)];
      const workJ = summary.meanEffectivePressurePa!.reduce((sum, pa, i) => sum + pa * swept[i % swept.length], 0);
      expect(summary.powerW! / ((workJ * machine.description.speedRpm) / 60)).toBeCloseTo(1, 2);
    },
  );
  it("mass and energy of the checked turn close to 1e-6 of what passes", () => {
    for (const name of ["harrow-tank", "hall-exhibit", "lingmere-condensing"] as const) {
      const check = checkMachine(preset(name));
      expect(check.massResidualRatio, name).toBeLessThan(1e-6);
      expect(check.energyResidualRatio, name).toBeLessThan(1e-6);
      expect(check.warnings, name).toEqual([]);
    }
  });
  it("a standing shaft: no turns, no beats, no power, and every sample a number", () => {
    const { mix, beats, summary } = rendered(request(harrow, { seconds: 0.5, speedRpm: 0 }));
    expect(mix.every(Number.isFinite)).toBe(true);
    expect(beats).toEqual([]);
    expect([summary.turns, summary.powerW, summary.speedRpm]).toEqual([0, 0, 0]);
  });
  it("smokebox gas of another heat changes the sound and nothing inside the engine", () => {
    const cool = changed(harrow, {
      exhaust: { ...harrow.description.exhaust, smokebox: { volumeM3: 2.6, temperatureK: 423 } },
    });
    const [hot, cold] = [harrow, cool].map((machine) => rendered(request(machine, { turns: 3 })));
    expect(Math.abs(cold.summary.powerW! / hot.summary.powerW! - 1)).toBeLessThan(0.01);
    expect(cold.mix).not.toEqual(hot.mix);
  });
});
