import { describe, expect, it } from "vitest";
import { air, makePipe, readCell } from "./perfect-gas.js";

/** Feeds air of a stagnation temperature at a steady rate through a rough pipe and lets it settle. */
function settle(massFlowKgPerS: number, lengthM: number, boreM: number, frictionFactor: number, cellCount: number) {
  const stagnationK = 300;
  const outsidePa = 101_325;
  const stepS = (0.6 * lengthM) / (cellCount * 347);
  const pipe = makePipe(air, { lengthM, boreM, cellCount, stepS, frictionFactor });
  const area = pipe.leftAreaM2;
  const startU = (massFlowKgPerS * 287.05 * stagnationK) / (outsidePa * area);
  pipe.reset(outsidePa, stagnationK, startU);
  const cp = air.specificHeatJPerKgK;
  let entryDensity = outsidePa / (287.05 * stagnationK);
  for (let i = 0; i < 400 * cellCount; i++) {
    pipe.process();
    const u = massFlowKgPerS / (entryDensity * area);
    const pressurePa = pipe.leftArrivalPa + pipe.leftImpedance * u;
    entryDensity = 0.5 * (entryDensity + pressurePa / (287.05 * (stagnationK - (u * u) / (2 * cp))));
    pipe.closeLeft(massFlowKgPerS, u, pressurePa, massFlowKgPerS * cp * stagnationK);
    const uOut = (pipe.rightArrivalPa - outsidePa) / pipe.rightImpedance;
    const density = pipe.rightDensity + pipe.rightCompressibility * (outsidePa - pipe.rightPressurePa);
    const mass = density * uOut * area;
    pipe.closeRight(mass, uOut, outsidePa, uOut * area * 3.5 * outsidePa + 0.5 * mass * uOut * uOut);
  }
  const mach = (cell: number) => {
    const c = readCell(pipe, air, cell);
    return c.velocityMPerS / Math.sqrt((1.4 * c.pressurePa) / c.densityKgPerM3);
  };
  return { pipe, mach, first: readCell(pipe, air, 2), last: readCell(pipe, air, cellCount - 3) };
}

describe("steady flow through a rough pipe", () => {
  it("drops in pressure as Darcy and Weisbach say while slow", () => {
    // f L/D rho u^2/2. [source: Darcy-Weisbach, textbook form]
    const lengthM = 2;
    const boreM = 0.05;
    const f = 0.02;
    const cells = 25;
    const got = settle(0.05, lengthM, boreM, f, cells);
    const u = 0.5 * (got.first.velocityMPerS + got.last.velocityMPerS);
    const density = 0.5 * (got.first.densityKgPerM3 + got.last.densityKgPerM3);
    const distance = ((cells - 5) * lengthM) / cells;
    const expected = ((f * distance) / boreM) * 0.5 * density * u * u;
    const drop = got.first.pressurePa - got.last.pressurePa;
    console.log(`Darcy-Weisbach, M ${got.mach(12).toFixed(3)}: ${drop.toFixed(1)} against ${expected.toFixed(1)} Pa`);
    expect(got.mach(12)).toBeLessThan(0.1);
    expect(Math.abs(drop / expected - 1)).toBeLessThan(0.02);
  });

  it("speeds up from Mach 0.3 as Fanno says", () => {
    // f L*/D = (1 - M^2)/(k M^2) + (k+1)/(2k) ln((k+1) M^2/(2 + (k-1) M^2)); at 0.3 it is 5.2993. [source: Fanno flow, textbook form]
    const fanno = (mach: number) => {
      const m = mach * mach;
      return (1 - m) / (1.4 * m) + (2.4 / 2.8) * Math.log((2.4 * m) / (2 + 0.4 * m));
    };
    expect(Math.abs(fanno(0.3) - 5.2993)).toBeLessThan(1e-4);
    const lengthM = 6;
    const boreM = 0.05;
    const f = 0.03;
    const cells = 75;
    const got = settle(0.36, lengthM, boreM, f, cells);
    const first = got.mach(2);
    const last = got.mach(cells - 3);
    const expected = (f * (cells - 5) * lengthM) / cells / boreM;
    const between = fanno(first) - fanno(last);
    console.log(
      `Fanno, M ${first.toFixed(4)} to ${last.toFixed(4)}: f L/D ${between.toFixed(4)} against ${expected.toFixed(4)}`,
    );
    expect(first).toBeGreaterThan(0.25);
    expect(last).toBeGreaterThan(1.3 * first);
    expect(Math.abs(between / expected - 1)).toBeLessThan(0.02);
  });
});
