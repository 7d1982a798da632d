import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { plumeEnthalpyJPerKg, steamPlumeState } from "../../src/machine/plume-state.js";
import { mixedAirEnthalpyJPerKg } from "../../src/steam/mixed-air.js";
import { PlumeRecord } from "../../src/machine/plume.js";
import { saturationTemperatureK } from "../../src/steam/if97.js";
import { airModel, locomotive, millEngine, plainPipe, steamBoiler, toCondenser } from "../engine/descriptions.js";
import { Turning } from "../engine/turning.js";

/** Rows of some settled turns; every row is copied. */
function recorded(description: EngineDescription, rateHz: number, turnCount = 3) {
  const turning = new Turning(description).settle(6);
  const { engine } = turning;
  const plume = new PlumeRecord(engine, rateHz);
  const rows: Float64Array[] = [];
  plume.reset(0);
  engine.ledger.clear();
  const ticks = turnCount * turning.ticksPerTurn;
  let outKg = 0;
  for (let t = 0; t < ticks; t++) {
    turning.tick();
    if (plume.take()) {
      rows.push(plume.fillRow().slice());
      outKg = engine.ledger.massOutKg;
    }
  }
  const at = (name: string) => plume.columnNames.indexOf(name);
  return {
    plume,
    rows,
    at,
    outKg,
    ledgerKg: engine.ledger.massOutKg,
    stepS: engine.plan.stepS,
    seconds: ticks * engine.plan.stepS,
  };
}

const total = (rows: readonly Float64Array[], column: number) => rows.reduce((sum, row) => sum + row[column]!, 0);

