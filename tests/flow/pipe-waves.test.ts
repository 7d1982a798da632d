import { describe, expect, it } from "vitest";
import { air, makePipe, readCell, setCell, soundSpeedOf } from "./perfect-gas.js";

const pressurePa = 101_325;
const temperatureK = 300;
const density = pressurePa / (287.05 * temperatureK);
const soundSpeed = soundSpeedOf(air, temperatureK);
const impedance = density * soundSpeed;

/** Decibels lost and relative speed error over one wavelength, measured on a train of waves far from the ends. */
function measured(cellsPerWave: number, courant: number): { lossDb: number; speedError: number } {
  const steps = 60;
  const windowCells = cellsPerWave * 6;
  const margin = 2 * steps + 4;
  const cellCount = windowCells + 2 * margin;
  const dx = 0.05;
  const pipe = makePipe(air, { lengthM: cellCount * dx, boreM: 0.1, cellCount, stepS: (courant * dx) / soundSpeed });
  pipe.reset(pressurePa, temperatureK, 0);
  const wave = (2 * Math.PI) / cellsPerWave;
  for (let i = 0; i < cellCount; i++) {
    const rise = 1e-3 * Math.cos(wave * i);
    setCell(pipe, air, i, density + rise / soundSpeed ** 2, rise / impedance, pressurePa + rise);
  }
  const amplitude = () => {
    let re = 0;
    let im = 0;
    for (let i = margin; i < margin + windowCells; i++) {
      const cell = readCell(pipe, air, i);
      const right = cell.pressurePa - pressurePa + impedance * cell.velocityMPerS;
      re += right * Math.cos(wave * i);
      im -= right * Math.sin(wave * i);
    }
    return { modulus: Math.hypot(re, im), phase: Math.atan2(im, re) };
  };
  const before = amplitude();
  for (let i = 0; i < steps; i++) pipe.process();
  const after = amplitude();
  const waves = (steps * courant) / cellsPerWave;
  let turned = (before.phase - after.phase) / (2 * Math.PI);
  turned += Math.round(waves - turned);
  return {
    lossDb: (-20 * Math.log10(after.modulus / before.modulus)) / waves,
    speedError: turned / waves - 1,
  };
}

/** The same from the amplification factor of third-order upwind-biased faces. [source: B. P. Leonard 1979, from memory] */
function expected(cellsPerWave: number, courant: number): { lossDb: number; speedError: number } {
  const t = (2 * Math.PI) / cellsPerWave;
  const v = courant;
  // face / cell value = 1 + (1 - v)/6 [(2 - v)(e^it - 1) + (1 + v)(1 - e^-it)]; G = 1 - v (1 - e^-it) face
  const a = ((1 - v) * (2 - v)) / 6;
  const b = ((1 - v) * (1 + v)) / 6;
  const faceRe = 1 + a * (Math.cos(t) - 1) + b * (1 - Math.cos(t));
  const faceIm = a * Math.sin(t) + b * Math.sin(t);
  const re = 1 - v * ((1 - Math.cos(t)) * faceRe - Math.sin(t) * faceIm);
  const im = -v * ((1 - Math.cos(t)) * faceIm + Math.sin(t) * faceRe);
  const stepsPerWave = cellsPerWave / v;
  return {
    lossDb: -20 * Math.log10(Math.hypot(re, im)) * stepsPerWave,
    speedError: -Math.atan2(im, re) / (v * t) - 1,
  };
}

describe("a sound wave in coarse cells", () => {
  // Cells to a wavelength, Courant number, loss per wavelength in dB: the amplification factor of QUICKEST for one
  // wavelength of advection. [source: Leonard, Comput. Methods Appl. Mech. Eng. 19 (1979) 59-98, from memory]
  it.each([
    [12, 0.4, 0.43],
    [12, 0.55, 0.32],
    [12, 0.7, 0.21],
    [12, 0.85, 0.1],
    [8, 0.4, 1.4],
    [8, 0.55, 1.1],
    [8, 0.7, 0.7],
    [8, 0.85, 0.33],
  ])("at %s cells a wave and a Courant number of %s loses %s dB a wavelength", (cells, courant, lossDb) => {
    const got = measured(cells, courant);
    const theory = expected(cells, courant);
    console.log(
      `${cells} cells, v ${courant}: ${got.lossDb.toFixed(3)} dB (theory ${theory.lossDb.toFixed(3)}, table ${lossDb}), ` +
        `speed ${(100 * got.speedError).toFixed(3)} % (theory ${(100 * theory.speedError).toFixed(3)} %)`,
    );
    expect(Math.abs(got.lossDb - theory.lossDb)).toBeLessThan(0.002);
    expect(Math.abs(got.speedError - theory.speedError)).toBeLessThan(2e-5);
    // Half the last figure printed in the table.
    expect(Math.abs(got.lossDb - lossDb)).toBeLessThan(
      Number.isInteger(Math.round(lossDb * 1e6) / 1e5) ? 0.051 : 0.0051,
    );
    expect(Math.abs(got.speedError)).toBeLessThan(0.002);
  });

  it("is carried exactly at a Courant number of 1", () => {
    const got = measured(8, 1);
    expect(Math.abs(got.lossDb)).toBeLessThan(1e-4);
    expect(Math.abs(got.speedError)).toBeLessThan(1e-5);
  });

  it("loses eight times less a wavelength in cells half as long: third order", () => {
    // Loss a wavelength of a third-order scheme falls with the third power of the cell.
    const ratio = measured(16, 0.6).lossDb / measured(32, 0.6).lossDb;
    expect(ratio).toBeGreaterThan(7);
    expect(ratio).toBeLessThan(9);
  });

  it("travels with the gas: its speed is sound speed plus drift, and the transit times say so", () => {
    const pipe = makePipe(air, { lengthM: 2, boreM: 0.1, cellCount: 25, stepS: 8e-5 });
    pipe.reset(pressurePa, temperatureK, 50);
    pipe.process();
    const transit = (sum: number) => (25 * 25 * 8e-5) / sum;
    expect(Math.abs(transit(pipe.downstreamCourantSum) / (2 / (soundSpeed + 50)) - 1)).toBeLessThan(1e-12);
    expect(Math.abs(transit(pipe.upstreamCourantSum) / (2 / (soundSpeed - 50)) - 1)).toBeLessThan(1e-12);
  });
});
