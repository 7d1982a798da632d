import { averagedSpectrum } from "../../src/listening/power-spectrum.js";

/** Middles of the octaves that are judged, Hz. [source: IEC 61260-1, exact base-2 middles] */
export const octaveMiddlesHz: readonly number[] = Array.from({ length: 10 }, (_, k) => 31.25 * 2 ** k);

/** Mean square of a signal in every octave, by the spectrum averaged over it. */
export function octavePowers(signal: Float64Array, rateHz: number): readonly number[] {
  const { powers, binHz } = averagedSpectrum(signal, rateHz, 16_384);
  return octaveMiddlesHz.map((middleHz) => {
    let sum = 0;
    for (let k = Math.ceil((middleHz * Math.SQRT1_2) / binHz); k * binHz < middleHz * Math.SQRT2; k++) {
      if (k < powers.length) sum += powers[k];
    }
    return sum;
  });
}

/** The loudest eighth of a second, mean square: the time constant "fast". [source: IEC 61672-1] */
export function greatestFastPower(signal: Float64Array, rateHz: number): number {
  const length = Math.round(0.125 * rateHz);
  let greatest = 0;
  let sum = 0;
  for (let i = 0; i < signal.length; i++) {
    if (i % length === 0) sum = 0;
    sum += signal[i] * signal[i];
    if (i % length === length - 1) greatest = Math.max(greatest, sum / length);
  }
  return greatest;
}
