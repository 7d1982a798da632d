import { describe, expect, it } from "vitest";
import type { FiniteVolumePipe } from "../../src/flow/finite-volume-pipe.js";
import { Mouth } from "../../src/flow/mouth.js";
import type { PipeGas } from "../../src/steam/pipe-gas.js";
import {
  closeLeftEnd,
  closeRightEnd,
  exhaustOf,
  makePipe,
  perfectGas,
  readCell,
  setCell,
  soundSpeedOf,
  stillSurroundings,
} from "../flow/perfect-gas.js";

const restPa = 101_325;
const restK = 300;

/** Sets an isentropic wave running right whose pressure ratio along the pipe is given. [source: Riemann] */
function setSimpleWave(pipe: FiniteVolumePipe, gas: PipeGas, ratioAt: (cell: number) => number): void {
  const k = gas.isentropicExponent;
  const density = restPa / (gas.gasConstantJPerKgK * restK);
  const soundSpeed = soundSpeedOf(gas, restK);
  for (let i = 0; i < pipe.cellCount; i++) {
    const ratio = ratioAt(i);
    const u = ((2 * soundSpeed) / (k - 1)) * (ratio ** ((k - 1) / (2 * k)) - 1);
    setCell(pipe, gas, i, density * ratio ** (1 / k), u, restPa * ratio);
  }
}

/** Feeds the left end so that the wave running in carries a given pressure ratio. */
function feedSimpleWave(pipe: FiniteVolumePipe, gas: PipeGas, ratio: number): void {
  const k = gas.isentropicExponent;
  const pressurePa = restPa * ratio;
  const u = (pressurePa - pipe.leftArrivalPa) / pipe.leftImpedance;
  const mass = (restPa / (gas.gasConstantJPerKgK * restK)) * ratio ** (1 / k) * u * pipe.leftAreaM2;
  const energyW = (u * pipe.leftAreaM2 * k * pressurePa) / (k - 1) + 0.5 * mass * u * u;
  pipe.closeLeft(mass, u, pressurePa, energyW);
}

// u/c0 and crest speed (u + c)/c0 for p/p0. [source: Riemann's simple wave; Benson; Blair; recomputed]
const rows = [
  [1.3, 1.05, 0.03764, 1.0433],
  [1.3, 1.1, 0.07372, 1.0848],
  [1.3, 1.2, 0.14173, 1.163],
  [1.3, 1.5, 0.31931, 1.3672],
  [1.3, 2, 0.55509, 1.6384],
  [1.4, 1.05, 0.03497, 1.042],
  [1.4, 1.1, 0.06854, 1.0823],
  [1.4, 1.2, 0.13194, 1.1583],
  [1.4, 1.5, 0.29817, 1.3578],
  [1.4, 2, 0.52045, 1.6245],
] as const;

describe("a simple wave", () => {
  it.each(rows)("k = %s, p/p0 = %s: flow %s c0 behind a front fed in, crest at %s c0", (k, ratio, flow, crest) => {
    const gas = perfectGas(k, 287.05);
    const c0 = soundSpeedOf(gas, restK);
    const cellCount = 600;
    const lengthM = 6;
    const dx = lengthM / cellCount;
    const stepS = (0.85 * dx) / (crest * c0);

    // A ramp fed in at the left end, too long to become a shock within the pipe: the plateau behind it.
    const fed = makePipe(gas, { lengthM, boreM: 0.1, cellCount, stepS });
    fed.reset(restPa, restK, 0);
    const steps = Math.floor((0.9 * cellCount) / (0.85 / crest));
    const rampSteps = 0.55 * steps;
    for (let i = 0; i < steps; i++) {
      fed.process();
      feedSimpleWave(fed, gas, 1 + (ratio - 1) * Math.min(1, (i + 1) / rampSteps));
      closeRightEnd(fed);
    }
    const plateau = readCell(fed, gas, 40);
    expect(Math.abs(plateau.velocityMPerS / c0 / flow - 1)).toBeLessThan(0.002);
    expect(Math.abs(plateau.pressurePa / restPa / ratio - 1)).toBeLessThan(0.001);

    // A smooth hump in the middle: how fast its crest goes, and that nothing runs back from it.
    const pipe = makePipe(gas, { lengthM, boreM: 0.1, cellCount, stepS });
    pipe.reset(restPa, restK, 0);
    const half = 120;
    setSimpleWave(pipe, gas, (i) => {
      const x = Math.abs(i - 250) / half;
      return x < 1 ? 1 + (ratio - 1) * Math.cos((Math.PI / 2) * x) ** 2 : 1;
    });
    const crestCell = () => {
      let best = 1;
      for (let i = 2; i < cellCount - 1; i++)
        if (readCell(pipe, gas, i).pressurePa > readCell(pipe, gas, best).pressurePa) best = i;
      const [a, b, c] = [-1, 0, 1].map((d) => readCell(pipe, gas, best + d).pressurePa);
      return best + (0.5 * (a - c)) / (a - 2 * b + c);
    };
    const from = crestCell();
    const count = 50;
    for (let i = 0; i < count; i++) {
      pipe.process();
      closeLeftEnd(pipe);
      closeRightEnd(pipe);
    }
    const speed = ((crestCell() - from) * dx) / (count * stepS) / c0;
    expect(Math.abs(speed / crest - 1)).toBeLessThan(0.003);
    let behind = 0;
    for (let i = 105; i < 130; i++) behind = Math.max(behind, Math.abs(readCell(pipe, gas, i).pressurePa / restPa - 1));
    expect(behind).toBeLessThan(1e-4 * (ratio - 1));
    expect(pipe.rescueCount + fed.rescueCount).toBe(0);
  });

  // Harmonics of a plane wave that was a sine, at a share of its shock distance. [source: Fubini; Hamilton & Blackstock,
  // Nonlinear Acoustics: 2 J_n(n s)/(n s)]. The series is for small waves; terms of the amplitude's size are left out of it.
  it("steepens as Fubini says at half its shock distance", () => {
    const gas = perfectGas(1.4, 287.05);
    const c0 = soundSpeedOf(gas, restK);
    const perWave = 120;
    const waves = 6;
    const amplitude = 0.004;
    const courant = 0.85;
    // Distance s c0^2 / (beta w u); u0 = amplitude c0 / k for a pressure amplitude of that share.
    const cells = (0.5 * 1.4 * perWave) / (1.2 * amplitude * 2 * Math.PI);
    const steps = Math.round(cells / courant);
    const margin = 2 * Math.ceil(cells / courant) + 4;
    // The window moves with the wave; only its domain of dependence has to be kept clear of the ends.
    const cellCount = margin + waves * perWave + 2 * Math.ceil(cells);
    const dx = 0.01;
    const pipe = makePipe(gas, { lengthM: cellCount * dx, boreM: 0.1, cellCount, stepS: (courant * dx) / c0 });
    pipe.reset(restPa, restK, 0);
    setSimpleWave(pipe, gas, (i) => 1 + amplitude * Math.sin((2 * Math.PI * i) / perWave));
    for (let i = 0; i < steps; i++) pipe.process();
    const first = margin + Math.round(cells) - 2 * Math.ceil(cells);
    const harmonic = (n: number) => {
      let re = 0;
      let im = 0;
      for (let i = first; i < first + waves * perWave; i++) {
        const { pressurePa } = readCell(pipe, gas, i);
        re += (pressurePa - restPa) * Math.cos((2 * Math.PI * n * i) / perWave);
        im += (pressurePa - restPa) * Math.sin((2 * Math.PI * n * i) / perWave);
      }
      return (2 * Math.hypot(re, im)) / (waves * perWave) / (amplitude * restPa);
    };
    const got = [1, 2, 3, 4, 5].map(harmonic);
    console.log(`Fubini, half the shock distance: ${got.map((h) => h.toFixed(4)).join(" ")}`);
    [0.96907, 0.22981, 0.08129, 0.034, 0.0156].forEach((expected, i) => {
      expect(Math.abs(got[i] - expected)).toBeLessThan(0.006);
    });
  });
});

