import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { Motion } from "../../src/gear/motion.js";
import { loadMachine } from "../../src/preset/machine-file.js";
import { loadRun } from "../../src/preset/run-file.js";
import { fourValues, FULL_MACHINE } from "./example-machine.js";
import { machineOf, numbersIn } from "./loading.js";
import { randomPump } from "./random-pumps.js";
import { amount, field, written } from "./random-values.js";

/** What a whole machine must be, whatever was written. */
function requireWhole({ plant, running, fittings, ambient, pump, gear, receiverVolumesM3 }: EngineDescription): void {
  const later = gear.laterStages ?? [];
  expect(receiverVolumesM3?.length ?? 0).toBe(later.length);
  // Whatever is read can turn.
  if (later.length > 0) expect(new Motion(gear).volumeM3.every((volumeM3) => volumeM3 > 0)).toBe(true);
  // Pistons that trip their valves have water to move, and nothing that turns.
  expect(gear.valveGear.kind === "tripped").toBe(pump !== null);
  if (pump) {
    expect(running).toBeNull();
    expect(pump.movingKg * pump.waterBoreM).toBeGreaterThan(0);
    expect(gear.crankAnglesRad.length).toBeLessThanOrEqual(2);
  }
  const valve = plant?.safetyValve ?? null;
  if (valve !== null) {
    const { reseatPa, setPa, fullLiftPa } = valve;
    expect(ambient.pressurePa < reseatPa && reseatPa < setPa && setPa < fullLiftPa).toBe(true);
  }
  if (plant) {
    expect(plant.volumeM3).toBeGreaterThan(0);
    expect(plant.lossWPerK).toBeGreaterThanOrEqual(0);
  }
  if (running) {
    expect(running.inertiaKgM2).toBeGreaterThan(0);
    expect(running.reciprocatingKg).toBeGreaterThan(0);
    for (const { driving, driven } of running.gearing?.pairs ?? []) expect(driving * driven).toBeGreaterThan(0);
    if (running.train) {
      const { slipRatio, adhesionRatio, adhesionKg, engineKg, trainKg } = running.train;
      expect(slipRatio).toBeLessThanOrEqual(adhesionRatio * 1.01);
      expect(adhesionKg).toBeLessThanOrEqual(engineKg * 1.01);
      expect(engineKg).toBeLessThanOrEqual(trainKg * 1.01);
    }
  }
  const places = fittings?.track?.axlesM ?? [];
  expect(places.every((place, i) => i === 0 || place > places[i - 1])).toBe(true);
  expect(fittings?.whistle?.bells.length ?? 1).toBeGreaterThan(0);
}

