import { describe, expect, it } from "vitest";
import { Mouth } from "../../src/flow/mouth.js";
import { kirchhoffAttenuationNpPerM, wallDragRatio } from "../../src/flow/wall-drag.js";
import type { PipeGas } from "../../src/steam/pipe-gas.js";
import {
  air,
  closeLeftEnd,
  exhaustOf,
  makePipe,
  perfectGas,
  readCell,
  setCell,
  soundSpeedOf,
  stillSurroundings,
} from "./perfect-gas.js";

const pressurePa = 101_325;

/** Frequency of a slowly fading tone: crossings of zero upwards, interpolated, over as many whole turns as there are. */
function toneHz(samples: readonly number[], stepS: number): number {
  const crossings: number[] = [];
  for (let i = 1; i < samples.length; i++) {
    if (samples[i - 1] < 0 && samples[i] >= 0) crossings.push(i - samples[i] / (samples[i] - samples[i - 1]));
  }
  return (crossings.length - 1) / ((crossings[crossings.length - 1] - crossings[0]) * stepS);
}

/** Rings the first mode of a pipe stopped at its left and gives the closed end's pressure above rest, tick by tick. */
function ring(
  gas: PipeGas,
  temperatureK: number,
  shape: { lengthM: number; boreM: number; cellCount: number; dragRatio?: number },
  stepS: number,
  tickCount: number,
  outside: "same gas" | "no load",
): number[] {
  const pipe = makePipe(gas, { ...shape, stepS });
  pipe.reset(pressurePa, temperatureK, 0);
  const soundSpeed = soundSpeedOf(gas, temperatureK);
  const density = pressurePa / (gas.gasConstantJPerKgK * temperatureK);
  for (let i = 0; i < shape.cellCount; i++) {
    const rise = 0.2 * Math.cos((0.5 * Math.PI * (i + 0.5)) / shape.cellCount);
    setCell(pipe, gas, i, density + rise / soundSpeed ** 2, 0, pressurePa + rise);
  }
  const surroundings = stillSurroundings(gas, pressurePa, temperatureK, outside === "same gas");
  const mouth = new Mouth(pipe, exhaustOf(gas), surroundings, stepS, 0);
  mouth.reset(0);
  const samples: number[] = [];
  for (let i = 0; i < tickCount; i++) {
    pipe.process();
    closeLeftEnd(pipe);
    mouth.process();
    samples.push(readCell(pipe, gas, 0).pressurePa - pressurePa);
  }
  return samples;
}

describe("a stopped pipe with an open mouth", () => {
  // First resonance with the end correction of Levine & Schwinger, Phys. Rev. 73 (1948), recomputed; c 343.2 m/s in air.
  // The lumped load has the low-frequency correction 0.6133 a: within 0.1 % of it here.
  it.each([
    ["air", perfectGas(1.4, 287.05), 293.13, 1, 0.025, 84.51],
    ["air, wide", perfectGas(1.4, 287.05), 293.13, 0.5, 0.05, 161.75],
    ["steam", perfectGas(1.3, 461.5), 376.07, 1, 0.075, 113.55],
  ])("sounds %s at the published pitch, fine cells", (name, gas, temperatureK, lengthM, radiusM, hz) => {
    const cellCount = 60;
    const stepS = (0.7 * lengthM) / (cellCount * soundSpeedOf(gas, temperatureK));
    const samples = ring(gas, temperatureK, { lengthM, boreM: 2 * radiusM, cellCount }, stepS, 3000, "same gas");
    const got = toneHz(samples, stepS);
    console.log(`${name}: ${got.toFixed(3)} Hz against ${hz}`);
    expect(Math.abs(got / hz - 1)).toBeLessThan(0.003);
  });

  // The same with cells and ticks as an engine has them: every 4th sample, 80 mm.
  it.each([
    ["air", perfectGas(1.4, 287.05), 293.13, 1, 0.025, 84.51, 20],
    ["steam", perfectGas(1.3, 461.5), 376.07, 1, 0.075, 113.55, 12],
  ])(
    "sounds %s at the published pitch within 1 %%, engine cells",
    (name, gas, temperatureK, lengthM, radiusM, hz, cells) => {
      const stepS = 4 / 48_000;
      const samples = ring(
        gas,
        temperatureK,
        { lengthM, boreM: 2 * radiusM, cellCount: cells },
        stepS,
        900,
        "same gas",
      );
      const got = toneHz(samples, stepS);
      console.log(`${name}, engine cells: ${got.toFixed(3)} Hz against ${hz}`);
      expect(Math.abs(got / hz - 1)).toBeLessThan(0.01);
    },
  );

  it("sounds higher in steam than in air by the ratio of sound speeds", () => {
    const stepS = 1 / 48_000;
    const shape = { lengthM: 1, boreM: 0.05, cellCount: 40 };
    const inAir = toneHz(ring(air, 293.15, shape, stepS, 8000, "same gas"), stepS);
    const inSteam = toneHz(ring(perfectGas(1.3, 461.5), 400, shape, stepS, 8000, "same gas"), stepS);
    const ratio = soundSpeedOf(perfectGas(1.3, 461.5), 400) / soundSpeedOf(air, 293.15);
    expect(Math.abs(inSteam / inAir / ratio - 1)).toBeLessThan(0.001);
  });
});

