import { describe, expect, it } from "vitest";
import { FiniteVolumePipe } from "../../src/flow/finite-volume-pipe.js";
import { Junction } from "../../src/flow/junction.js";
import { Mouth } from "../../src/flow/mouth.js";
import { makePorts, PortEnd } from "../../src/flow/port-end.js";
import {
  air,
  closeLeftEnd,
  closeRightEnd,
  exhaustOf,
  makePipe,
  readCell,
  setCell,
  steam,
  stillSurroundings,
  worstPressureRatio,
} from "./perfect-gas.js";

const stepS = 4 / 48_000;
const narrowing = { mouthBoreM: 0.118, contractionM: 0.15 };
const blast = { lengthM: 1.1, boreM: 0.165, cellCount: 13, stepS };

function mach(pipe: FiniteVolumePipe, cell: number): number {
  const { densityKgPerM3, pressurePa, velocityMPerS } = readCell(pipe, air, cell);
  return Math.abs(velocityMPerS) / Math.sqrt((1.4 * pressurePa) / densityKgPerM3);
}

describe("gas at rest", () => {
  // The last row takes wall drag such as a 4 mm pipe has: drag acts on motion and must not act on pressure.
  it.each([
    ["a plain pipe", {}],
    ["a contraction", narrowing],
    ["a contraction of two cells with friction", { ...narrowing, frictionFactor: 0.02 }],
    ["a contraction with wall drag", { ...narrowing, dragRatio: 0.02 }],
  ])("stays at rest in %s, both ends closed", (_, shape) => {
    const pipe = makePipe(air, { ...blast, ...shape });
    pipe.reset(101_325, 300, 0);
    for (let i = 0; i < 5000; i++) {
      pipe.process();
      closeLeftEnd(pipe);
      closeRightEnd(pipe);
    }
    expect(worstPressureRatio(pipe, air, 101_325)).toBeLessThan(1e-12);
    for (let i = 0; i < pipe.cellCount; i++) expect(mach(pipe, i)).toBeLessThan(1e-12);
  });

  it("stays at rest from a shut port through a junction and a blast nozzle to the open air", () => {
    const gas = exhaustOf(steam);
    const passages = [1.4, 1.4, 0.9].map((lengthM) => {
      const pipe = makePipe(steam, { lengthM, boreM: 0.15, cellCount: Math.floor(lengthM / 0.08), stepS });
      pipe.reset(101_325, 400, 0);
      return pipe;
    });
    const out = makePipe(steam, { ...blast, ...narrowing, dragRatio: 0.01, frictionFactor: 0.02 });
    out.reset(101_325, 400, 0);
    const ports = passages.map((pipe) => new PortEnd(pipe, gas, makePorts(2), 0, 2, 1.3, stepS));
    const junction = new Junction(passages, out, steam);
    const mouth = new Mouth(out, gas, stillSurroundings(air, 101_325, 288, true), stepS, 0);
    for (const port of ports) port.reset();
    junction.reset();
    mouth.reset(0);
    for (let i = 0; i < 5000; i++) {
      for (const pipe of [...passages, out]) pipe.process();
      for (const port of ports) port.process();
      junction.process();
      mouth.process();
    }
    for (const pipe of [...passages, out]) {
      expect(worstPressureRatio(pipe, steam, 101_325)).toBeLessThan(1e-12);
    }
    expect(Math.abs(mouth.velocityMPerS)).toBeLessThan(1e-9);
  });
});

