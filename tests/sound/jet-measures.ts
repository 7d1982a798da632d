import { NoiseStream } from "../../src/quantities/random.js";
import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import type { JetNoiseSetting } from "../../src/sound/jet-noise.js";
import { JetExpansion } from "../../src/sound/jet-expansion.js";
import { JetNoise } from "../../src/sound/jet-noise.js";
import { ShockNoise } from "../../src/sound/shock-noise.js";
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

/** A vessel that blows off through a plain convergent mouth; ideal gas, no loss. */
export interface Vent {
  readonly boreM: number;
  readonly vesselPa: number;
  readonly vesselK: number;
  readonly isentropicExponent: number;
  readonly gasJPerKgK: number;
  readonly outsidePa?: number;
}

/** Mouth state by the isentropic relations, choked or not; the expanded jet by the class itself. */
export function ventState(vent: Vent): { massFlowKgPerS: number; mouthMPerS: number; jetMPerS: number; mach: number } {
  const { isentropicExponent: g, gasJPerKgK: r, vesselPa, vesselK } = vent;
  const outsidePa = vent.outsidePa ?? 101325;
  const mouthPa = Math.max(outsidePa, vesselPa * (2 / (g + 1)) ** (g / (g - 1)));
  const mouthK = vesselK * (mouthPa / vesselPa) ** ((g - 1) / g);
  const mouthMPerS = Math.sqrt(((2 * g * r) / (g - 1)) * (vesselK - mouthK));
  const density = mouthPa / (r * mouthK);
  const jetMPerS = new Float64Array(1);
  const mach = new Float64Array(1);
  new JetExpansion(g, outsidePa).process(
    Float64Array.of(mouthPa),
    Float64Array.of(density),
    Float64Array.of(mouthMPerS),
    jetMPerS,
    mach,
    1,
  );
  const massFlowKgPerS = density * mouthMPerS * ((Math.PI * vent.boreM ** 2) / 4);
  return { massFlowKgPerS, mouthMPerS, jetMPerS: jetMPerS[0], mach: mach[0] };
}

/** Mixing noise, shock noise and both of a vent, from the units themselves. */
export function ventSound(
  vent: Vent,
  rate: number,
  seconds: number,
  distanceM: number,
): { mixing: Float64Array; shocks: Float64Array; total: Float64Array } {
  const { massFlowKgPerS, jetMPerS, mach } = ventState(vent);
  const count = Math.round(seconds * rate);
  const skip = Math.round(0.1 * rate);
  const setting = { ...AIR, boreM: vent.boreM, distanceM };
  const velocity = new Float64Array(count).fill(jetMPerS);
  const mixing = new Float64Array(count);
  const shocks = new Float64Array(count);
  new JetNoise(rate, new NoiseStream(3, 0), setting).process(
    new Float64Array(count).fill(massFlowKgPerS),
    velocity,
    mixing,
    count,
  );
  new ShockNoise(rate, new NoiseStream(3, 1), setting).process(
    velocity,
    new Float64Array(count).fill(mach),
    shocks,
    count,
  );
  const total = mixing.map((x, i) => x + shocks[i]);
  return { mixing: mixing.subarray(skip), shocks: shocks.subarray(skip), total: total.subarray(skip) };
}

/** Share of the spectrum of IEC 60534-8-3:2010 below `toHz`, by summing its formula in steps of 1/60 octave from 1e-6 of the peak. */
export function haystackShare(toHz: number, peakHz: number): number {
  const part = (x: number): number => 1 / ((1 + (x / 2) ** 2.5) * (1 + (0.5 / x) ** 1.7));
  let below = 0;
  let all = 0;
  for (let k = -1200; k <= 1200; k++) {
    const x = 2 ** (k / 60);
    all += part(x);
    if (x <= toHz / peakHz) below += part(x);
  }
  return below / all;
}
