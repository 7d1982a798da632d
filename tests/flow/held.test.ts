import { describe, expect, it } from "vitest";
import { Mouth } from "../../src/flow/mouth.js";
import { makePorts, PortEnd } from "../../src/flow/port-end.js";
import { Vessel } from "../../src/flow/vessel.js";
import { createAir } from "../../src/steam/working-fluid.js";
import { stateFromPressureTemperature } from "../../src/steam/state-from.js";
import { air, exhaustOf, makePipe, soundSpeedOf, stillSurroundings } from "./perfect-gas.js";

const ambientPa = 101_325;
const stepS = 1 / 12_000;

/** A pipe whose gas all moves at one speed, with shut ports at its left and a mouth at its right. */
function moving(velocityMPerS: number) {
  const pipe = makePipe(air, { lengthM: 1, boreM: 0.05, cellCount: 12, stepS });
  const exhaust = exhaustOf(air, 1e6);
  const port = new PortEnd(pipe, exhaust, makePorts(1), 0, 1, 1.4, stepS);
  const mouth = new Mouth(pipe, exhaust, stillSurroundings(air, ambientPa, 300, true), stepS, 0);
  pipe.reset(ambientPa, 300, velocityMPerS);
  port.reset();
  mouth.reset(velocityMPerS);
  pipe.process();
  port.process();
  mouth.process();
  return { pipe, port, mouth };
}

describe("whatever is held is counted", () => {
  it("a wall from which the gas runs at three times the speed of sound cannot pull", () => {
    // By the wave relation the pressure would be p - rho c u, below nothing from Mach 1 / 1.4 on. [source: textbook form]
    const fast = moving(3 * soundSpeedOf(air, 300)).port;
    expect(fast.flooredCount).toBeGreaterThan(0);
    expect(fast.facePressurePa).toBeGreaterThan(0);
    expect(moving(0.2 * soundSpeedOf(air, 300)).port.flooredCount).toBe(0);
    fast.reset();
    expect(fast.flooredCount).toBe(0);
  });

  it("a mouth from which the gas runs inward at three times the speed of sound keeps a pressure", () => {
    const fast = moving(-3 * soundSpeedOf(air, 300)).mouth;
    expect(fast.flooredCount).toBeGreaterThan(0);
    expect(fast.pressurePa).toBeGreaterThan(0);
    expect(moving(-0.2 * soundSpeedOf(air, 300)).mouth.flooredCount).toBe(0);
    fast.reset(0);
    expect(fast.flooredCount).toBe(0);
  });

  it("an enthalpy beyond the exhaust gas's table, at either end", () => {
    const gas = exhaustOf(air, 1e6);
    expect(gas.pipeEnthalpyFor(5e5)).toBeCloseTo(5e5, 3);
    expect(gas.outOfRangeCount).toBe(0);
    expect(gas.pipeEnthalpyFor(2e6)).toBeCloseTo(1e6, 3);
    expect(gas.pipeEnthalpyFor(-1)).toBeCloseTo(0, 3);
    expect(gas.outOfRangeCount).toBe(2);
  });

  it("a chest's pressure that leaps by more than a tenth in the half tick to come", () => {
    const state = stateFromPressureTemperature({ name: "air" }, 2e5, 300);
    const chest = new Vessel(1e-3, createAir(), false);
    chest.reset(state.densityKgPerM3, state.internalEnergyJPerKg);
    chest.energyJ *= 1.1;
    chest.observe();
    expect(chest.heldCount).toBe(0);
    chest.energyJ *= 2;
    chest.observe();
    expect(chest.heldCount).toBe(1);
    expect(chest.middlePa / chest.pressurePa).toBeCloseTo(1.1, 9);
    chest.reset(state.densityKgPerM3, state.internalEnergyJPerKg);
    expect(chest.heldCount).toBe(0);
  });
});
