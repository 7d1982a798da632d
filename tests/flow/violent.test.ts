import { describe, expect, it } from "vitest";
import { Junction } from "../../src/flow/junction.js";
import { Mouth } from "../../src/flow/mouth.js";
import { makePorts, PortEnd } from "../../src/flow/port-end.js";
import type { PipeGas } from "../../src/steam/pipe-gas.js";
import {
  air,
  allFinite,
  exhaustOf,
  makePipe,
  readCell,
  soundSpeedOf,
  steam,
  stillSurroundings,
} from "./perfect-gas.js";

const ambientPa = 101_325;

interface Case {
  readonly gas: PipeGas;
  readonly lengthM: number;
  readonly boreM: number;
  readonly nozzle?: { readonly mouthBoreM: number; readonly contractionM: number };
  readonly vesselPa: number;
  readonly vesselK: number;
  /** Volume at a time; what changes it does work on the gas. */
  readonly volumeM3: (timeS: number) => number;
  readonly areaM2: (timeS: number) => number;
  /** Refilled at every tick. */
  readonly isSupplied?: boolean;
  readonly samplesPerTick: number;
  readonly seconds: number;
}

/** One vessel, port, pipe and radiating mouth, meshed as the engine meshes them. */
function run(c: Case) {
  const { gas } = c;
  const k = gas.isentropicExponent;
  const designSpeed = 1.4 * soundSpeedOf(gas, c.vesselK);
  let stepS = c.samplesPerTick / 48_000;
  const cells = () => Math.floor((c.lengthM * 0.85) / (designSpeed * stepS) + 1e-9);
  while (cells() < 3) stepS *= 0.5;
  const pipe = makePipe(gas, { lengthM: c.lengthM, boreM: c.boreM, cellCount: cells(), stepS, ...c.nozzle });
  const pipeK = gas === air ? 300 : 373;
  pipe.reset(ambientPa, pipeK, 0);
  const exhaust = exhaustOf(gas, 8e6);
  const ports = makePorts(1);
  const port = new PortEnd(pipe, exhaust, ports, 0, 1, k, stepS);
  const mouth = new Mouth(pipe, exhaust, stillSurroundings(gas, ambientPa, pipeK, true), stepS, 0);
  port.reset();
  mouth.reset(0);
  let volume = c.volumeM3(0);
  let energyJ = (c.vesselPa * volume) / (k - 1);
  let massKg = (c.vesselPa * volume) / (gas.gasConstantJPerKgK * c.vesselK);
  let isFinite = true;
  let fastest = 0;
  let highestPa = 0;
  let passedKg = 0;
  const startKg = massKg + pipe.massKg();
  const steps = Math.round(c.seconds / stepS);
  for (let i = 0; i < steps; i++) {
    const timeS = i * stepS;
    const next = c.volumeM3(timeS);
    energyJ *= (volume / next) ** (k - 1);
    volume = next;
    if (c.isSupplied === true) {
      energyJ = (c.vesselPa * volume) / (k - 1);
      massKg = (c.vesselPa * volume) / (gas.gasConstantJPerKgK * c.vesselK);
    }
    ports.areaM2[0] = c.areaM2(timeS);
    ports.pressurePa[0] = ((k - 1) * energyJ) / volume;
    ports.densityKgPerM3[0] = massKg / volume;
    ports.massKg[0] = massKg;
    ports.enthalpyJPerKg[0] = (k * energyJ) / massKg;
    pipe.process();
    port.process();
    mouth.process();
    massKg -= ports.massFlowKgPerS[0] * stepS;
    energyJ -= ports.enthalpyFlowW[0] * stepS;
    passedKg += mouth.massFlowKgPerS * stepS;
    isFinite &&= allFinite([massKg, energyJ, mouth.volumeFlowM3PerS, mouth.pressurePa, port.facePressurePa]);
    isFinite &&= massKg > 0 && energyJ > 0;
    fastest = Math.max(fastest, Math.abs(mouth.velocityMPerS));
    highestPa = Math.max(highestPa, mouth.pressurePa, port.facePressurePa);
  }
  let endPa = 0;
  for (let i = 0; i < pipe.cellCount; i++) endPa += readCell(pipe, gas, i).pressurePa / pipe.cellCount;
  return {
    isFinite,
    isPipeFinite: allFinite(pipe.state),
    fastest,
    highestPa,
    endPa,
    massError: (massKg + pipe.massKg() + passedKg) / startKg - 1,
    rescued: pipe.rescueCount,
    overrun: pipe.overrunCount,
    held: port.heldCount,
  };
}

const opensIn = (areaM2: number, riseS: number) => (timeS: number) => {
  const up = (timeS - 0.01) / riseS;
  const down = (0.1 + riseS - timeS) / riseS;
  return areaM2 * Math.max(0, Math.min(1, up, down));
};
const slams = (areaM2: number) => (timeS: number) => (timeS > 0.01 && timeS < 0.1 ? areaM2 : 0);
const fixed = (volumeM3: number) => () => volumeM3;

