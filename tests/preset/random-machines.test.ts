import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isSettable } from "../../src/gear/gear-description.js";
import { faultsOfCylinder, requireFaultsFit } from "../../src/gear/faults-of-gear.js";
import { OscillatingPorts } from "../../src/gear/oscillating.js";
import { requireCylinder } from "../../src/gear/require-cylinder.js";
import { valveDimensions } from "../../src/gear/valve-dimensions.js";
import { loadMachine } from "../../src/preset/machine-file.js";
import { loadRun, readRunMachinePath } from "../../src/preset/run-file.js";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { machineOf, numbersIn } from "./loading.js";
import { amount, field, odd, written } from "./random-values.js";

/** Loads a text; returns whether it is a machine. Throws what must never happen. */
function isMachine(text: string): boolean {
  const loaded = loadMachine(text, "m.yaml");
  if (!loaded.ok) {
    expect(loaded.errors.length).toBeGreaterThan(0);
    expect(loaded.errors.length).toBeLessThanOrEqual(10);
    expect(loaded.moreErrors).toBeGreaterThanOrEqual(0);
    for (const { line, column, message } of loaded.errors) {
      if (!(line >= 1 && column >= 1 && message.length > 5 && message.length < 330))
        throw new Error(`${line}:${column} ${message}`);
    }
    return false;
  }
  const { description } = loaded.value;
  const bad = numbersIn(description).filter((value) => !Number.isFinite(value));
  if (bad.length > 0) throw new Error(`not finite: ${JSON.stringify(description)}`);
  // What the loader lets through, the gear must take.
  requireCylinder(description.gear);
  requireFaultsFit(description.gear);
  const { valveGear, cylinder, crankAnglesRad } = description.gear;
  if (valveGear.kind === "oscillating") {
    const faults = crankAnglesRad.map((_, index) => faultsOfCylinder(description.gear, index + 1));
    new OscillatingPorts(valveGear, cylinder.strokeM, faults, cylinder.acting === "single" ? 1 : 2);
  } else if (isSettable(valveGear)) valveDimensions(valveGear);
  return true;
}

function machine(oddShare: number): fc.Arbitrary<unknown> {
  const f = (value: fc.Arbitrary<unknown>) => field(value, oddShare);
  const length = f(amount(1, 1000, "mm"));
  const block = (fields: Record<string, fc.Arbitrary<unknown>>) => fc.record(fields, { requiredKeys: [] });
  const pipe = block({ length: f(amount(0.05, 5, "m")), bore: f(amount(20, 300, "mm")) });
  const area = f(amount(0.01, 100, "mm2"));
  const angle = f(fc.integer({ min: -10, max: 10 }).map((degrees) => `${degrees} deg`));
  const cylinder = f(fc.integer({ min: 1, max: 2 }));
  const fault = fc.oneof(
    block({ kind: fc.constant("valveRodLength"), cylinder, by: f(amount(0.1, 10, "mm")) }),
    block({ kind: fc.constantFrom("eccentricSlip", "quartering"), cylinder, by: angle }),
    block({ kind: fc.constant("ringLeak"), cylinder, area }),
    block({
      kind: fc.constant("portChoke"),
      cylinder,
      end: f(fc.constantFrom("head", "crank")),
      to: f(amount(10, 100, "%")),
    }),
  );
  const small = f(amount(0.5, 60, "mm"));
  const gear = fc.oneof(
    block({
      kind: fc.constant("eccentric"),
      admission: f(fc.constantFrom("outside", "inside")),
      travel: f(amount(20, 300, "mm")),
      steamLap: small,
      exhaustLap: f(amount(0.1, 10, "mm")),
      lead: f(amount(0.1, 8, "mm")),
      portLength: length,
      portWidth: small,
    }),
    fc.record(
      {
        kind: fc.constant("events"),
        fullGearCutoff: f(amount(30, 90, "%")),
        release: f(fc.oneof(amount(120, 175, "deg"), amount(60, 99, "%"))),
        lead: f(amount(0.1, 8, "mm")),
        portLength: length,
        portWidth: small,
      },
      { requiredKeys: ["kind"] },
    ),
    fc.record(
      {
        kind: fc.constant("oscillating"),
        portDiameter: small,
        portRadius: length,
        pivotDistance: f(amount(0.1, 4, "m")),
      },
      { requiredKeys: ["kind"] },
    ),
  );
  return fc.record(
    {
      formatVersion: f(fc.constant(1)),
      name: f(fc.string({ minLength: 1, maxLength: 20 }).map((text) => `x${text}`)),
      kind: f(fc.constantFrom("stationary", "locomotive", "road", "marine", "model", "pump")),
      workingFluid: f(fc.constantFrom("steam", "steam", "air")),
      ambient: block({
        pressure: f(fc.constant("1 bar abs")),
        temperature: f(amount(1, 40, "degC")),
        humidity: f(amount(1, 100, "%")),
      }),
      boiler: fc.record(
        {
          pressure: f(amount(1, 90, "bar", "psi")),
          superheat: f(amount(1, 300, "K")),
        },
        { requiredKeys: ["pressure"] },
      ),
      cylinders: fc.record(
        {
          count: f(fc.integer({ min: 1, max: 4 })),
          bore: f(amount(3, 3000, "mm")),
          stroke: f(amount(3, 3000, "mm")),
          acting: f(fc.constantFrom("double", "single")),
          connectingRod: f(amount(1, 19, "m")),
          pistonRod: f(amount(0.1, 100, "mm")),
          clearance: f(amount(1, 50, "%")),
        },
        { requiredKeys: ["bore", "stroke"] },
      ),
      valveGear: gear,
      exhaust: fc.oneof(
        block({
          passage: pipe,
          blastPipe: pipe,
          nozzle: block({ bore: f(amount(5, 100, "mm")), contraction: f(amount(5, 200, "mm")) }),
        }),
        fc.record({
          passage: pipe,
          blastPipe: pipe,
          smokebox: block({ volume: f(amount(0.1, 9, "m3")) }),
          chimney: pipe,
        }),
        block({ passage: pipe, condenser: block({ pressure: f(amount(0.05, 0.9, "bar abs")) }) }),
      ),
      leaks: block({ valve: area, rings: area }),
      chest: block({ volume: f(amount(0.01, 100, "L")) }),
      regulator: block({ area: f(amount(0.1, 100, "cm2")) }),
      wheels: fc.record({ diameter: f(amount(0.5, 3, "m")) }),
      speed: f(amount(1, 300, "rpm", "mph")),
      fullScale: f(amount(0.1, 100, "Pa")),
      idealised: f(fc.boolean()),
      faults: fc.array(fault, { maxLength: 2 }),
    },
    { requiredKeys: ["boiler", "cylinders", "speed"] },
  );
}