describe("what leaves the mouths, for whoever draws it", () => {
  it("names its columns with units, mouth by mouth", () => {
    const { plume } = recorded(locomotive({ exhaust: plainPipe(1, 0.15) }), 100, 1);
    expect(plume.mouthCount).toBe(2);
    expect(plume.columnNames).toEqual([
      "timeS",
      ...[1, 2].flatMap((m) =>
        ["VapourKgPerS", "WaterKgPerS", "AirKgPerS", "SpeedMPerS", "TemperatureK", "PressurePa"].map(
          (name) => `m${m}${name}`,
        ),
      ),
    ]);
  });

  it.each([7, 25, 100, 333.3, 1000])(
    "at %f rows a second the rows add up to the mass that left the engine",
    (rateHz) => {
      // Conservation of mass: the ledger of the engine counts the same flows tick by tick.
      const { rows, at, ledgerKg, seconds } = recorded(locomotive(), rateHz);
      const kg = (total(rows, at("m1VapourKgPerS")) + total(rows, at("m1WaterKgPerS"))) / rateHz;
      expect(rows.length).toBe(Math.floor(seconds * rateHz + 1e-9));
      rows.forEach((row, k) => expect(row[0]).toBeCloseTo((k + 1) / rateHz, 9));
      // Only what left since the last full row is missing.
      const restS = seconds - rows.length / rateHz;
      const last = rows[rows.length - 1]!;
      const flow = last[at("m1VapourKgPerS")]! + last[at("m1WaterKgPerS")]!;
      expect(Math.abs(ledgerKg - kg)).toBeLessThan(
        restS < 1e-9 ? 1e-9 * ledgerKg : 3 * restS * Math.max(flow, ledgerKg / seconds),
      );
    },
  );

  it("at a rate that the tick divides the sum is exact to rounding", () => {
    const { rows, at, outKg } = recorded(locomotive(), 125, 3);
    const kg = (total(rows, at("m1VapourKgPerS")) + total(rows, at("m1WaterKgPerS"))) / 125;
    console.log(`${kg} kg by rows, ${outKg} by the ledger`);
    expect(Math.abs(kg / outKg - 1)).toBeLessThan(1e-9);
  });

  it("saturated steam leaves wet, by some per cent, at the boiling point of the air's pressure", () => {
    const { rows, at } = recorded(locomotive(), 100);
    const water = total(rows, at("m1WaterKgPerS"));
    const share = water / (water + total(rows, at("m1VapourKgPerS")));
    console.log(`saturated locomotive: ${(100 * share).toFixed(1)} % water`);
    // Exhaust of saturated engines: dryness 0.85 to 0.96. [common practice]
    expect(share).toBeGreaterThan(0.03);
    expect(share).toBeLessThan(0.16);
    for (const row of rows) {
      if (row[at("m1WaterKgPerS")]! <= 0) continue;
      const pressurePa = row[at("m1PressurePa")]!;
      expect(row[at("m1TemperatureK")]).toBeCloseTo(saturationTemperatureK(pressurePa), 6);
      expect(pressurePa).toBeGreaterThan(101_000);
      expect(row[at("m1SpeedMPerS")]).toBeGreaterThan(0);
      expect(row[at("m1SpeedMPerS")]).toBeLessThan(700);
    }
  });

  it("well superheated steam leaves dry and hotter than boiling when it is let out early", () => {
    const hot = locomotive({ boiler: steamBoiler(6e5, 200) });
    const { rows, at } = recorded(hot, 50);
    expect(total(rows, at("m1WaterKgPerS"))).toBe(0);
    for (const row of rows) expect(row[at("m1TemperatureK")]).toBeGreaterThan(373.1);
    expect(total(rows, at("m1VapourKgPerS"))).toBeGreaterThan(0);
  });

  it("a smaller nozzle blows faster", () => {
    const speed = (boreM: number) => {
      const base = locomotive();
      const { rows, at } = recorded(
        locomotive({ exhaust: { ...base.exhaust, nozzle: { boreM, contractionM: 0.15 } } }),
        20,
      );
      return total(rows, at("m1SpeedMPerS")) / rows.length;
    };
    expect(speed(0.1)).toBeGreaterThan(1.1 * speed(0.125));
  });

  it("a condensing engine has no plume; one on air gives air, cold and without vapour", () => {
    const condensing = recorded(millEngine({ exhaust: toCondenser({ lengthM: 3, boreM: 0.18 }, 15e3) }), 100, 1);
    expect(condensing.plume.columnNames).toEqual(["timeS"]);
    expect(condensing.rows.every((row) => row.length === 1)).toBe(true);
    const air = recorded(airModel(), 100, 4);
    expect(total(air.rows, air.at("m1VapourKgPerS"))).toBe(0);
    expect(total(air.rows, air.at("m1WaterKgPerS"))).toBe(0);
    expect(total(air.rows, air.at("m1AirKgPerS"))).toBeGreaterThan(0);
  });

  it("takes any rate that makes sense and refuses others", () => {
    const { engine } = new Turning(locomotive());
    expect(() => new PlumeRecord(engine, 0)).toThrow(/rateHz must be between 0.1 Hz and 1000 Hz/);
    expect(() => new PlumeRecord(engine, 48_000)).toThrow(RangeError);
  });

  it("steam among air: the mist of a warm plume has the temperature and the water that its heat allows", () => {
    // Moist air at 101 325 Pa, saturated: 14.8 g/kg at 20 degC, 86.9 g/kg at 50 degC. [source: ASHRAE Fundamentals, table of
    // moist air, from memory; real air holds 0.5 % more than ideal gases do]
    for (const [celsius, perKg] of [
      [20, 0.01476],
      [50, 0.08686],
    ] as const) {
      const temperatureK = celsius + 273.15;
      const airRatio = 1 / (1 + 2 * perKg); // twice the water that it can hold as vapour
      const state = steamPlumeState(101_325, plumeEnthalpyJPerKg(101_325, temperatureK, airRatio), airRatio);
      expect(state.temperatureK).toBeCloseTo(temperatureK, 5);
      expect(Math.abs(state.waterRatio - 0.5)).toBeLessThan(0.005);
    }
    // With less than it can hold all is vapour; alone, air has its own temperature, and steam boils at 100 degC.
    expect(steamPlumeState(101_325, plumeEnthalpyJPerKg(101_325, 350, 0.9), 0.9).waterRatio).toBeCloseTo(0, 12);
    expect(steamPlumeState(101_325, mixedAirEnthalpyJPerKg(288), 1).temperatureK).toBeCloseTo(288, 9);
    expect(steamPlumeState(101_325, 2.5e6, 0).temperatureK).toBeCloseTo(373.124, 2);
    // Dry saturated 2675.5, boiling water 419.06 kJ/kg at 1 atm. [source: IAPWS R7-97]
    expect(steamPlumeState(101_325, 2.45e6, 0).waterRatio).toBeCloseTo((2675.5 - 2450) / (2675.5 - 419.06), 3);
  });
});