/** Four right values, and some of the blocks of a whole machine: mostly right. */
function wholeMachine(oddShare: number): fc.Arbitrary<unknown> {
  const f = (value: fc.Arbitrary<unknown>) => field(value, oddShare);
  const block = (fields: Record<string, fc.Arbitrary<unknown>>) => fc.record(fields, { requiredKeys: [] });
  const area = f(amount(0.01, 100, "mm2"));
  const orNone = (value: fc.Arbitrary<unknown>) => fc.oneof({ weight: 5, arbitrary: value }, fc.constant("none"));
  const teeth = fc.integer({ min: 8, max: 90 });
  const places = fc
    .array(fc.integer({ min: 1, max: 30 }), { minLength: 1, maxLength: 5 })
    .map((gaps) => gaps.map((_, i) => `${gaps.slice(0, i).reduce((sum, gap) => sum + gap / 10, 0)} m`));
  const boiler = fc.record(
    {
      pressure: amount(20, 60, "bar"),
      volume: orNone(amount(0.01, 30, "m3")),
      water: f(amount(10, 90, "%")),
      lowWater: f(amount(10, 70, "%")),
      fire: orNone(block({ power: f(amount(1, 9000, "kW")), efficiency: f(amount(20, 90, "%")) })),
      loss: f(amount(0.1, 50, "kW")),
      safetyValve: orNone(block({ reseat: f(amount(1, 9, "bar")), area: f(amount(1, 50, "cm2")) })),
      feed: orNone(block({ kind: f(fc.constantFrom("injector", "pump")), flow: f(amount(10, 9999, "kg/h", "lb/h")) })),
      blowdown: orNone(block({ area })),
    },
    { requiredKeys: ["pressure"] },
  );
  const stage = (least: number, most: number) =>
    orNone(
      fc.record(
        {
          cylinders: fc.record(
            {
              bore: f(amount(least, most, "mm")),
              count: f(fc.integer({ min: 1, max: 4 })),
              clearance: f(amount(2, 20, "%")),
              pistonRod: f(amount(10, 90, "mm")),
            },
            { requiredKeys: ["bore"] },
          ),
          receiver: block({ volume: f(amount(1, 900, "L")) }),
          valveGear: fc.oneof(
            block({
              travel: f(amount(60, 200, "mm")),
              steamLap: f(amount(5, 60, "mm")),
              lead: f(amount(0.1, 5, "mm")),
            }),
            fc.record({ kind: fc.constant("events"), fullGearCutoff: f(amount(25, 80, "%")) }),
          ),
        },
        { requiredKeys: ["cylinders"] },
      ),
    );
  const blocks: Record<string, fc.Arbitrary<unknown>> = {
    intermediatePressure: stage(350, 700),
    lowPressure: stage(400, 1200),
    blower: orNone(block({ area })),
    brake: orNone(block({ torque: f(amount(1, 9000, "N m", "lbf ft")) })),
    load: orNone(
      block({
        law: f(fc.constantFrom("constant", "linear", "square", "pump", "hoist")),
        torque: f(amount(1, 9000, "N m")),
        speed: f(amount(10, 500, "rpm")),
      }),
    ),
    motion: orNone(
      block({
        reciprocatingMass: f(amount(0.001, 900, "kg", "lb")),
        inertia: f(amount(0.001, 5000, "kg m2")),
        friction: f(amount(0.1, 10, "psi")),
        slack: f(amount(0.01, 2, "mm")),
      }),
    ),
    flywheel: orNone(block({ diameter: f(amount(0.1, 9, "m")), mass: f(amount(0.1, 9000, "kg")) })),
    train: orNone(
      block({
        mass: f(amount(100, 900, "t", "long ton")),
        engine: f(amount(1, 90, "t")),
        adhesion: f(amount(1, 50, "t")),
        gradient: f(amount(0.1, 9, "%")),
        grip: f(amount(15, 50, "%")),
        slipGrip: f(amount(5, 25, "%")),
        axles: f(fc.integer({ min: 2, max: 80 })),
      }),
    ),
    governor: orNone(
      block({
        acts: f(fc.constantFrom("regulator", "cutoff")),
        droop: f(amount(1, 20, "%")),
        period: f(amount(0.1, 3, "s")),
      }),
    ),
    gearing: orNone(
      block({
        pairs: fc.array(fc.record({ driving: f(teeth), driven: f(teeth) }), { minLength: 1, maxLength: 3 }),
      }),
    ),
    drains: orNone(block({ area })),
    snifting: orNone(block({ area })),
    relief: orNone(block({ area, pressure: f(amount(1, 90, "bar")) })),
    glands: orNone(block({ area })),
    whistle: orNone(
      block({
        bells: fc.array(fc.record({ length: f(amount(50, 900, "mm")), bore: f(amount(10, 50, "mm")) }), {
          minLength: 1,
          maxLength: 6,
        }),
        slit: f(amount(0.1, 2, "mm")),
      }),
    ),
    track: orNone(block({ rail: f(amount(5, 50, "m")), gap: f(amount(1, 20, "mm")), axles: places })),
  };
  const some = fc.subarray(Object.keys(blocks), { maxLength: 5 }).chain((names) => {
    return fc.record(Object.fromEntries(names.map((name) => [name, blocks[name]])));
  });
  const kind = fc.constantFrom("stationary", "locomotive", "locomotive", "road", "marine", "model", "pump");
  return fc
    .tuple(boiler, kind, fc.constantFrom("steam", "steam", "steam", "air"), some)
    .map(([own, of, fluid, more]) => ({
      ...{ boiler: own, kind: of, workingFluid: fluid, ...more },
      ...{ cylinders: { bore: "0.3 m", stroke: "0.5 m" }, wheels: { diameter: "1.5 m" }, speed: "90 rpm" },
    }));
}

