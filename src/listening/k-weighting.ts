import { exp, log, tan } from "../quantities/portable-maths.js";

/**
 * Corner of the head shelf, Hz. [source: analogue prototype of the ITU-R BS.1770-4 Table 1 coefficients, fitted at 48
 * kHz to 1e-12]
 */
export const SHELF_CORNER_HZ = 1681.974450955533;
/** Gain of the head shelf, dB. [source: as SHELF_CORNER_HZ] */
export const SHELF_GAIN_DB = 3.999843853973347;
/** Q of the head shelf. [source: as SHELF_CORNER_HZ] */
export const SHELF_Q = 0.7071752369554196;
/** Power of the shelf gain that stands at its corner. [source: as SHELF_CORNER_HZ] */
export const SHELF_BAND_EXPONENT = 0.4996667741545416;
/** Corner of the low-frequency cut, Hz. [source: analogue prototype of ITU-R BS.1770-4 Table 2, as SHELF_CORNER_HZ] */
export const CUT_CORNER_HZ = 38.13547087602444;
/** Q of the low-frequency cut. [source: as CUT_CORNER_HZ] */
export const CUT_Q = 0.5003270373238773;
/** Rate at which the standard prints its coefficients, Hz. [source: ITU-R BS.1770-4, Annex 1] */
export const PRINTED_RATE_HZ = 48000;

/** The two second-order sections of the K weighting: b0 b1 b2 a1 a2 each (a0 = 1). */
export interface KWeighting {
  readonly shelf: readonly [number, number, number, number, number];
  readonly cut: readonly [number, number, number, number, number];
}

/**
 * K weighting of ITU-R BS.1770 at any sampling rate, by bilinear transform of the analogue prototype. At 48 kHz the
 * printed coefficients come out. The printed low-frequency cut has the numerator 1 -2 1, which passes high
 * frequencies 0.043 dB too high; at other rates the numerator is scaled so that they are passed just as at 48 kHz, as
 * the standard asks. Throws RangeError unless the rate is above 4 kHz and finite.
 */
export function kWeighting(sampleRateHz: number): KWeighting {
  if (!(sampleRateHz > 4000 && Number.isFinite(sampleRateHz))) {
    throw new RangeError(
      `kWeighting: sampleRateHz must be above 4000 Hz and finite, got ${sampleRateHz}. Convert the recording first.`,
    );
  }
  const gain = exp((SHELF_GAIN_DB / 20) * log(10));
  const bandGain = exp(SHELF_BAND_EXPONENT * log(gain));
  const k = tan((Math.PI * SHELF_CORNER_HZ) / sampleRateHz);
  const a0 = 1 + k / SHELF_Q + k * k;
  const cut = cutDenominator(sampleRateHz);
  const scale = cutDenominator(PRINTED_RATE_HZ)[0] / cut[0];
  return {
    shelf: [
      (gain + (bandGain * k) / SHELF_Q + k * k) / a0,
      (2 * (k * k - gain)) / a0,
      (gain - (bandGain * k) / SHELF_Q + k * k) / a0,
      (2 * (k * k - 1)) / a0,
      (1 - k / SHELF_Q + k * k) / a0,
    ],
    cut: [scale, -2 * scale, scale, cut[1] / cut[0], cut[2] / cut[0]],
  };
}

function cutDenominator(sampleRateHz: number): readonly [number, number, number] {
  const k = tan((Math.PI * CUT_CORNER_HZ) / sampleRateHz);
  return [1 + k / CUT_Q + k * k, 2 * (k * k - 1), 1 - k / CUT_Q + k * k];
}
