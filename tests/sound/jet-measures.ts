import { NoiseStream } from "../../src/quantities/random.js";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import type { JetNoiseSetting } from "../../src/sound/jet-noise.js";
import { JetNoise } from "../../src/sound/jet-noise.js";
import { rms } from "./signal-measures.js";

export const AIR = { airDensityKgPerM3: 1.2041, airSoundSpeedMPerS: 343.2, distanceM: 10 };

export interface Jet {
  readonly boreM: number;
  readonly velocityMPerS: number;
  readonly densityKgPerM3: number;
}

export function hiss(
  jet: Jet,
  rate: number,
  seconds: number,
  stream = 0,
  setting: Partial<JetNoiseSetting> = {},
): Float64Array {
  const noise = new JetNoise(rate, new NoiseStream(3, stream), { ...AIR, boreM: jet.boreM, ...setting });
  const count = Math.round(seconds * rate);
  const area = (Math.PI * jet.boreM ** 2) / 4;
  const massFlow = new Float64Array(count).fill(jet.densityKgPerM3 * area * jet.velocityMPerS);
  const velocity = new Float64Array(count).fill(jet.velocityMPerS);
  const output = new Float64Array(count);
  noise.process(massFlow, velocity, output, count);
  return output.slice(Math.round(0.1 * rate));
}

export function levelDb(signal: Float64Array): number {
  return 20 * Math.log10(rms(signal) / 20e-6);
}

/** The law that the unit promises, in exact numbers; eta levels off as 1 / sqrt(1 + (eta / 2.4e-3)^2). */
export function promisedLevelDb(jet: Jet): number {
  const area = (Math.PI * jet.boreM ** 2) / 4;
  const plain = 1e-4 * (jet.velocityMPerS / AIR.airSoundSpeedMPerS) ** 5;
  const eta = plain / Math.sqrt(1 + (plain / 2.4e-3) ** 2);
  const power = eta * 0.5 * jet.densityKgPerM3 * area * jet.velocityMPerS ** 3;
  const squared = (power * AIR.airDensityKgPerM3 * AIR.airSoundSpeedMPerS) / (4 * Math.PI * AIR.distanceM ** 2);
  return 10 * Math.log10(squared / 4e-10);
}

/** Level of the sound pressure in a band. */
export function bandLevelDb(signal: Float64Array, fromHz: number, toHz: number, rate: number): number {
  const { powers, binHz } = averagedSpectrum(signal, rate, 16384);
  let sum = 0;
  for (let k = 0; k < powers.length; k++) {
    const low = Math.max(fromHz, (k - 0.5) * binHz);
    const high = Math.min(toHz, (k + 0.5) * binHz);
    if (high > low) sum += (powers[k] * (high - low)) / binHz;
  }
  return 10 * Math.log10(sum / 4e-10);
}
