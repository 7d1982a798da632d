import { describe, expect, it } from "vitest";
import { Engine } from "../../src/engine/engine.js";
import { airModel, locomotive, millEngine, oscillatingModel } from "./descriptions.js";
import { Turning } from "./turning.js";

/** Everything the engine tells, over some ticks. */
function told(
  engine: Engine,
  fromRad: number,
  ticks: number,
  each: (tick: number) => void = () => undefined,
): number[] {
  const { record } = engine;
  const all: number[] = [];
  for (let i = 1; i <= ticks; i++) {
    each(i);
    engine.motion.shaftRad[0] = fromRad + 0.0007 * i;
    engine.process();
    all.push(
      record.shaftRad,
      record.chestPressurePa,
      ...record.mouthMassKgPerS,
      ...record.mouthVolumeM3PerS,
      ...record.mouthVelocityMPerS,
      ...record.mouthPressurePa,
      ...record.endPressurePa,
      ...record.endExhaustKgPerS,
      ...record.endSteamKgPerS,
    );
  }
  all.push(engine.storedMassKg(), engine.storedEnergyJ(), ...engine.metals.map((metal) => metal.temperatureK));
  all.push(...Object.values(engine.ledger).filter((value): value is number => typeof value === "number"));
  all.push(...Object.values(engine.troubleCounts()), engine.meanPipeSoundSpeedMPerS());
  return all;
}

const makers = [
  ["locomotive", () => locomotive()],
  ["idealised locomotive", () => locomotive({ idealised: true })],
  ["mill engine", () => millEngine()],
  ["oscillating model", () => oscillatingModel()],
  ["air model", () => airModel({ idealised: false })],
] as const;

describe("an engine keeps the contract of a fluid unit", () => {
  it.each(makers)("%s: two with the same drive agree bit for bit, however they are interleaved", (_name, make) => {
    const moved = (engine: Engine) => (tick: number) => {
      if (tick === 300) engine.setRegulator(0.3);
      if (tick === 600) engine.setCutoff(0.4);
    };
    const [one, other] = [new Engine(make(), 48_000, 4), new Engine(make(), 48_000, 4)];
    const first = told(one, 0, 1500, moved(one));
    const third = new Engine(make(), 48_000, 4);
    const second = told(other, 0, 1500, (tick) => {
      moved(other)(tick);
      third.motion.shaftRad[0] = -0.01 * tick; // a third engine running at the same time must not matter
      third.process();
    });
    expect(first.every((value, i) => Object.is(value, second[i]))).toBe(true);
    expect(first.every(Number.isFinite)).toBe(true);
  });

  it.each(makers)("%s: reset equals fresh, and settings survive it", (_name, make) => {
    const fresh = new Engine(make(), 48_000, 4);
    fresh.setRegulator(0.6);
    fresh.setCutoff(0.5);
    fresh.reset(1.25);
    const first = told(fresh, 1.25, 1000);
    const used = new Engine(make(), 48_000, 4);
    used.setRegulator(0.6);
    used.setCutoff(0.5);
    told(used, 0, 3137);
    used.settleMetal(0.3);
    told(used, 0.4, 3);
    used.reset(1.25);
    const second = told(used, 1.25, 1000);
    const odd = first.findIndex((value, i) => !Object.is(value, second[i]));
    expect(odd).toBe(-1);
    const full = new Engine(make(), 48_000, 4);
    full.reset(1.25);
    const third = told(full, 1.25, 1000);
    expect(third.some((value, i) => !Object.is(value, first[i]))).toBe(true);
  });

  it.each(makers)("%s: setting a control and setting it back leaves the state alone", (_name, make) => {
    const [touched, left] = [new Engine(make(), 48_000, 4), new Engine(make(), 48_000, 4)];
    for (const engine of [touched, left]) {
      engine.setCutoff(0.6);
      told(engine, 0, 500);
    }
    touched.setRegulator(0.1);
    touched.setRegulator(1);
    touched.setCutoff(-0.3);
    touched.setCutoff(0.6);
    const a = told(touched, 0.35, 500);
    const b = told(left, 0.35, 500);
    expect(a.every((value, i) => Object.is(value, b[i]))).toBe(true);
  });

  it("a standing shaft lets the gas come to rest", () => {
    const engine = new Engine(locomotive({ idealised: true }), 48_000, 4);
    engine.reset(0.3);
    for (let i = 0; i < 30_000; i++) engine.process();
    expect(Math.abs(engine.record.mouthVelocityMPerS[0])).toBeLessThan(0.01);
    for (const flow of engine.record.endSteamKgPerS) expect(Math.abs(flow)).toBeLessThan(1e-3);
  });
});

describe("a settled engine repeats", () => {
  it.each([
    ["locomotive", locomotive({ idealised: true, speedRpm: 100 }), 20],
    [
      "locomotive without smokebox",
      locomotive({
        idealised: true,
        speedRpm: 220,
        exhaust: { ...locomotive().exhaust, smokebox: null, chimney: null },
      }),
      14,
    ],
    ["mill engine", millEngine({ idealised: true }), 14],
    ["air model", airModel(), 20],
    ["oscillating model", oscillatingModel({ idealised: true }), 20],
  ] as const)("%s, idealised: turn after turn within 1e-6", (name, description, turnCount) => {
    const turning = new Turning(description).settle(turnCount);
    const first = turning.exitFlow(1);
    const work = Array.from(turning.engine.ends.workJ);
    const second = turning.exitFlow(1);
    const peak = first.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
    const flowChange = first.reduce((most, value, i) => Math.max(most, Math.abs(value - second[i])), 0) / peak;
    const workChange = Math.max(...work.map((joule, i) => Math.abs(turning.engine.ends.workJ[i] / joule - 1)));
    console.log(`${name}: flow ${flowChange.toExponential(1)} of its peak, work ${workChange.toExponential(1)}`);
    expect(flowChange).toBeLessThan(1e-6);
    expect(workChange).toBeLessThan(1e-6);
  });
});
