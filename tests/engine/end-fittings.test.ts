import { describe, expect, it } from "vitest";
import type { FittingsDescription } from "../../src/engine/fittings-description.js";
import { sideControlIndex } from "../../src/engine/engine-controls.js";
import { WayOut } from "../../src/engine/way-out.js";
import { mixedAirState } from "../../src/steam/mixed-air.js";
import { saturatedVapour } from "../../src/steam/steam-states.js";
import { locomotive } from "./descriptions.js";
import { Turning, type TurningSettings } from "./turning.js";

const none: FittingsDescription = {
  drainAreaM2: 0,
  sniftingAreaM2: 0,
  glandAreaM2: 0,
  reliefAreaM2: 0,
  reliefPa: 2e6,
  valvesLift: false,
  whistle: null,
  track: null,
  airPump: null,
};

const cock = { ...none, drainAreaM2: 1e-4 };

function turning(fittings: FittingsDescription, settings: TurningSettings = {}, drainsRatio = 0): Turning {
  const made = new Turning(locomotive({ fittings }), settings);
  made.engine.side[sideControlIndex.drains] = drainsRatio;
  return made;
}

function wayFrom(pressurePa: number): WayOut {
  const way = new WayOut(1.3, mixedAirState(101_325, 288.15));
  const steam = saturatedVapour(pressurePa);
  way.areaM2 = 1e-4;
  way.waterShareRatio = 0;
  way.gasPa = pressurePa;
  way.gasKgPerM3 = steam.densityKgPerM3;
  way.gasJPerKg = steam.enthalpyJPerKg;
  way.waterKg = way.waterJPerKg = 0;
  way.volumeM3 = 1;
  way.holdS = 1e-4;
  return way;
}

describe("a cock on a vessel of steam", () => {
  // Choked flux of saturated steam from IF97, equilibrium and undercooled: an orifice of steam lies between, to 1.06 of the first.
  it.each([
    [2e5, 302.3],
    [5e5, 735.6],
    [10e5, 1444],
  ])("at %s Pa passes %s kg/(m2 s) with what undercooling adds", (pressurePa, fluxKgPerSM2) => {
    const way = wayFrom(pressurePa);
    way.measure();
    const ratio = way.gasKgPerS / way.areaM2 / fluxKgPerSM2;
    expect(ratio).toBeGreaterThan(0.955);
    expect(ratio).toBeLessThan(1.06);
  });

  it("passes nothing at the pressure of the air, and draws air in below it", () => {
    const way = wayFrom(101_325);
    way.measure();
    expect(way.gasKgPerS).toBe(0);
    way.gasPa = 60_000;
    way.measure();
    expect(way.gasKgPerS).toBeLessThan(0);
  });

  // Bernoulli: speed of a stream of water, contracted to 0.62 of a sharp hole.
  it("passes water as fast as its pressure drives it where water covers it", () => {
    const way = wayFrom(5e5);
    way.waterShareRatio = 1;
    way.waterKg = 100;
    way.measure();
    expect(way.waterKgPerS).toBeCloseTo(0.62 * 1e-4 * Math.sqrt(2 * 920 * (5e5 - 101_325)), 6);
  });

  it("never lets out more in its time than makes the pressures equal", () => {
    const way = wayFrom(5e5);
    way.volumeM3 = 1e-6;
    way.holdS = 1;
    way.measure();
    expect(way.gasKgPerS * way.holdS).toBeLessThan(way.gasKgPerM3 * way.volumeM3);
  });
});

