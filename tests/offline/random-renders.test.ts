import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { OfflineRender } from "../../src/offline/render.js";
import { loadMachine } from "../../src/preset/machine-file.js";
import { loadRun } from "../../src/preset/run-file.js";
import { randomPump } from "../preset/random-pumps.js";
import { written } from "../preset/random-values.js";
import { request } from "./renders.js";

/** A value between two bounds, evenly over its logarithm, with a unit. */
function amount(low: number, high: number, unit: string): fc.Arbitrary<string> {
  return fc
    .double({ min: Math.log(low), max: Math.log(high), noNaN: true })
    .map((exponent) => `${Number(Math.exp(exponent).toPrecision(4))} ${unit}`);
}

const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { freq: 2, nil: undefined });
const block = (fields: Record<string, fc.Arbitrary<unknown>>) => fc.record(fields, { requiredKeys: [] });
const pipe = fc.record({ length: amount(0.08, 2, "m"), bore: amount(3, 250, "mm") });

/** Gears in proportion to the engine, so that most can work, with any of their figures left out. */
const gear = fc.oneof(
  fc.record(
    {
      kind: fc.constant("eccentric"),
      admission: fc.constantFrom("outside", "inside"),
      travel: amount(6, 200, "mm"),
      steamLap: amount(0.1, 40, "mm"),
      lead: amount(0.05, 8, "mm"),
      portWidth: amount(0.5, 50, "mm"),
    },
    { requiredKeys: ["kind"] },
  ),
  fc.record(
    { kind: fc.constant("events"), fullGearCutoff: amount(25, 85, "%"), release: amount(130, 172, "deg") },
    { requiredKeys: ["kind"] },
  ),
  fc.constant({ kind: "oscillating" }),
  fc.constant(undefined),
);

const exhaust = fc.oneof(
  fc.constant(undefined),
  block({ passage: pipe }),
  block({ passage: pipe, blastPipe: pipe }),
  block({ passage: pipe, blastPipe: pipe, nozzle: fc.record({ bore: amount(2, 150, "mm") }) }),
  block({
    passage: pipe,
    blastPipe: pipe,
    smokebox: fc.record({ volume: amount(0.01, 5, "m3"), temperature: amount(100, 400, "degC") }),
    chimney: pipe,
  }),
  block({ passage: pipe, condenser: fc.record({ pressure: amount(0.05, 0.9, "bar abs") }) }),
);

const fault = fc.oneof(
  fc.record({ kind: fc.constant("ringLeak"), cylinder: fc.constant(1), area: amount(0.1, 500, "mm2") }),
  fc.record({ kind: fc.constant("quartering"), cylinder: fc.constant(1), by: amount(0.1, 8, "deg") }),
  fc.record({
    kind: fc.constant("portChoke"),
    cylinder: fc.constant(1),
    end: fc.constant("head"),
    to: amount(1, 99, "%"),
  }),
);

const fields = {
  workingFluid: fc.constantFrom("steam", "steam", "air"),
  boiler: fc.record({ pressure: amount(0.1, 60, "bar") }),
  cylinders: fc.record(
    {
      count: fc.integer({ min: 1, max: 3 }),
      bore: amount(6, 700, "mm"),
      stroke: amount(6, 500, "mm"),
      acting: fc.constantFrom("double", "single"),
      clearance: amount(1, 40, "%"),
    },
    { requiredKeys: ["bore", "stroke"] },
  ),
  valveGear: gear,
  exhaust,
  leaks: maybe(fc.record({ valve: amount(0.001, 200, "mm2"), rings: amount(0.001, 200, "mm2") })),
  chest: maybe(fc.record({ volume: amount(0.001, 100, "L") })),
  regulator: maybe(fc.record({ area: amount(0.01, 300, "cm2") })),
  speed: amount(400, 2500, "rpm"),
  idealised: fc.constantFrom(false, false, true),
  faults: maybe(fc.array(fault, { minLength: 1, maxLength: 2 })),
};