describe("wall drag", () => {
  // Wide-pipe wall loss, Np/m, 20 C. [source: Kirchhoff with Keefe's constants, JASA 75 (1984) 58-62; recomputed]
  it.each([
    [0.025, 100, 0.011844],
    [0.025, 1000, 0.037454],
    [0.005, 100, 0.05922],
    [0.005, 1000, 0.18727],
    [0.1, 100, 0.002961],
  ])("of radius %s m at %s Hz is %s Np/m", (radiusM, hz, alpha) => {
    const got = kirchhoffAttenuationNpPerM(hz, radiusM, 1.2041, 343.2, 1.8144e-5, 1.4019, 0.8422 ** 2);
    expect(Math.abs(got / alpha - 1)).toBeLessThan(0.005);
  });

  // From a mouth without load, so that the wall alone takes from the tone; the last figure is Q by the same formula reckoned
  // elsewhere. [source: Kirchhoff, wide pipe; viscosity and Prandtl number as in the model]
  it.each([
    ["60 mm of 4 mm bore, air", air, 290, 0.06, 0.004, 2e-5, 0.71, 22.37],
    ["120 mm of 4 mm bore, steam", perfectGas(1.3, 461.5), 373, 0.12, 0.004, 1.2e-5, 1, 18.96],
    ["2.5 m of 150 mm bore, steam", perfectGas(1.3, 461.5), 373, 2.5, 0.15, 1.2e-5, 1, 155.77],
    ["8 m of 150 mm bore, air", air, 290, 8, 0.15, 2e-5, 0.71, 72.63],
  ])(
    "sets the sharpness of %s: it rings down as Kirchhoff says",
    (name, gas, temperatureK, lengthM, boreM, mu, pr, q0) => {
      const shape = { lengthM, boreM, cellCount: 40 };
      const stepS = (0.9 * shape.lengthM) / (shape.cellCount * soundSpeedOf(gas, temperatureK));
      const dragRatio = wallDragRatio(shape.lengthM, shape.boreM, gas, pressurePa, stepS);
      const decay = (drag: number) => {
        const samples = ring(gas, temperatureK, { ...shape, dragRatio: drag }, stepS, 4000, "no load");
        const hz = toneHz(samples, stepS);
        const perTurn = 1 / (hz * stepS);
        // Energy of the first and of a later stretch of whole turns.
        const turns = 5;
        const energy = (from: number) => {
          const first = Math.round(from * perTurn);
          const last = Math.round((from + turns) * perTurn);
          return samples.slice(first, last).reduce((sum, x) => sum + x * x, 0);
        };
        const apart = 8;
        return { hz, nepersPerS: (0.5 * Math.log(energy(1) / energy(1 + apart)) * hz) / apart };
      };
      const bare = decay(0);
      const dragged = decay(dragRatio);
      const soundSpeed = soundSpeedOf(gas, temperatureK);
      const density = pressurePa / (gas.gasConstantJPerKgK * temperatureK);
      const hz = soundSpeed / (4 * lengthM);
      const alpha = kirchhoffAttenuationNpPerM(hz, 0.5 * boreM, density, soundSpeed, mu, gas.isentropicExponent, pr);
      const q = (Math.PI * dragged.hz) / (dragged.nepersPerS - bare.nepersPerS);
      const expected = Math.PI / (4 * shape.lengthM * alpha);
      console.log(
        `${name}: alpha ${alpha.toFixed(3)} Np/m, Q ${q.toFixed(2)} against ${expected.toFixed(2)}, ` +
          `cells alone fade ${(bare.nepersPerS / dragged.nepersPerS).toFixed(4)} of it`,
      );
      expect(Math.abs(expected / q0 - 1)).toBeLessThan(0.01);
      expect(Math.abs(q / expected - 1)).toBeLessThan(0.02);
      expect(bare.nepersPerS).toBeLessThan(0.02 * dragged.nepersPerS);
    },
  );
});