describe("drain cocks", () => {
  it("shut, change nothing", () => {
    const [without, shut] = [turning(none), turning(cock)].map((one) => one.settle(3).turns(1));
    expect(shut.massOutKg).toBe(without.massOutKg);
    expect(shut.workJ).toEqual(without.workJ);
  });

  it("open, close the account of mass, air and energy and take steam from the engine", () => {
    const shut = turning(cock, { cutoffRatio: 0.3 }).settle(4).turns(1);
    const open = turning(cock, { cutoffRatio: 0.3 }, 1).settle(4);
    const airBefore = open.engine.storedAirKg();
    const account = open.turns(1);
    const { ledger } = open.engine;
    expect(account.massResidualRatio).toBeLessThan(1e-9);
    expect(account.energyResidualRatio).toBeLessThan(1e-9);
    const airMissing = ledger.airInKg - ledger.airOutKg - (open.engine.storedAirKg() - airBefore);
    expect(Math.abs(airMissing)).toBeLessThan(1e-9 * open.engine.storedMassKg());
    expect(account.massInKg).toBeGreaterThan(1.02 * shut.massInKg);
  });

  it("blow from the two ends of a cylinder by turns, each while its end is under steam", () => {
    const one = turning(cock, {}, 1).settle(3);
    const { drainKgPerS } = one.engine.voiceRecord;
    let head = 0;
    let crank = 0;
    let both = 0;
    one.turns(1, () => {
      head += drainKgPerS[0];
      crank += drainKgPerS[1];
      both += Math.min(drainKgPerS[0], drainKgPerS[1]);
    });
    expect(head).toBeGreaterThan(0);
    expect(crank / head).toBeGreaterThan(0.6);
    expect(crank / head).toBeLessThan(1.2);
    // Common practice: drains spit at the two ends in turn.
    expect(both).toBeLessThan(0.35 * Math.min(head, crank));
  });

  it("throw out more water from a cold engine than from a warm one", () => {
    const waterIn = (settleTurns: number) => {
      const one = new Turning(locomotive({ fittings: cock }), {});
      one.engine.side[sideControlIndex.drains] = 1;
      if (settleTurns > 0) one.settle(settleTurns);
      else for (const metal of one.engine.metals) metal.reset(288);
      const { drainWaterKgPerS } = one.engine.voiceRecord;
      let sum = 0;
      one.turns(1, () => {
        for (const flow of drainWaterKgPerS) sum += flow;
      });
      return sum;
    };
    expect(waterIn(0)).toBeGreaterThan(3 * waterIn(8));
  });
});

describe("what else opens to the air", () => {
  it("a snifting valve draws air while the engine drifts with its regulator shut, and none while it works", () => {
    const snifting = { ...none, sniftingAreaM2: 2e-3 };
    const drifting = turning(snifting, { regulatorRatio: 0, speedRpm: 120 });
    const working = turning(snifting, { regulatorRatio: 1, speedRpm: 120 });
    const drawn = (one: Turning) => {
      let sum = 0;
      one.turns(3, () => {
        sum += one.engine.voiceRecord.sniftKgPerS;
      });
      return sum;
    };
    drawn(working);
    expect(drawn(working)).toBe(0);
    expect(drawn(drifting)).toBeGreaterThan(0);
    // It keeps the vacuum in the chest down.
    const shut = turning(none, { regulatorRatio: 0, speedRpm: 120 });
    shut.turns(3);
    expect(drifting.engine.chest.pressurePa).toBeGreaterThan(shut.engine.chest.pressurePa);
  });

  it("relief valves keep the compression near the pressure that they are set to", () => {
    const peak = (fittings: FittingsDescription) => {
      const one = turning(fittings, { regulatorRatio: 0, cutoffRatio: 0.15, speedRpm: 150 }).settle(3);
      let most = 0;
      one.turns(1, () => {
        for (const pressure of one.engine.ends.pressurePa) most = Math.max(most, pressure);
      });
      return most;
    };
    const free = peak(none);
    const held = peak({ ...none, reliefAreaM2: 2e-3, reliefPa: 0.5 * free });
    expect(held).toBeLessThan(0.85 * free);
    expect(held).toBeGreaterThan(0.5 * free);
  });

  it("a gland leaks at the crank end, whenever that end stands above the air", () => {
    const one = turning({ ...none, glandAreaM2: 4e-6 }).settle(3);
    const { glandKgPerS } = one.engine.voiceRecord;
    let under = 0;
    let wrong = 0;
    one.turns(1, () => {
      const above = one.engine.ends.pressurePa[1] > 1.05e5;
      if (above) under++;
      if (above && !(glandKgPerS[0] > 0)) wrong++;
    });
    expect(under).toBeGreaterThan(100);
    // Leaks are measured every fourth tick.
    expect(wrong / under).toBeLessThan(0.02);
  });
});

