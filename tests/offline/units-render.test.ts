import { describe, expect, it } from "vitest";
import { OfflineRender } from "../../src/offline/render.js";
import { openRender } from "../../src/offline/units-render.js";
import { butterworthBandPass } from "../../src/listening/band-filter.js";
import { filterZeroPhase } from "../../src/listening/zero-phase.js";
import { complaintsOf, machineOf } from "../preset/loading.js";
import { greatestOf, machineOfText, type Rendered, rendered, request, runOfText, shippedRun } from "./renders.js";

// Two cranks at right angles beat every 90 degrees; a unit that turns 1.2 % faster and begins 20 degrees ahead is in step
// when it has gained 70 degrees, and half way between when it has gained 25: arithmetic of the beats.
const { machine, run } = shippedRun("fellgate-out-of-step");
const rateHz = 16_000;
const { speedStepRatio, angleRad } = machine.engineUnits;
const gainedDegPerS = 6 * 40 * speedStepRatio;
const leadDeg = (180 / Math.PI) * angleRad;
const inStepS = (90 - leadDeg) / gainedDegPerS;
const betweenS = (45 - leadDeg) / gainedDegPerS;
const turnS = 60 / 40;

/** A stem of a render, by its name. */
const stemOf = ({ stems, stemNames }: Rendered, name: string) => stems[stemNames.indexOf(name)];

describe("two engine units under one boiler", () => {
  const both = rendered(request(machine, { run, rateHz, seconds: 27, fullScalePa: null }));
  const { mix, beats } = both;

  it("each beat at its own speed: the second gains 1.2 per cent of a turn on every turn", () => {
    const releases = (cylinder: number) =>
      beats.filter((beat) => beat.cylinder === cylinder && beat.end === "head").map(({ timeS }) => timeS);
    const [first, second] = [releases(1), releases(3)];
    const mean = (times: number[]) => (times.at(-1)! - times[0]) / (times.length - 1);
    expect(mean(first)).toBeCloseTo(turnS, 6);
    expect(mean(second)).toBeCloseTo(turnS / (1 + speedStepRatio), 6);
    // Both have the same gear: the first release of the second comes 20 degrees earlier, at its speed.
    const turnOfSecond = turnS / (1 + speedStepRatio);
    expect(second[0]).toBeCloseTo((first[0] / turnS - leadDeg / 360) * turnOfSecond, 6);
  });

  it("in step four beats to the turn are heard, between steps eight", () => {
    const band = filterZeroPhase(butterworthBandPass(2, 100, 800, rateHz), mix);
    const orderAt = (middleS: number, order: number) => {
      const from = Math.round((middleS - turnS) * rateHz);
      const count = Math.round(2 * turnS * rateHz);
      let [real, imaginary, sum] = [0, 0, 0];
      for (let i = 0; i < count; i++) {
        const power = band[from + i] ** 2;
        const phase = (2 * Math.PI * order * i) / (turnS * rateHz);
        real += power * Math.cos(phase);
        imaginary += power * Math.sin(phase);
        sum += power;
      }
      return Math.hypot(real, imaginary) / sum;
    };
    expect(orderAt(inStepS, 4)).toBeGreaterThan(0.7);
    expect(orderAt(betweenS, 4)).toBeLessThan(0.1);
    expect(orderAt(betweenS, 8)).toBeGreaterThan(0.4);
  });

  it("the scale is twice one unit's, flows and powers are added, and what is said of one says so", () => {
    const ruled = new OfflineRender(request(machine, { seconds: 0.1, fullScalePa: null })).fullScalePa;
    expect(both.fullScalePa / ruled).toBeCloseTo(2, 9);
    const { powerW, meanEffectivePressurePa, meanFlowKgPerS, warnings } = both.summary;
    expect(meanEffectivePressurePa).toHaveLength(8);
    // Two at nearly one speed give nearly twice one's: no outside source but the sum.
    const alone = rendered(
      request({ ...machine, engineUnits: { count: 1, speedStepRatio: 0, angleRad: 0 } }, { run, rateHz, seconds: 12 }),
    ).summary;
    expect(alone.meanEffectivePressurePa).toHaveLength(4);
    expect(powerW! / alone.powerW!).toBeCloseTo(2, 1);
    expect(meanFlowKgPerS / alone.meanFlowKgPerS).toBeCloseTo(2, 1);
    expect(warnings.join()).toContain("2 engine units");
  });
});

