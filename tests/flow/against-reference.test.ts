import { describe, expect, it } from "vitest";
import { Mouth } from "../../src/flow/mouth.js";
import { makePorts, PortEnd } from "../../src/flow/port-end.js";
import { exhaustOf, makePipe, perfectGas, soundSpeedOf } from "./perfect-gas.js";
import type { FineResult } from "./reference/fine-engine.js";
import { solveFinePipe, type FinePipe } from "./reference/fine-pipe.js";

const ambientPa = 101_325;
const airK = 288.15;
const airDensity = ambientPa / (287.05 * airK);
const airSoundSpeed = Math.sqrt(1.4 * 287.05 * airK);

type Setup = Omit<FinePipe, "cellCount" | "dispersionM" | "ambientPa" | "airDensity" | "airSoundSpeed" | "inflowK">;

/** The same machine in coarse cells, as the engine meshes and steps it; flows at the ticks. */
function solveCoarse(
  setup: Setup,
  samplesPerTick: number,
): FineResult & { readonly held: number; readonly cells: number } {
  const gas = perfectGas(setup.exponent, setup.gasConstant);
  const k = setup.exponent;
  const stepS = samplesPerTick / 48_000;
  const designSpeed = 1.4 * soundSpeedOf(gas, setup.vesselK);
  const cellCount = Math.max(3, Math.floor((setup.lengthM * 0.85) / (designSpeed * stepS) + 1e-9));
  const pipe = makePipe(gas, { lengthM: setup.lengthM, boreM: setup.boreM, cellCount, stepS });
  pipe.reset(ambientPa, setup.pipeK, 0);
  const exhaust = exhaustOf(gas);
  const ports = makePorts(1);
  const port = new PortEnd(pipe, exhaust, ports, 0, 1, k, stepS);
  const mouth = new Mouth(
    pipe,
    exhaust,
    {
      pressurePa: ambientPa,
      densityKgPerM3: airDensity,
      soundSpeedMPerS: airSoundSpeed,
      inflowDensityKgPerM3: ambientPa / (setup.gasConstant * setup.pipeK),
      inflowEnthalpyJPerKg: gas.specificHeatJPerKgK * setup.pipeK,
      inflowAirRatio: 0,
      radiates: true,
    },
    stepS,
    0,
  );
  port.reset();
  mouth.reset(0);
  let massKg = (setup.vesselPa * setup.vesselM3) / (setup.gasConstant * setup.vesselK);
  let energyJ = (setup.vesselPa * setup.vesselM3) / (k - 1);
  let before = setup.vesselPa;
  const count = Math.round(setup.seconds / stepS);
  const volumeFlow = new Float64Array(count);
  const massFlow = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const p = ((k - 1) * energyJ) / setup.vesselM3;
    ports.areaM2[0] = setup.areaM2(i * stepS);
    ports.pressurePa[0] = 1.5 * p - 0.5 * before;
    ports.densityKgPerM3[0] = massKg / setup.vesselM3;
    ports.enthalpyJPerKg[0] = (k * energyJ) / massKg;
    ports.massKg[0] = massKg;
    before = p;
    pipe.process();
    port.process();
    mouth.process();
    massKg -= ports.massFlowKgPerS[0] * stepS;
    energyJ -= ports.enthalpyFlowW[0] * stepS;
    volumeFlow[i] = mouth.volumeFlowM3PerS;
    massFlow[i] = mouth.massFlowKgPerS;
  }
  return { volumeFlow, massFlow, stepS, held: pipe.rescueCount + port.heldCount, cells: cellCount };
}

/** Energy of dQ/dt in an octave around a midband, dB; the flow of tick i belongs to the middle of its step. */
function octaveDb(result: FineResult, offsetS: number, midbandHz: number): number {
  let energy = 0;
  const lines = 48;
  for (let l = 0; l < lines; l++) {
    const hz = midbandHz * 2 ** ((l + 0.5) / lines - 0.5);
    let re = 0;
    let im = 0;
    const turn = 2 * Math.PI * hz * result.stepS;
    for (let i = 0; i < result.volumeFlow.length; i++) {
      const angle = turn * i + 2 * Math.PI * hz * offsetS;
      re += result.volumeFlow[i] * Math.cos(angle);
      im += result.volumeFlow[i] * Math.sin(angle);
    }
    energy += (re * re + im * im) * (result.stepS * hz) ** 2 * hz;
  }
  return 10 * Math.log10(energy);
}

function peak(result: FineResult): number {
  return result.volumeFlow.reduce((best, q) => Math.max(best, q), 0);
}

/** When the flow first passes a share of a level, s. */
function arrivalS(result: FineResult, level: number): number {
  const i = result.volumeFlow.findIndex((q) => q > level);
  const low = result.volumeFlow[i - 1];
  return (i - 1 + (level - low) / (result.volumeFlow[i] - low)) * result.stepS;
}

