import { averagedSpectrum } from "../../src/listening/power-spectrum.js";
import { rms } from "../sound/signal-measures.js";
import { RATE } from "./side-voice-rig.js";

/** Level in dB of steps of so many seconds. */
export function stepsDb(signal: Float64Array, stepS: number): number[] {
  const step = Math.round(stepS * RATE);
  const levels: number[] = [];
  for (let i = 0; i + step <= signal.length; i += step) {
    levels.push(20 * Math.log10(rms(signal.subarray(i, i + step)) / 20e-6 + 1e-12));
  }
  return levels;
}

/** Mean frequency of the power. */
export function centroidHz(signal: Float64Array): number {
  const { powers, binHz } = averagedSpectrum(signal, RATE, 4096);
  let sum = 0;
  let moment = 0;
  for (let k = 1; k < powers.length; k++) {
    sum += powers[k];
    moment += powers[k] * k * binHz;
  }
  return moment / sum;
}

/** Moments in seconds at which the signal comes up out of silence. */
export function onsets(signal: Float64Array, quietS: number): number[] {
  const found: number[] = [];
  let quiet = quietS * RATE;
  for (let i = 0; i < signal.length; i++) {
    if (signal[i] !== 0) {
      if (quiet >= quietS * RATE) found.push(i / RATE);
      quiet = 0;
    } else quiet++;
  }
  return found;
}
