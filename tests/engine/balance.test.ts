import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { checkMachine } from "../../src/offline/check.js";
import {
  airModel,
  locomotive,
  millEngine,
  oscillatingModel,
  presetMachine,
  presetNames,
  steamBoiler,
  toCondenser,
  withCylinder,
  withGear,
} from "./descriptions.js";
import { Turning } from "./turning.js";

const degrees = (...angles: number[]) => angles.map((angle) => (angle * Math.PI) / 180);
const condenser = toCondenser({ lengthM: 3, boreM: 0.18 }, 15e3);

// Conservation of mass and energy, to the last digits that a turn of tens of thousands of sums leaves. [common practice]
const closes = 1e-9;

const machines: readonly (readonly [string, EngineDescription])[] = [
  ["two cylinders, double acting, steam, to the air", locomotive()],
  ["the same idealised", locomotive({ idealised: true })],
  ["one cylinder, single acting", withCylinder(withGear(locomotive(), { crankAnglesRad: [0] }), { acting: "single" })],
  [
    "three cylinders, superheated",
    withGear(locomotive({ boiler: steamBoiler(13e5, 90) }), { crankAnglesRad: degrees(0, 120, 240) }),
  ],
  [
    "four cylinders, single acting, idealised",
    withCylinder(withGear(locomotive({ idealised: true }), { crankAnglesRad: degrees(0, 180, 90, 270) }), {
      acting: "single",
    }),
  ],
  [
    "four cylinders, double acting, fast",
    withGear(locomotive({ speedRpm: 220 }), { crankAnglesRad: degrees(0, 180, 90, 270) }),
  ],
  ["events, to the air", millEngine()],
  ["events, to a condenser", millEngine({ exhaust: condenser })],
  ["events, idealised, to a condenser", millEngine({ exhaust: condenser, idealised: true })],
  ["oscillating, single acting", oscillatingModel()],
  ["oscillating, double acting, idealised", withCylinder(oscillatingModel({ idealised: true }), { acting: "double" })],
  ["model on air, idealised", airModel()],
  ["model on air with leaks and metal", airModel({ idealised: false })],
  [
    "locomotive on air",
    locomotive({ workingFluid: "air", boiler: { pressurePa: 6e5, temperatureK: 290, superheatK: 0 } }),
  ],
];

describe("mass and energy of a settled turn close to 1e-9 of what passes", () => {
  it.each(machines)("%s", (name, description) => {
    const turning = new Turning(description).settle(5);
    const account = turning.turns(1);
    console.log(
      `${name}: mass ${account.massResidualRatio.toExponential(1)}, energy ${account.energyResidualRatio.toExponential(1)}`,
    );
    expect(account.massInKg).toBeGreaterThan(0);
    expect(account.massResidualRatio).toBeLessThan(closes);
    expect(account.energyResidualRatio).toBeLessThan(closes);
    expect(account.airResidualRatio).toBeLessThan(closes);
    expect(turning.engine.troubleCounts()).toMatchObject({ outOfRange: 0, rescued: 0, overrun: 0 });
  });

  it.each(presetNames)("%s through the check of the command line", (name) => {
    const report = checkMachine(presetMachine(name));
    console.log(
      `${name}: mass ${report.massResidualRatio.toExponential(1)}, energy ${report.energyResidualRatio.toExponential(1)}`,
      report.warnings,
    );
    expect(report.steamKgPerS).toBeGreaterThan(0);
    expect(report.massResidualRatio).toBeLessThan(closes);
    expect(report.energyResidualRatio).toBeLessThan(closes);
    expect(report.warnings).toEqual([]);
  });
});