/** A port that opens, stays and shuts with rounded corners, again and again. */
function beats(mostM2: number, startS: number, openS: number, rampS: number, everyS: number) {
  const smooth = (x: number) => (x <= 0 ? 0 : x >= 1 ? 1 : x * x * (3 - 2 * x));
  return (timeS: number) => {
    const t = (timeS - startS) % everyS;
    return timeS < startS ? 0 : mostM2 * smooth(t / rampS) * smooth((openS - t) / rampS);
  };
}

const locomotive: Setup = {
  exponent: 1.3,
  gasConstant: 461.5,
  lengthM: 2.5,
  boreM: 0.15,
  vesselM3: 0.05,
  vesselPa: 4e5,
  vesselK: 480,
  pipeK: 380,
  areaM2: beats(0.008, 0.004, 0.06, 0.012, 1),
  seconds: 0.16,
};
const cases: readonly (readonly [string, Setup, number, number])[] = [
  ["locomotive, 4 bar at release, every 4. sample", locomotive, 4, 240],
  ["locomotive, 4 bar at release, every 2. sample", locomotive, 2, 240],
  ["locomotive, 11 bar at release, every 4. sample", { ...locomotive, vesselPa: 11e5, vesselK: 560 }, 4, 240],
  [
    "air engine, 5 bar, every 4. sample",
    {
      exponent: 1.4,
      gasConstant: 287.05,
      lengthM: 1,
      boreM: 0.04,
      vesselM3: 0.0012,
      vesselPa: 5e5,
      vesselK: 290,
      pipeK: 288.15,
      areaM2: beats(3e-4, 0.004, 0.05, 0.01, 1),
      seconds: 0.12,
    },
    4,
    240,
  ],
  [
    "model, 120 mm pipe of 4 mm bore, every sample",
    {
      exponent: 1.3,
      gasConstant: 461.5,
      lengthM: 0.12,
      boreM: 0.004,
      vesselM3: 1.2e-6,
      vesselPa: 2.5e5,
      vesselK: 430,
      pipeK: 380,
      areaM2: beats(2e-6, 0.002, 0.02, 0.005, 1),
      seconds: 0.05,
    },
    1,
    160,
  ],
];

describe("coarse cells against a fine independent solution", () => {
  it.each(cases)("%s: arrival, peak and octave bands", (name, setup, samplesPerTick, cellCount) => {
    const outside = { ambientPa, airDensity, airSoundSpeed, inflowK: setup.pipeK };
    const fine = solveFinePipe({ ...setup, ...outside, cellCount, dispersionM: 0.04 });
    const sharp = solveFinePipe({ ...setup, ...outside, cellCount, dispersionM: 0 });
    const coarse = solveCoarse(setup, samplesPerTick);
    const offset = 0.5 * coarse.stepS;
    const level = 0.1 * peak(fine);
    const late = arrivalS(coarse, level) + offset - arrivalS(fine, level);
    const peakRatio = peak(coarse) / peak(fine) - 1;
    const total = (x: FineResult) => x.massFlow.reduce((sum, m) => sum + m, 0) * x.stepS;
    const bands = [31.5, 63, 125, 250, 500, 1000];
    const differences = bands.map((hz) => octaveDb(coarse, offset, hz) - octaveDb(fine, 0, hz));
    const levels = bands.map((hz) => octaveDb(fine, 0, hz));
    const sharps = bands.map((hz) => octaveDb(coarse, offset, hz) - octaveDb(sharp, 0, hz));
    const row = (values: readonly number[]) => values.map((x) => x.toFixed(2).padStart(7)).join("");
    console.log(
      `${name}: ${coarse.cells} cells, late ${(1000 * late).toFixed(3)} ms, peak ${(100 * peakRatio).toFixed(2)} % ` +
        `of ${peak(fine).toExponential(3)} m3/s, mass ${(100 * (total(coarse) / total(fine) - 1)).toFixed(2)} %, held ${coarse.held}\n` +
        `   octave Hz        ${row(bands)}\n   level dB          ${row(levels)}\n   coarse - fine, dB ${row(differences)}\n` +
        `   without mixing    ${row(sharps)}`,
    );
    expect(coarse.held).toBe(0);
    expect(Math.abs(late)).toBeLessThan(2e-4);
    expect(Math.abs(peakRatio)).toBeLessThan(0.03);
    const strongest = Math.max(...levels);
    bands.forEach((hz, i) => {
      // Bands 40 dB under the strongest are not heard beside it.
      if (levels[i] < strongest - 40) return;
      if (hz <= 250) expect(Math.abs(differences[i])).toBeLessThan(1);
      else if (hz === 500) expect(Math.abs(differences[i])).toBeLessThan(3);
    });
  });
});