describe("glands and what lifts", () => {
  const packed = { ...none, glandAreaM2: 3e-6 };
  const leaks = { valveM2: 4e-6, ringsM2: 3e-6 };
  const standing = (regulatorM2: number): Turning => {
    const made = new Turning(locomotive({ fittings: packed, leaks: { ...leaks, regulatorM2 } }), {
      regulatorRatio: 0,
      speedRpm: 0,
    });
    for (let i = 0; i < 12_000; i++) made.engine.process();
    return made;
  };

  it("a shut regulator that leaks keeps a breath of steam on the chest, and its spindles hiss; a tight one lets nothing in", () => {
    const leaking = standing(6e-6).engine;
    expect(leaking.voiceRecord.spindleKgPerS).toBeGreaterThan(1e-5);
    expect(leaking.chest.pressurePa).toBeGreaterThan(101_325);
    expect(leaking.chest.pressurePa).toBeLessThan(0.5 * leaking.description.boiler.pressurePa);
    const tight = standing(0).engine;
    expect(tight.ledger.massInKg).toBe(0);
    // Warm air that settles in the chest.
    expect(tight.voiceRecord.spindleKgPerS).toBeLessThan(0.05 * leaking.voiceRecord.spindleKgPerS);
  });

  // Choked flux of saturated steam, Napier's rule p A / 70 in pounds and square inches, from memory.
  it("a shut regulator passes what its crack does from the boiler", () => {
    const { engine } = standing(6e-6);
    const napierKgPerS = 1.45e-3 * engine.description.boiler.pressurePa * 6e-6;
    const before = engine.ledger.massInKg;
    const ticks = 600;
    for (let i = 0; i < ticks; i++) engine.process();
    const flow = (engine.ledger.massInKg - before) / (ticks * engine.plan.stepS);
    expect(flow / napierKgPerS).toBeGreaterThan(0.9);
    expect(flow / napierKgPerS).toBeLessThan(1.1);
  });

  it("a leak past the regulator's seat changes nothing of an engine that works with it open", () => {
    const [tight, leaking] = [0, 6e-6].map((regulatorM2) =>
      new Turning(locomotive({ fittings: packed, leaks: { ...leaks, regulatorM2 } }), {}).settle(3).turns(1),
    );
    expect(leaking.workJ).toEqual(tight.workJ);
    expect(leaking.massOutKg).toBe(tight.massOutKg);
  });

  it("slide valves that may lift bear no more below than their weight and what holds a stream: drifting compresses far less", () => {
    const highest = (valvesLift: boolean): number => {
      const made = turning({ ...none, valvesLift }, { regulatorRatio: 0, cutoffRatio: 0.75, speedRpm: 90 });
      made.settle(6);
      let most = 0;
      made.turns(1, () => {
        for (const pressurePa of made.engine.ends.pressurePa) most = Math.max(most, pressurePa);
      });
      return most;
    };
    const [held, lifting] = [highest(false), highest(true)];
    console.log(
      `drifting in full gear, highest pressure ${(held / 1e5).toFixed(2)} bar, with valves that lift ${(lifting / 1e5).toFixed(2)} bar`,
    );
    expect(lifting).toBeLessThan(held);
    expect(lifting).toBeLessThan(1.7e5);
  });

  it("lifted valves close the account of mass, air and energy, and at work lie on their faces", () => {
    const drifting = turning({ ...none, valvesLift: true }, { regulatorRatio: 0, cutoffRatio: 0.3, speedRpm: 90 });
    const account = drifting.settle(4).turns(1);
    expect(account.massResidualRatio).toBeLessThan(1e-9);
    expect(account.energyResidualRatio).toBeLessThan(1e-9);
    const [without, with_] = [false, true].map((valvesLift) =>
      turning({ ...none, valvesLift })
        .settle(3)
        .turns(1),
    );
    expect(with_.workJ).toEqual(without.workJ);
  });
});