describe("a step of finite amplitude", () => {
  function plateauAfter(k: number, ratio: number, close: (pipe: FiniteVolumePipe, stepS: number) => () => void) {
    const gas = perfectGas(k, 287.05);
    const c0 = soundSpeedOf(gas, restK);
    const cellCount = 400;
    const dx = 0.01;
    const stepS = (0.6 * dx) / (c0 * (1 + 2 * (ratio - 1)));
    const pipe = makePipe(gas, { lengthM: cellCount * dx, boreM: 0.1, cellCount, stepS });
    pipe.reset(restPa, restK, 0);
    const closeRight = close(pipe, stepS);
    const transit = (cellCount * dx) / c0;
    const steps = Math.floor((1.7 * transit) / stepS);
    const rampSteps = 0.6 * (transit / stepS);
    for (let i = 0; i < steps; i++) {
      pipe.process();
      feedSimpleWave(pipe, gas, 1 + (ratio - 1) * Math.min(1, (i + 1) / rampSteps));
      closeRight();
    }
    const c = readCell(pipe, gas, cellCount - 5);
    return {
      ratio: c.pressurePa / restPa,
      mach: c.velocityMPerS / Math.sqrt((k * c.pressurePa) / c.densityKgPerM3),
      pipe,
    };
  }

  // [source: Blair; (2 X - 1)^(2k/(k-1)), X = ratio^((k-1)/2k)]: more than the 1.4 and 2.0 of acoustics.
  it.each([
    [1.2, 1.43335],
    [1.5, 2.20059],
  ])("of %s is thrown back by a closed end to %s", (ratio, expected) => {
    const got = plateauAfter(1.4, ratio, (pipe) => () => closeRightEnd(pipe));
    console.log(`closed end, ${ratio}: ${got.ratio.toFixed(5)} against ${expected}`);
    expect(Math.abs(got.ratio / expected - 1)).toBeLessThan(0.003);
  });

  // [source: Blair, Benson]: outside pressure holds, flow at M = 2/(k-1)(2 X - 2).
  it.each([
    [1.2, 0.82928, 0.26388],
    [1.5, 0.65025, 0.59634],
  ])("of %s leaves an open end at the outside pressure, reflected as %s, with M = %s", (ratio, reflected, mach) => {
    const gas = perfectGas(1.4, 287.05);
    const got = plateauAfter(1.4, ratio, (pipe, stepS) => {
      const mouth = new Mouth(pipe, exhaustOf(gas), stillSurroundings(gas, restPa, restK, false), stepS, 0);
      mouth.reset(0);
      return () => mouth.process();
    });
    // X = X_on + X_back - 1 and u/c0 = 2/(k-1) (X_on - X_back) give X_back from what stands at the end.
    const x = got.ratio ** (1 / 7);
    const reflectedRatio = ((x + 1 - 0.2 * got.mach * x) / 2) ** 7;
    console.log(
      `open end, ${ratio}: M ${got.mach.toFixed(5)} against ${mach}, back ${reflectedRatio.toFixed(5)} against ${reflected}`,
    );
    expect(Math.abs(got.ratio - 1)).toBeLessThan(0.002);
    expect(Math.abs(got.mach / mach - 1)).toBeLessThan(0.003);
    expect(Math.abs(reflectedRatio / reflected - 1)).toBeLessThan(0.003);
  });
});
