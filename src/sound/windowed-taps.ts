import { sin } from "../quantities/portable-maths.js";

/** Taps of the interpolator, and places between two samples for which they are kept. [common practice] */
export const WINDOWED_TAPS = 12;
/** Between them the taps are interpolated: right to -70 dB. [common practice] */
export const WINDOWED_PHASES = 128;

// Shape of the Kaiser window: error below -60 dB to a quarter of the rate. [source: Oppenheim & Schafer, Discrete-Time
// Signal Processing, 3rd ed., 2010, 7.5.3]
const kaiserShape = 6;

/** Modified Bessel function of order 0, by its series. */
function besselI0(x: number): number {
  let sum = 1;
  let term = 1;
  for (let k = 1; k < 40; k++) {
    term *= (x * x) / (4 * k * k);
    sum += term;
  }
  return sum;
}

/**
 * Windowed sines over x by phase: row k holds the taps for a point k / 128 of the way from the sixth sample to the seventh.
 * Each row passes a constant exactly.
 */
export const windowedTaps = makeTaps();

function makeTaps(): Float64Array {
  const half = WINDOWED_TAPS / 2;
  const taps = new Float64Array((WINDOWED_PHASES + 1) * WINDOWED_TAPS);
  for (let k = 0; k <= WINDOWED_PHASES; k++) {
    const row = taps.subarray(k * WINDOWED_TAPS, (k + 1) * WINDOWED_TAPS);
    let sum = 0;
    for (let t = 0; t < WINDOWED_TAPS; t++) {
      const x = t - (half - 1) - k / WINDOWED_PHASES;
      const edge = 1 - (x / half) * (x / half);
      const isWhole = x === Math.round(x);
      const angle = Math.PI * x;
      const value =
        x === 0 ? 1 : isWhole || edge <= 0 ? 0 : (sin(angle) / angle) * besselI0(kaiserShape * Math.sqrt(edge));
      row[t] = x === 0 ? besselI0(kaiserShape) : value;
      sum += row[t]!;
    }
    for (let t = 0; t < WINDOWED_TAPS; t++) row[t] = row[t]! / sum;
  }
  return taps;
}