describe("random machine files give a complaint or a finite machine, and never an exception", () => {
  it("1500 that are mostly right", () => {
    let right = 0;
    let wrong = 0;
    const check = fc.property(machine(3), (tree) => {
      if (isMachine(written(tree))) right++;
      else wrong++;
    });
    fc.assert(check, { seed: 20, numRuns: 1500 });
    // The rules that tie values together refuse many of these; enough of both must be seen for the test to mean anything.
    expect(right).toBeGreaterThan(200);
    expect(wrong).toBeGreaterThan(200);
  });

  it("500 with something odd in nearly every one", () => {
    fc.assert(
      fc.property(machine(150), (tree) => void isMachine(written(tree))),
      { seed: 21, numRuns: 500 },
    );
  });

  it("500 of any shape under the right keys", () => {
    const keys =
      "formatVersion name kind workingFluid ambient boiler cylinders valveGear exhaust leaks chest regulator wheels speed fullScale idealised faults blower brake load motion flywheel train governor gearing drains snifting relief glands whistle track __proto__".split(
        " ",
      );
    const anything = fc.anything({ withNullPrototype: false, maxDepth: 3 });
    const tree = fc.array(fc.tuple(fc.constantFrom(...keys), fc.oneof(anything, odd)), { maxLength: 8 });
    fc.assert(
      fc.property(
        tree,
        (entries) => void isMachine(`{ ${entries.map(([key, value]) => `${key}: ${written(value)}`).join(", ")} }`),
      ),
      { seed: 22, numRuns: 500 },
    );
  });

  it("500 texts with letters changed, left out, doubled or put in", () => {
    const edits = fc.array(
      fc.tuple(
        fc.nat(FULL_MACHINE.length - 1),
        fc.constantFrom("drop", "put", "double", "cut"),
        fc.string({ maxLength: 3 }),
      ),
      {
        minLength: 1,
        maxLength: 6,
      },
    );
    fc.assert(
      fc.property(edits, (list) => {
        let text = FULL_MACHINE;
        for (const [at, what, letters] of list) {
          const rest =
            what === "drop"
              ? text.slice(at + 1)
              : what === "double"
                ? text.slice(at, at + 40) + text.slice(at)
                : what === "cut"
                  ? text.slice(at + 30)
                  : letters + text.slice(at);
          text = text.slice(0, at) + rest;
        }
        isMachine(text);
      }),
      { seed: 23, numRuns: 500 },
    );
  });

  it("500 texts of any letters, as machines and as runs", () => {
    const mill = machineOf(fourValues());
    const text = fc.oneof(
      fc.string({ maxLength: 200 }),
      fc.string({ unit: "binary", maxLength: 200 }),
      fc.stringMatching(/^[-a-z:{}[\]&*!|>'"%@`#,? \n]{0,80}$/),
    );
    fc.assert(
      fc.property(text, (letters) => {
        isMachine(letters);
        readRunMachinePath(letters, "r.yaml");
        loadRun(letters, "r.yaml", mill);
        loadRun(`machine: a\ncontrols: [{ at: 0, ${letters} }]`, "r.yaml", mill);
      }),
      { seed: 24, numRuns: 500 },
    );
  });
});