const locomotive = { gas: steam, lengthM: 2.5, boreM: 0.15, volumeM3: fixed(0.07), seconds: 0.3 } as const;
const narrow = { gas: steam, lengthM: 2.5, boreM: 0.05, volumeM3: fixed(0.05), seconds: 0.3 } as const;
const nozzle = { mouthBoreM: 0.08, contractionM: 0.15 };
const airEngine = { gas: air, lengthM: 1, boreM: 0.04, seconds: 0.3 } as const;
const pumping = (rpm: number) => (timeS: number) => 0.001 * (1.1 - Math.cos((2 * Math.PI * rpm * timeS) / 60));

/** Cases of a hard-worked engine: nothing may be held or rescued. */
const working: readonly (readonly [string, Omit<Case, "samplesPerTick">])[] = [
  ["6 bar release, 10 ms", { ...locomotive, vesselPa: 6e5, vesselK: 520, areaM2: opensIn(0.012, 0.01) }],
  ["11 bar release, 10 ms", { ...locomotive, vesselPa: 11e5, vesselK: 520, areaM2: opensIn(0.015, 0.01) }],
  ["11 bar release, 3 ms", { ...locomotive, vesselPa: 11e5, vesselK: 520, areaM2: opensIn(0.015, 0.003) }],
  ["11 bar, nozzle, 10 ms", { ...locomotive, nozzle, vesselPa: 11e5, vesselK: 520, areaM2: opensIn(0.015, 0.01) }],
  ["17 bar release, 10 ms", { ...locomotive, vesselPa: 17e5, vesselK: 573, areaM2: opensIn(0.015, 0.01) }],
  ["17 bar, nozzle, 10 ms", { ...locomotive, nozzle, vesselPa: 17e5, vesselK: 573, areaM2: opensIn(0.015, 0.01) }],
  [
    "air engine, 6 bar, 10 ms",
    { ...airEngine, volumeM3: fixed(0.003), vesselPa: 6e5, vesselK: 290, areaM2: opensIn(8e-4, 0.01) },
  ],
  [
    "6 m stack of 0.6 m bore",
    { ...locomotive, lengthM: 6, boreM: 0.6, volumeM3: fixed(0.3), vesselPa: 6e5, vesselK: 450, areaM2: slams(0.05) },
  ],
  [
    "drawn in from vacuum",
    { ...locomotive, volumeM3: fixed(0.2), vesselPa: 0.05e5, vesselK: 350, areaM2: slams(0.02) },
  ],
  [
    "drawn in from vacuum through a port wider than the pipe",
    { ...airEngine, volumeM3: fixed(0.01), vesselPa: 0.02e5, vesselK: 300, areaM2: slams(0.02) },
  ],
  [
    "motored, back and forth through the mouth",
    { ...airEngine, volumeM3: pumping(300), vesselPa: 1e5, vesselK: 300, areaM2: () => 2e-4 },
  ],
  [
    "60 mm pipe of 4 mm bore, 4 bar",
    {
      gas: steam,
      lengthM: 0.06,
      boreM: 0.004,
      volumeM3: fixed(1e-6),
      vesselPa: 4e5,
      vesselK: 430,
      areaM2: slams(3e-6),
      seconds: 0.15,
    },
  ],
];

/** Beyond what an engine does: the step may hold cells, and says so, but all stays bounded and comes to rest. */
const absurd: readonly (readonly [string, Omit<Case, "samplesPerTick">])[] = [
  ["17 bar slammed into 150 mm", { ...locomotive, vesselPa: 17e5, vesselK: 573, areaM2: slams(0.015) }],
  ["17 bar slammed into a nozzle", { ...locomotive, nozzle, vesselPa: 17e5, vesselK: 573, areaM2: slams(0.015) }],
  ["17 bar slammed into 50 mm", { ...narrow, vesselPa: 17e5, vesselK: 573, areaM2: slams(0.002) }],
  [
    "17 bar kept up into 50 mm, port wider than the pipe",
    { ...narrow, vesselPa: 17e5, vesselK: 573, areaM2: slams(0.02), isSupplied: true },
  ],
  [
    "17 bar of air kept up into 20 mm",
    {
      ...airEngine,
      boreM: 0.02,
      volumeM3: fixed(0.05),
      vesselPa: 17e5,
      vesselK: 290,
      areaM2: slams(3e-4),
      isSupplied: true,
    },
  ],
  [
    "a port slammed 125 times a second",
    {
      ...locomotive,
      vesselPa: 11e5,
      vesselK: 520,
      areaM2: (t) => (t < 0.15 && Math.floor(t / 0.004) % 2 === 1 ? 0.02 : 0),
      isSupplied: true,
    },
  ],
  [
    "motored at 3600 rpm with a wide port",
    { ...airEngine, volumeM3: pumping(3600), vesselPa: 1e5, vesselK: 300, areaM2: (t) => (t < 0.15 ? 5e-4 : 0) },
  ],
  [
    "a cylinder too small for one tick's flow",
    {
      gas: steam,
      lengthM: 0.06,
      boreM: 0.004,
      volumeM3: fixed(1e-8),
      vesselPa: 4e5,
      vesselK: 430,
      areaM2: slams(1.2e-5),
      seconds: 0.15,
    },
  ],
];

