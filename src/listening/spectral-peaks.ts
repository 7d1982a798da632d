import { powerDb } from "./decibels.js";
import type { PowerSpectrum } from "./power-spectrum.js";
import { prominentMaxima } from "./prominent-maxima.js";

/** A maximum of a spectrum. */
export interface SpectralPeak {
  /** Interpolated between bins by a parabola over the level. */
  readonly frequencyHz: number;
  readonly levelDb: number;
  readonly prominenceDb: number;
}

/** What to look for. */
export interface PeakSearch {
  readonly lowHz: number;
  readonly highHz: number;
  readonly leastProminenceDb: number;
}

/**
 * Maxima of a spectrum between `lowHz` and `highHz`, by frequency. Prominence is counted within that range. With a
 * Hann window the frequency of a steady tone is found within 0.02 of a bin. (The parabola suits the near-Gaussian
 * shape of its main lobe.)
 */
export function spectralPeaks(spectrum: PowerSpectrum, search: PeakSearch): SpectralPeak[] {
  const { binHz, powers } = spectrum;
  const first = Math.max(0, Math.ceil(search.lowHz / binHz));
  const last = Math.min(powers.length - 1, Math.floor(search.highHz / binHz));
  const levelsDb = Float64Array.from(powers.subarray(first, last + 1), powerDb);
  return prominentMaxima(levelsDb, search.leastProminenceDb, "line").map((maximum) => ({
    frequencyHz: (first + maximum.place) * binHz,
    levelDb: maximum.levelDb,
    prominenceDb: maximum.prominenceDb,
  }));
}