const stage = fc.record(
  {
    cylinders: fc.record(
      { bore: amount(8, 1200, "mm"), count: fc.integer({ min: 1, max: 2 }), clearance: amount(1, 40, "%") },
      { requiredKeys: ["bore"] },
    ),
    receiver: fc.record({ volume: amount(0.001, 1000, "L") }),
    valveGear: fc.record({ kind: fc.constant("events"), fullGearCutoff: amount(25, 85, "%") }),
  },
  { requiredKeys: ["cylinders"] },
);

const simple = fc.record(fields);
const compound = fc.record({ ...fields, intermediatePressure: maybe(stage), lowPressure: stage });

// Random machine files at the renderer; no NaN in any file.
describe("random machine files at the renderer", () => {
  it.each([
    ["200 of them", simple, 200, 30],
    ["12 compounds", compound, 12, 31],
  ] as const)(
    "%s give finite samples or are refused in words",
    (_name, machineTree, numRuns, runSeed) => {
      let slowest = { ms: 0, text: "" };
      let heardCount = 0;
      let refusedCount = 0;
      let worst = 0;
      const property = fc.property(
        machineTree,
        fc.integer(),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (tree, seed, regulatorRatio) => {
          const text = JSON.stringify(tree);
          const loaded = loadMachine(text, "m.yaml");
          fc.pre(loaded.ok);
          const startedMs = process.cpuUsage().user / 1000;
          let render: OfflineRender;
          try {
            render = new OfflineRender(request(loaded.value, { seconds: 0.2, seed, regulatorRatio }));
          } catch (error) {
            if (!(error instanceof RangeError)) throw error;
            expect(error.message.length).toBeGreaterThan(20);
            expect(error.message.length).toBeLessThan(400);
            refusedCount++;
            return;
          }
          let greatest = 0;
          for (let one = render.next(); one !== null; one = render.next()) {
            for (let i = 0; i < one.frameCount; i++) {
              const sample = one.mix[i];
              if (!Number.isFinite(sample)) throw new Error(`sample ${sample} of ${text}`);
              greatest = Math.max(greatest, Math.abs(sample));
            }
          }
          const { meanFlowKgPerS, powerW, meanEffectivePressurePa } = render.summary();
          expect([meanFlowKgPerS, powerW ?? 0, ...(meanEffectivePressurePa ?? [])].every(Number.isFinite), text).toBe(
            true,
          );
          if (greatest > 1e-9) heardCount++;
          worst = Math.max(worst, greatest);
          const ms = process.cpuUsage().user / 1000 - startedMs;
          if (ms > slowest.ms) slowest = { ms, text };
        },
      );
      fc.assert(property, { seed: runSeed, numRuns, endOnFailure: true });
      console.log(
        `${heardCount} heard, ${refusedCount} refused, loudest ${(20 * worst).toFixed(1)} Pa; slowest ${slowest.ms.toFixed(0)} ms of CPU: ${slowest.text}`,
      );
      expect(heardCount).toBeGreaterThan(numRuns / 2);
      // Each is run in, and heard for some seconds before its file begins.
    },
    400_000,
  );

  it("6 pumps without a crank among them, those that stand as well", () => {
    let moved = 0;
    const property = fc.property(
      randomPump(0),
      fc.double({ min: 0.05, max: 1, noNaN: true }),
      (tree, regulatorRatio) => {
        const loaded = loadMachine(written(tree), "m.yaml");
        fc.pre(loaded.ok);
        const run = loadRun(
          `machine: m.yaml\ncontrols: [{ at: 0 s, regulator: ${Math.round(100 * regulatorRatio)} % }]`,
          "r.yaml",
          loaded.value,
        );
        if (!run.ok) throw new Error("a run of a pump is refused");
        const render = new OfflineRender(request(loaded.value, { run: run.value, seconds: 2 }));
        for (let one = render.next(); one !== null; one = render.next()) {
          for (let i = 0; i < one.frameCount; i++) expect(Number.isFinite(one.mix[i])).toBe(true);
        }
        const { meanFlowKgPerS, powerW, turns } = render.summary();
        expect([meanFlowKgPerS, powerW ?? 0, turns].every(Number.isFinite), written(tree)).toBe(true);
        if (render.beats().length > 0) moved++;
      },
    );
    fc.assert(property, { seed: 31, numRuns: 6, endOnFailure: true });
    expect(moved).toBeGreaterThan(1);
  }, 200_000);
});
