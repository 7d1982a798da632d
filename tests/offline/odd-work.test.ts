import { describe, expect, it } from "vitest";
import { checkMachine } from "../../src/offline/check.js";
import { absorbedPowerWarnings, unevenWorkWarnings } from "../../src/offline/odd-work.js";
import { loadMachine } from "../../src/preset/machine-file.js";

function machineOf(changes: string) {
  const text = `cylinders: { bore: 60 mm, stroke: 60 mm }\nleaks: { valve: 0, rings: 0 }\n${changes}`;
  const loaded = loadMachine(text, "m.yaml");
  if (!loaded.ok) throw new Error(loaded.errors.map(({ name, message }) => `${name} ${message}`).join("\n"));
  return loaded.value;
}

// Hand sums: shares of work, and a first law for a pump driven by its shaft.
describe("work that is odd is said", () => {
  it("a machine that takes power, and not one that gives it, stands or is not measured", () => {
    expect(absorbedPowerWarnings(-1500, 90)).toEqual([
      "The machine takes 1.5 kW to turn instead of giving power: at this speed and setting the shaft drives the pistons.",
    ]);
    for (const [powerW, speedRpm] of [
      [1500, 90],
      [0, 90],
      [-1, 0],
      [null, 90],
    ] as const)
      expect(absorbedPowerWarnings(powerW, speedRpm)).toEqual([]);
  });

  it("a cylinder that does less than three quarters of what the best does", () => {
    const stage = (endCount: number, cylinderCount: number, firstEnd = 0, firstCylinder = 0) => ({
      ...{ firstEnd, endCount, firstCylinder, cylinderCount },
    });
    expect(unevenWorkWarnings([10, 10, 5, 4.4], [stage(4, 2)])).toEqual([
      "Cylinder 2 does 47 % of the work that cylinder 1 does.",
    ]);
    expect(unevenWorkWarnings([10, 8, 9], [stage(3, 3)])).toEqual([]);
    expect(unevenWorkWarnings([10, -1], [stage(2, 2)])).toEqual(["Cylinder 2 takes work instead of doing it."]);
    expect(unevenWorkWarnings([-10, -5], [stage(2, 2)])).toEqual([]);
    // Ends of one cylinder may differ: the piston rod takes of one of them.
    expect(unevenWorkWarnings([10, 5], [stage(2, 1)])).toEqual([]);
    // Cylinders of a compound's stages share the work as they may; two of low pressure share theirs alike.
    const compound = [stage(2, 1), stage(4, 2, 2, 1)];
    expect(unevenWorkWarnings([20, 20, 5, 5, 5, 5], compound)).toEqual([]);
    expect(unevenWorkWarnings([20, 20, 5, 5, 2, 1], compound)).toEqual([
      "Cylinder 3 does 30 % of the work that cylinder 2 does.",
    ]);
  });

  it("check says both: air at 0.1 bar cannot drive a small engine round at 900 rpm, and a slipped eccentric halves a cylinder", () => {
    const faint = checkMachine(machineOf("workingFluid: air\nboiler: { pressure: 0.1 bar }\nspeed: 900 rpm\n"));
    expect(faint.powerW).toBeLessThan(0);
    expect(faint.warnings.join("\n")).toContain("instead of giving power");
    const slipped = machineOf(
      "kind: locomotive\nboiler: { pressure: 10 bar }\nspeed: 120 rpm\nfaults: [{ kind: eccentricSlip, cylinder: 1, by: 60 deg }]\n",
    );
    const report = checkMachine(slipped);
    expect(report.powerW).toBeGreaterThan(0);
    expect(report.warnings.join("\n")).toMatch(/Cylinder 1 does \d\d % of the work that cylinder 2 does\./);
    expect(report.warnings.join("\n")).not.toContain("instead of giving power");
    expect(report.faults).toEqual([{ kind: "eccentricSlip", cylinder: 1, byDeg: 60 }]);
    expect(report.fullGearCutoffRatio).toBeCloseTo(0.75, 6); // the default lap is made for it
    // 10 bar gauge is 11.01325 bar abs: 184.1 degC. [source: saturated steam at 11.0 bar abs in any steam table, from memory]
    expect(report.boilerTemperatureK - 273.15).toBeCloseTo(184.1, 0);
  });
});
