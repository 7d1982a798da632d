import { pow } from "../quantities/portable-maths.js";
import { powerDb } from "./decibels.js";
import type { PowerSpectrum } from "./power-spectrum.js";

/** Octave ratio, 10^0.3. [source: IEC 61260-1:2014, 5.2.1, base ten] */
export const OCTAVE_RATIO = 1.9952623149688795;

/** A band of the standard series. */
export interface StandardBand {
  /** The name printed on instruments. */
  readonly nominalHz: number;
  /** Exact midband, 1000 G^(x/b). */
  readonly midbandHz: number;
  readonly lowHz: number;
  readonly highHz: number;
}

/** Names of the octave bands, Hz. [source: IEC 61260-1:2014, Annex E, from memory] */
export const OCTAVE_NAMES_HZ = [16, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000] as const;

/** Names of the third-octave bands, Hz. [source: IEC 61260-1:2014, Annex E, from memory] */
export const THIRD_OCTAVE_NAMES_HZ = [
  12.5, 16, 20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000, 1250, 1600, 2000,
  2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000, 20000,
] as const;

/** The octave bands of 16 Hz to 16 kHz, base ten. */
export function octaveBands(): StandardBand[] {
  return OCTAVE_NAMES_HZ.map((nominalHz, i) => standardBand(nominalHz, i - OCTAVE_NAMES_HZ.indexOf(1000), 1));
}

/** The third-octave bands of 12.5 Hz to 20 kHz, base ten. */
export function thirdOctaveBands(): StandardBand[] {
  return THIRD_OCTAVE_NAMES_HZ.map((nominalHz, i) =>
    standardBand(nominalHz, i - THIRD_OCTAVE_NAMES_HZ.indexOf(1000), 3),
  );
}

function standardBand(nominalHz: number, step: number, bandsPerOctave: number): StandardBand {
  const midbandHz = 1000 * pow(OCTAVE_RATIO, step / bandsPerOctave);
  const halfBand = pow(OCTAVE_RATIO, 1 / (2 * bandsPerOctave));
  return { nominalHz, midbandHz, lowHz: midbandHz / halfBand, highHz: midbandHz * halfBand };
}

/**
 * Mean square between two frequencies (square-edged band). A line on the lower edge counts, one on the upper edge
 * does not; of a density bin cut by an edge the part inside counts.
 */
export function bandPower(spectrum: PowerSpectrum, lowHz: number, highHz: number): number {
  const { binHz, powers, kind } = spectrum;
  let sum = 0;
  for (let k = 0; k < powers.length; k++) {
    const hz = k * binHz;
    if (kind === "lines") {
      if (hz >= lowHz && hz < highHz) sum += powers[k]!;
      continue;
    }
    const from = Math.max(lowHz, k === 0 ? 0 : hz - binHz / 2);
    const to = Math.min(highHz, k === powers.length - 1 ? hz : hz + binHz / 2);
    const width = k === 0 || k === powers.length - 1 ? binHz / 2 : binHz;
    if (to > from) sum += (powers[k]! * (to - from)) / width;
  }
  return sum;
}

/** A band and its level, dB re full scale squared. */
export interface BandLevel {
  readonly band: StandardBand;
  readonly levelDb: number;
}

/** Levels of all `bands` that lie wholly below the highest frequency of the spectrum; an empty band is -Infinity. */
export function bandLevels(spectrum: PowerSpectrum, bands: readonly StandardBand[]): BandLevel[] {
  const topHz = (spectrum.powers.length - 1) * spectrum.binHz;
  return bands
    .filter((band) => band.highHz <= topHz)
    .map((band) => ({ band, levelDb: powerDb(bandPower(spectrum, band.lowHz, band.highHz)) }));
}