describe("a pipe with both ends closed", () => {
  it.each([
    ["plain", {}, 0.3],
    ["narrowing, with friction and wall drag", { ...narrowing, frictionFactor: 0.02, dragRatio: 0.001 }, 0.3],
    ["narrowing, with a violent start", narrowing, 1.5],
  ])("keeps its mass and energy to 1e-12: %s", (_, shape, violence) => {
    const pipe = makePipe(air, { ...blast, ...shape });
    pipe.reset(101_325, 300, 0);
    for (let i = 0; i < pipe.cellCount; i++) {
      const wave = 1 + violence * (i < 4 ? 1 : 0);
      setCell(pipe, air, i, 1.2 * wave, 20 * Math.sin(i), 101_325 * wave);
    }
    const massKg = pipe.massKg();
    const energyJ = pipe.energyJ();
    for (let i = 0; i < 4000; i++) {
      pipe.process();
      closeLeftEnd(pipe);
      closeRightEnd(pipe);
    }
    expect(Math.abs(pipe.massKg() / massKg - 1)).toBeLessThan(1e-12);
    expect(Math.abs(pipe.energyJ() / energyJ - 1)).toBeLessThan(1e-12);
    expect(pipe.rescueCount).toBe(0);
  });

  it("holds the volume of its shape, the cosine contraction included", () => {
    const pipe = makePipe(air, { ...blast, ...narrowing });
    pipe.reset(101_325, 300, 0);
    // Mean of bore^2 over the cosine: with mean and half-difference of the bores b and d, b^2 + d^2/2. [source: integral]
    const mean = (0.165 + 0.118) / 2;
    const half = (0.165 - 0.118) / 2;
    const volume = (Math.PI / 4) * (0.95 * 0.165 ** 2 + 0.15 * (mean ** 2 + half ** 2 / 2));
    expect(Math.abs((pipe.massKg() * 287.05 * 300) / 101_325 / volume - 1)).toBeLessThan(1e-3);
  });
});

describe("a temperature front", () => {
  it("travels at the gas's speed and mixes as |u| dx/2 times (1 - Courant number) says", () => {
    // First-order upwind transport: diffusivity u dx (1 - nu) / 2. [source: modified equation of the upwind scheme]
    const cellCount = 200;
    const lengthM = 16;
    const u = 60;
    const pipe = makePipe(air, { lengthM, boreM: 0.15, cellCount, stepS });
    pipe.reset(101_325, 300, u);
    const dx = lengthM / cellCount;
    const centre = 4;
    const spread = 0.5;
    for (let i = 0; i < cellCount; i++) {
      const x = ((i + 0.5) * dx - centre) / spread;
      const density = (101_325 / (287.05 * 300)) * (1 + 0.3 * Math.exp(-0.5 * x * x));
      setCell(pipe, air, i, density, u, 101_325);
    }
    const moments = () => {
      let sum = 0;
      let first = 0;
      let second = 0;
      const base = 101_325 / (287.05 * 300);
      for (let i = 0; i < cellCount; i++) {
        const x = (i + 0.5) * dx;
        const weight = readCell(pipe, air, i).densityKgPerM3 - base;
        sum += weight;
        first += weight * x;
        second += weight * x * x;
      }
      return { mean: first / sum, variance: second / sum - (first / sum) ** 2 };
    };
    const before = moments();
    const steps = 1200;
    for (let i = 0; i < steps; i++) {
      pipe.process();
      // Fed at a fixed speed, let out at a fixed pressure.
      const base = 101_325 / (287.05 * 300);
      const leftPa = pipe.leftArrivalPa + pipe.leftImpedance * u;
      const mass = base * u * pipe.leftAreaM2;
      pipe.closeLeft(mass, u, leftPa, u * pipe.leftAreaM2 * 3.5 * leftPa + 0.5 * mass * u * u);
      const rightU = (pipe.rightArrivalPa - 101_325) / pipe.rightImpedance;
      const out = pipe.rightDensity * rightU * pipe.rightAreaM2;
      pipe.closeRight(out, rightU, 101_325, rightU * pipe.rightAreaM2 * 3.5 * 101_325 + 0.5 * out * rightU * rightU);
    }
    const after = moments();
    const time = steps * stepS;
    expect(Math.abs((after.mean - before.mean) / (u * time) - 1)).toBeLessThan(0.002);
    const diffusivity = (after.variance - before.variance) / (2 * time);
    const expected = 0.5 * u * dx * (1 - (u * stepS) / dx);
    console.log(`front mixing ${diffusivity.toFixed(3)} against ${expected.toFixed(3)} m2/s`);
    expect(Math.abs(diffusivity / expected - 1)).toBeLessThan(0.03);
    expect(worstPressureRatio(pipe, air, 101_325)).toBeLessThan(1e-3);
  });
});
