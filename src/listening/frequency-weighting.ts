import { powerDb } from "./decibels.js";
import type { PowerSpectrum } from "./power-spectrum.js";

/** Pole frequencies of the weightings, Hz. [source: IEC 61672-1:2013, Annex E, from memory] */
export const WEIGHTING_POLES_HZ = [20.598997, 107.65265, 737.86223, 12194.217] as const;

/** Frequency at which every weighting is 0 dB, Hz. [source: IEC 61672-1:2013, 5.5] */
export const WEIGHTING_REFERENCE_HZ = 1000;

/** `A`: as the ear at low level; `C`: nearly flat, for peaks and low notes; `Z`: none. */
export type FrequencyWeighting = "A" | "C" | "Z";

/** Gain of the weighting at a frequency, dB; -Infinity at 0 Hz for A and C. */
export function weightingDb(weighting: FrequencyWeighting, frequencyHz: number): number {
  return powerDb(weightingPower(weighting, frequencyHz));
}

/** Level of the whole spectrum through the weighting, dB re full scale squared. */
export function weightedLevelDb(spectrum: PowerSpectrum, weighting: FrequencyWeighting): number {
  let sum = 0;
  for (let k = 0; k < spectrum.powers.length; k++) {
    sum += spectrum.powers[k]! * weightingPower(weighting, k * spectrum.binHz);
  }
  return powerDb(sum);
}

function weightingPower(weighting: FrequencyWeighting, frequencyHz: number): number {
  if (weighting === "Z") return 1;
  return unscaledPower(weighting, frequencyHz) / unscaledPower(weighting, WEIGHTING_REFERENCE_HZ);
}

/** Power transfer of the poles: two zeros at 0 Hz for C, four for A. */
function unscaledPower(weighting: "A" | "C", frequencyHz: number): number {
  const f = frequencyHz * frequencyHz;
  const [f1, f2, f3, f4] = WEIGHTING_POLES_HZ.map((pole) => pole * pole) as [number, number, number, number];
  const low = f / (f + f1);
  const high = f4 / (f + f4);
  const c = low * low * high * high;
  return weighting === "C" ? c : (c * f * f) / ((f + f2) * (f + f3));
}
