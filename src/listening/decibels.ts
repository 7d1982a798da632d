import { log10 } from "../quantities/portable-maths.js";

/** Level of a mean square or an energy ratio, dB: 10 lg. 0 gives -Infinity. */
export function powerDb(meanSquareRatio: number): number {
  return 10 * log10(meanSquareRatio);
}

/** Level of an amplitude ratio, dB: 20 lg. 0 gives -Infinity. */
export function amplitudeDb(amplitudeRatio: number): number {
  return 20 * log10(amplitudeRatio);
}