describe("a hard-worked engine's pipe", () => {
  for (const samplesPerTick of [1, 4]) {
    it.each(working)(`is never held, every ${samplesPerTick}. sample: %s`, (name, c) => {
      const got = run({ ...c, samplesPerTick });
      console.log(
        `${name}, every ${samplesPerTick}.: to ${got.fastest.toFixed(0)} m/s at the mouth, ${(got.highestPa / 1e5).toFixed(2)} bar, ` +
          `held ${got.rescued} ${got.held}, overrun ${got.overrun}`,
      );
      expect(got.isFinite && got.isPipeFinite).toBe(true);
      expect(got.rescued).toBe(0);
      expect(got.held).toBe(0);
      expect(got.overrun).toBe(0);
      expect(Math.abs(got.massError)).toBeLessThan(1e-11);
      expect(got.highestPa).toBeLessThan(1.6 * Math.max(c.vesselPa, 1.5e5));
    });
  }
});

describe("beyond what an engine does", () => {
  for (const samplesPerTick of [1, 2, 4]) {
    it.each(absurd)(`all stays bounded, every ${samplesPerTick}. sample: %s`, (name, c) => {
      const got = run({ ...c, samplesPerTick });
      console.log(
        `${name}, every ${samplesPerTick}.: to ${got.fastest.toFixed(0)} m/s at the mouth, ${(got.highestPa / 1e5).toFixed(2)} bar, ` +
          `held ${got.rescued} ${got.held}, overrun ${got.overrun}, end ${(got.endPa / 1e5).toFixed(3)} bar`,
      );
      expect(got.isFinite && got.isPipeFinite).toBe(true);
      // No jet goes faster than gas let out into a vacuum. [source: textbook, sqrt(2/(k-1)) c0]
      const k = c.gas.isentropicExponent;
      expect(got.fastest).toBeLessThan(1.05 * Math.sqrt(2 / (k - 1)) * soundSpeedOf(c.gas, c.vesselK));
      expect(got.highestPa).toBeLessThan(3 * Math.max(c.vesselPa, 5e5));
      expect(Math.abs(got.endPa / ambientPa - 1)).toBeLessThan(0.6);
    });
  }
});

describe("three passages that release into one another", () => {
  it("stay finite and bounded with every port slamming at its own time", () => {
    const stepS = 4 / 48_000;
    const exhaust = exhaustOf(steam, 8e6);
    const pipes = [0, 1, 2].map(() => makePipe(steam, { lengthM: 1.4, boreM: 0.12, cellCount: 16, stepS }));
    const out = makePipe(steam, {
      lengthM: 1.1,
      boreM: 0.165,
      mouthBoreM: 0.11,
      contractionM: 0.15,
      cellCount: 13,
      stepS,
    });
    for (const pipe of [...pipes, out]) pipe.reset(ambientPa, 400, 0);
    const ports = makePorts(6);
    const ends = pipes.map((pipe, i) => new PortEnd(pipe, exhaust, ports, 2 * i, 2, 1.3, stepS));
    const junction = new Junction(pipes, out, steam);
    const mouth = new Mouth(out, exhaust, stillSurroundings(steam, ambientPa, 400, true), stepS, 0);
    for (const end of ends) end.reset();
    junction.reset();
    mouth.reset(0);
    let isFinite = true;
    let highestPa = 0;
    for (let i = 0; i < 6000; i++) {
      for (let j = 0; j < 6; j++) {
        const phase = (i * (5 + j)) % 1200;
        ports.areaM2[j] = phase < 500 ? 0.008 : 0;
        ports.pressurePa[j] = phase < 250 ? 8e5 : 0.4e5;
        ports.densityKgPerM3[j] = ports.pressurePa[j] / (461.5 * 480);
        ports.massKg[j] = 0.05 * ports.densityKgPerM3[j];
        ports.enthalpyJPerKg[j] = steam.specificHeatJPerKgK * 480;
      }
      for (const pipe of [...pipes, out]) pipe.process();
      for (const end of ends) end.process();
      junction.process();
      mouth.process();
      isFinite &&= allFinite(ports.massFlowKgPerS) && allFinite([junction.pressurePa, mouth.volumeFlowM3PerS]);
      highestPa = Math.max(highestPa, junction.pressurePa, ...ends.map((end) => end.facePressurePa));
    }
    console.log(
      `three passages: to ${(highestPa / 1e5).toFixed(2)} bar, held ${[...pipes, out].map((p) => p.rescueCount).join(" ")}`,
    );
    expect(isFinite).toBe(true);
    expect(highestPa).toBeLessThan(3 * 8e5);
  });
});