/** A random run: mostly right. */
function runTree(oddShare: number): fc.Arbitrary<unknown> {
  const f = (value: fc.Arbitrary<unknown>) => field(value, oddShare);
  const share = f(amount(1, 100, "%"));
  const shares = "regulator drains blower whistle brake load fire feed blowdown priming".split(" ");
  const control = fc.record(
    {
      ...Object.fromEntries(shares.map((name) => [name, share])),
      at: f(fc.constant("0 s")),
      over: f(amount(0.1, 9, "s")),
      gradient: f(amount(0.1, 15, "%")),
      speed: f(amount(1, 200, "rpm")),
    },
    { requiredKeys: ["at"] },
  );
  const metres = f(amount(1, 90, "m"));
  const listener = fc.record(
    {
      distance: metres,
      place: f(fc.constantFrom("lineside", "footplate", "chimneyTop", "motion")),
      at: fc.tuple(metres, metres, metres),
      passBy: fc.record({ abeam: metres }),
      ground: f(fc.constantFrom("none", "hard", "grass")),
      air: f(fc.boolean()),
      format: f(fc.constantFrom("mono", "stereo", "ambisonic")),
    },
    { requiredKeys: [] },
  );
  return fc.record(
    {
      machine: fc.constant("a.yaml"),
      start: f(fc.constantFrom("cold", "steaming")),
      listener,
      controls: fc.array(control, { maxLength: 3 }),
    },
    { requiredKeys: ["machine"] },
  );
}

describe("random whole machines", () => {
  it("1500, mostly right, are complained about or hang together", () => {
    let right = 0;
    let wrong = 0;
    const check = fc.property(fc.oneof({ weight: 4, arbitrary: wholeMachine(4) }, randomPump(4)), (tree) => {
      const loaded = loadMachine(written(tree), "m.yaml");
      if (!loaded.ok) {
        wrong++;
        for (const { message } of loaded.errors) if (message.length > 330) throw new Error(message);
        return;
      }
      right++;
      expect(numbersIn(loaded.value.description).every(Number.isFinite)).toBe(true);
      requireWhole(loaded.value.description);
      for (const { value } of loaded.value.assumed) expect(value).not.toMatch(/NaN|undefined|Infinity/);
    });
    fc.assert(check, { seed: 26, numRuns: 1500 });
    expect(right).toBeGreaterThan(200);
    expect(wrong).toBeGreaterThan(200);
  });

  it("600 runs, mostly right, on a locomotive and on a mill", () => {
    const machines = [machineOf(FULL_MACHINE), machineOf(fourValues())];
    let right = 0;
    let wrong = 0;
    const check = fc.property(runTree(5), fc.constantFrom(...machines), (tree, of) => {
      const loaded = loadRun(written(tree), "r.yaml", of);
      if (!loaded.ok) {
        wrong++;
        for (const { message } of loaded.errors) if (message.length > 330) throw new Error(message);
        return;
      }
      right++;
      const { listener, controls, kinematic } = loaded.value;
      expect(numbersIn(loaded.value).every(Number.isFinite)).toBe(true);
      expect(listener.distanceM).toBeGreaterThan(0);
      expect((listener.atM === null) !== (listener.place === null)).toBe(true);
      expect(kinematic).toBe(controls.some((control) => control.speedRpm !== undefined));
    });
    fc.assert(check, { seed: 25, numRuns: 600 });
    expect(right).toBeGreaterThan(40);
    expect(wrong).toBeGreaterThan(40);
  });
});