describe("engine units that keep step", () => {
  const text = (units: string) => `${units}
boiler: { pressure: 100 psi }
cylinders: { bore: 8 in, stroke: 12 in, count: 2 }
wheels: { diameter: 3 ft }
whistle: none
track: none
motion: none
leaks: { valve: 0 mm2, rings: 0 mm2 }
speed: 60 rpm`;
  const asked = { seconds: 2, fullScalePa: 20, rateHz };

  it("at one speed and without a lead they are one engine at twice the pressure in the pulse", () => {
    const two = rendered(
      request(machineOfText(text("engineUnits: { count: 2, speedStep: 0 %, angle: 0 deg }")), asked),
    );
    const one = rendered(request(machineOfText(text("")), asked));
    const [pulse, single] = [stemOf(two, "exhaust-pulse"), stemOf(one, "exhaust-pulse")];
    expect(greatestOf(single)).toBeGreaterThan(0);
    expect(greatestOf(pulse.map((value, i) => value - 2 * single[i]))).toBeLessThan(1e-9 * greatestOf(single));
    // Noise is each unit's own.
    const [noise, alone] = [stemOf(two, "exhaust-noise"), stemOf(one, "exhaust-noise")];
    expect(greatestOf(noise.map((value, i) => value - 2 * alone[i]))).toBeGreaterThan(0.1 * greatestOf(alone));
  });

  it("rows of pulses and plume name the cylinders and mouths of all", () => {
    const two = openRender(request(machineOfText(text("engineUnits: {}")), { ...asked, seconds: 0.5 }));
    const plumeNames = two.tapPlume(100, () => undefined);
    expect(two.pulseNames).toContain("c4CrankPressurePa");
    expect(new Set(two.pulseNames).size).toBe(two.pulseNames.length);
    expect(new Set(plumeNames).size).toBe(plumeNames.length);
    const rows: number[] = [];
    two.onPulse = (index, row) => {
      rows.push(index);
      expect(row).toHaveLength(two.pulseNames.length);
      expect(row.every(Number.isFinite)).toBe(true);
    };
    while (two.next() !== null);
    expect(rows).toHaveLength(two.totalFrames);
  });

  it.each([
    ["a loop", true, "seconds: 2\ncontrols: [{ at: 0 s, speed: 60 rpm }]", "come in step only by chance"],
    ["a run without a speed", false, "seconds: 2\ncontrols: [{ at: 0 s, regulator: 50 % }]", "Give speed"],
    ["a fire", false, "seconds: 2\ncontrols: [{ at: 0 s, speed: 60 rpm, fire: 50 % }]", "holds its pressure"],
  ])("refuses %s in words", (_, loop, controls, words) => {
    const units = machineOfText(text("engineUnits: {}").replace("motion: none\n", ""));
    const run = loop ? null : runOfText(controls, units);
    expect(() => openRender(request(units, { loop, run }))).toThrow(words);
  });

  it("in the machine file, what is not said is assumed and what cannot be is refused", () => {
    const assumed = machineOf(text("engineUnits: {}")).assumed.map(({ name }) => name);
    expect(assumed).toEqual(
      expect.arrayContaining(["engineUnits.count", "engineUnits.speedStep", "engineUnits.angle"]),
    );
    const [complaint] = complaintsOf(text("engineUnits: { count: 9 }"));
    expect(complaint).toContain("engineUnits.count");
  });
});
