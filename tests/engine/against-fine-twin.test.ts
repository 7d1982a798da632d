import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import {
  exhaustClearance,
  intoTheOpen,
  locomotive,
  millEngine,
  oscillating12mm,
  presetMachine,
  slideValve12mm,
  workshopOnAir,
} from "./descriptions.js";
import { turnFineTwin } from "./fine-twin.js";
import { slopeOctavesDb, Turning } from "./turning.js";

const idealised = true;
const free = intoTheOpen(locomotive({ idealised }));
const superheated = intoTheOpen({ ...presetMachine("stell-mineral").description, idealised });
const bothOpen = intoTheOpen(exhaustClearance({ idealised }));

/** Name, rpm, cut-off (null: full gear), engine, fine cell in m. */
const cases: readonly (readonly [string, number, number | null, EngineDescription, number])[] = [
  ["12 mm oscillating", 700, null, oscillating12mm({ idealised }), 0.001],
  ["12 mm slide valve", 600, null, slideValve12mm({ idealised }), 0.001],
  ["60 mm on air", 200, null, workshopOnAir({ idealised }), 0.006],
  ["60 mm on air", 200, 0.35, workshopOnAir({ idealised }), 0.006],
  ["mill engine", 40, null, millEngine({ idealised }), 0.05],
  ["locomotive", 40, null, free, 0.025],
  ["locomotive", 100, null, free, 0.02],
  ["locomotive", 100, 0.3, free, 0.02],
  ["locomotive", 220, null, free, 0.02],
  ["locomotive", 220, 0.3, free, 0.02],
  ["three cylinders, superheated", 80, null, superheated, 0.025],
  ["locomotive, both exhaust ports open at mid stroke", 100, 0.3, bothOpen, 0.02],
];

/** One line of the spectrum of a turn of flow whose first sample belongs to `share` of a sample after the start. */
function lineOf(flow: Float64Array, order: number, share: number): readonly [number, number] {
  const step = (2 * Math.PI * order) / flow.length;
  const [cosStep, sinStep] = [Math.cos(step), Math.sin(step)];
  let c = Math.cos(step * share);
  let s = Math.sin(step * share);
  let re = 0;
  let im = 0;
  for (const q of flow) {
    re += q * c;
    im -= q * s;
    const turned = c * cosStep - s * sinStep;
    s = s * cosStep + c * sinStep;
    c = turned;
  }
  return [re / flow.length, im / flow.length];
}

/**
 * How much later a turn of `flow` arrives than `fine`: the delay that fits the phases of all lines from 22 to 355 Hz
 * best, each counted by the sound it makes.
 */
function lateS(flow: Float64Array, fine: Float64Array, turnS: number): number {
  let product = 0;
  let square = 0;
  for (let order = Math.ceil(22.4 * turnS); order < 355 * turnS; order++) {
    // A tick's flow belongs to its middle.
    const [a, b] = lineOf(flow, order, 0.5);
    const [c, d] = lineOf(fine, order, 0);
    const power = Math.hypot(a, b) * Math.hypot(c, d) * order * order;
    product += Math.atan2(a * d - b * c, a * c + b * d) * order * power;
    square += order * order * power;
  }
  return (product / square) * (turnS / (2 * Math.PI));
}

const peak = (flow: Float64Array) => flow.reduce((most, q) => Math.max(most, q), 0);
const mean = (flow: Float64Array) => flow.reduce((sum, q) => sum + q, 0) / flow.length;
const percent = (ratio: number) => (100 * (ratio - 1)).toFixed(2);

// [source: the design's limits of the pipe model, for idealised engines from a 12 mm model to a locomotive at 220 rpm]
describe("an engine in coarse cells against an independent solution in fine ones", () => {
  it.each(cases)("%s at %s rpm, cut-off %s (null: full gear)", (name, speedRpm, cutoffRatio, description, cellM) => {
    const turning = new Turning(description, { speedRpm, cutoffRatio }).settle(5);
    const flow = turning.exitFlow(1);
    const work = Array.from(turning.engine.ends.workJ);
    const massKgPerS = turning.engine.ledger.massOutKg / turning.turnS;
    const tickS = turning.engine.plan.stepS;
    const fine = turnFineTwin(turning, {
      cutoffRatio,
      cellM,
      leadTurns: 0.15,
      isMixed: true,
      stepsPerTurn: Math.round(turning.turnS * 24_000),
    });
    const late = lateS(flow, fine.volumeFlow, turning.turnS);
    const peakRatio = peak(flow) / peak(fine.volumeFlow);
    const flowRatio = massKgPerS / mean(fine.massFlow);
    const pressureRatios = work.map((joule, i) => joule / fine.workJ[i]);
    const levels = slopeOctavesDb(fine.volumeFlow, fine.stepS);
    const differences = slopeOctavesDb(flow, tickS).map((db, i) => db - levels[i]);
    const strongest = Math.max(...levels);
    console.log(
      `${name}, ${speedRpm} rpm, ${cutoffRatio ?? "full gear"}: late ${(1e6 * late).toFixed(0)} us, ` +
        `peak ${peak(fine.volumeFlow).toPrecision(4)} m3/s ${percent(peakRatio)} %, flow ${percent(flowRatio)} %, ` +
        `mean pressures ${pressureRatios.map(percent).join(" ")} %,\n   octaves 31.5 to 500 Hz ` +
        `${differences.map((db, i) => `${db.toFixed(2)} (at ${(levels[i] - strongest).toFixed(0)})`).join(", ")} dB`,
    );
    expect(Math.abs(late)).toBeLessThan(2e-4);
    expect(Math.abs(peakRatio - 1)).toBeLessThan(0.03);
    expect(Math.abs(flowRatio - 1)).toBeLessThan(0.005);
    for (const ratio of pressureRatios) expect(Math.abs(ratio - 1)).toBeLessThan(0.01);
    expect(differences).toHaveLength(5);
    differences.forEach((db, i) => expect(Math.abs(db)).toBeLessThan(i < 4 ? 1 : 3));
  });
});
