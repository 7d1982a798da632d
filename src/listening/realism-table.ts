import type { RealismMeasures } from "./realism.js";
import type { SpectralPeak } from "./spectral-peaks.js";

/** Whether a row decides, or is only shown. */
export type RowKind = "pass/fail" | "printed";

/** A row of the realism table: a render's figures beside the recordings' and the limits. */
export interface RealismRow {
  readonly name: string;
  readonly kind: RowKind;
  readonly measured: readonly number[];
  /** The recording at 12-23.9 s and the same engine later, as the table prints them. */
  readonly recorded: readonly [readonly number[], readonly number[]];
  /** Least and greatest allowed, one pair for each figure. */
  readonly limits: readonly (readonly [number, number])[];
  /** Whether every figure lies within its limits; NaN does not. */
  readonly isWithin: boolean;
}

interface RowRule {
  readonly name: string;
  readonly kind: RowKind;
  readonly measure: (measures: RealismMeasures) => readonly number[];
  readonly recorded: readonly [readonly number[], readonly number[]];
  readonly limits: readonly (readonly [number, number])[];
}

const midOctaves = ({ octaves }: RealismMeasures): RealismMeasures["octaves"] =>
  octaves.filter(({ centreHz }) => centreHz >= 250 && centreHz <= 4000);

/**
 * Rows of the table that one render decides. [source: public-domain recording of a four-coupled locomotive working
 * uphill, 22.05 kHz, at 3.8 and 4.3 beats/s; limits set about what it measures]
 */
const rules: readonly RowRule[] = [
  { name: "crest, dB", kind: "pass/fail", measure: (m) => [m.crestDb], recorded: [[15.1], [15.8]], limits: [[14, 19]] },
  {
    name: "attack 10-90 %, ms",
    kind: "pass/fail",
    measure: (m) => [m.attackS * 1000],
    recorded: [[43], [36]],
    limits: [[25, 70]],
  },
  {
    name: "decay 90-10 %, ms",
    kind: "pass/fail",
    measure: (m) => [m.decayS * 1000],
    recorded: [[91], [66]],
    limits: [[50, 130]],
  },
  {
    name: "half-height width / period",
    kind: "pass/fail",
    measure: (m) => [m.halfWidthRatio],
    recorded: [[0.257], [0.261]],
    limits: [[0.18, 0.36]],
  },
  {
    name: "modulation depth 250/500/1k/2k/4k, dB",
    kind: "pass/fail",
    measure: (m) => midOctaves(m).map((octave) => octave.modulationDepthDb),
    recorded: [
      [10.9, 15.7, 12.4, 9.6, 8.6],
      [11.6, 18.8, 15.3, 12.7, 12.2],
    ],
    limits: [10, 12, 10, 9, 8].map((least) => [least, 40] as const),
  },
  {
    name: "PSD slope in the beat 1-7.5 kHz, dB/octave",
    kind: "pass/fail",
    measure: (m) => [m.slopeDbPerOctave],
    recorded: [[-3.8], [-2.7]],
    limits: [[-6, -1.5]],
  },
  {
    name: "level scatter beat to beat, dB SD",
    kind: "pass/fail",
    measure: (m) => [m.levelScatterDb],
    recorded: [[0.74], [1.01]],
    limits: [[0.3, 2]],
  },
  {
    name: "timing scatter of envelope peaks, ms SD",
    kind: "printed",
    measure: (m) => [m.timingScatterS * 1000],
    recorded: [[15], [10]],
    limits: [[1, 15]],
  },
  {
    name: "octave levels re 250 Hz-8 kHz sum: 250/500/1k/2k/4k, dB",
    kind: "printed",
    measure: (m) => midOctaves(m).map((octave) => octave.levelDb),
    recorded: [
      [-5.7, -4.4, -8.6, -9.5, -9.2],
      [-5.6, -5.5, -8.0, -8.5, -8.4],
    ],
    limits: [-5.65, -4.95, -8.3, -9, -8.8].map((mean) => [mean - 6, mean + 6] as const),
  },
  {
    name: "centroid above 300 Hz between beats / in the beat",
    kind: "printed",
    measure: (m) => [m.centroidBetweenHz / m.centroidInBeatHz],
    recorded: [[2394 / 1640], [2596 / 2101]],
    limits: [[0.7, Infinity]],
  },
  {
    name: "spread among the beats of a turn: ms (range), dB (SD)",
    kind: "printed",
    measure: (m) => [m.timingSpreadS * 1000, m.levelSpreadDb],
    recorded: [
      [2.5, 0.5],
      [2.5, 0.5],
    ],
    limits: [
      [0, Infinity],
      [0, Infinity],
    ],
  },
];

/**
 * The realism table of one render: limits are those of the shipped two-cylinder locomotive at 1 turn/s, working hard.
 * Not in it: the resonance row, which takes two speeds (see {@link steadyResonances}), and the row with a background.
 */
export function realismTable(measures: RealismMeasures): RealismRow[] {
  return rules.map(({ name, kind, measure, recorded, limits }) => {
    const measured = measure(measures);
    const isWithin = limits.every(([low, high], i) => measured[i]! >= low && measured[i]! <= high);
    return { name, kind, measured, recorded, limits, isWithin };
  });
}

/**
 * Change of frequency within which a resonance stands still, part of it. [common practice: definition of the realism
 * measures]
 */
export const STEADY_RATIO = 0.05;

/** Resonances of `slow` that have a partner in `fast` within 5 %: what belongs to the pipes and not to the speed. */
export function steadyResonances(slow: readonly SpectralPeak[], fast: readonly SpectralPeak[]): SpectralPeak[] {
  return slow.filter(({ frequencyHz }) =>
    fast.some((partner) => Math.abs(partner.frequencyHz / frequencyHz - 1) < STEADY_RATIO),
  );
}
