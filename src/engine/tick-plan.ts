import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K } from "../quantities/constants.js";
import type { EngineDescription, PipeDescription } from "./engine-description.js";

/** How often the fluid engine is stepped, and into how many cells each pipe is cut. */
export interface TickPlan {
  /** Audio samples to one tick; 1 where `ticksPerSample` is above 1. */
  readonly samplesPerTick: number;
  /** Ticks to one audio sample; above 1 only for pipes too short for one tick a sample. */
  readonly ticksPerSample: number;
  readonly stepS: number;
  /** The shortest pipe that can be meshed at this step; shorter ones are taken as this long. */
  readonly leastLengthM: number;
  readonly warnings: readonly string[];
}

/** Specific gas constant used to estimate wave speeds, J/(kg K). [source: IAPWS R7-97(2012), steam 461.526] */
export const roughGasConstantJPerKgK = { steam: 461.526, air: DRY_AIR_GAS_CONSTANT_J_PER_KG_K } as const;
/** Isentropic exponent used to estimate wave speeds. [source: IAPWS R7-97 dry vapour near 1.3; air 1.4] */
export const roughExponent = { steam: 1.3, air: 1.4 } as const;
// A wave carried by the fastest flow outruns the gas at rest by about this much.
// [tuned: the fastest waves of engines from a 12 mm model to a locomotive at 220 rpm, cells of 80 mm, 2026-11]
const designSpeedRatio = 1.4;
/**
 * Cells an audio wave may cross in one tick at the design speed.
 * [tuned: flow, pressures and octaves to 500 Hz of the same engines against finely divided pipes, and the time taken, 2026-11]
 */
export const designCourantNumber = 0.85;
/** Fewest cells in a pipe: one of them has both the neighbours that a third-order face needs. [source: Leonard 1979, from memory] */
export const leastCellCount = 3;
/** Cells the shortest pipe should have before the step is made shorter for it. [tuned: three cells ring at the cells' own pitch, six do not, 2026-11-25] */
export const wantedCellCount = 6;
const mostTicksPerSample = 4;

/** The fastest wave expected in the machine's pipes, m/s. */
export function designWaveSpeedMPerS(description: EngineDescription): number {
  const fluid = description.workingFluid;
  return (
    designSpeedRatio *
    Math.sqrt(roughExponent[fluid] * roughGasConstantJPerKgK[fluid] * description.boiler.temperatureK)
  );
}

/** Cell count of a pipe at a step. */
export function cellCountFor(lengthM: number, waveSpeedMPerS: number, stepS: number): number {
  const least = (waveSpeedMPerS * stepS) / designCourantNumber;
  return Math.max(leastCellCount, Math.floor(lengthM / least + 1e-9));
}

/**
 * The largest step that `fidelity` allows and every pipe can be meshed at. Fidelity 4 ticks at about 12 kHz whatever the
 * audio rate, 2 at 24 kHz, 1 at 48 kHz.
 */
export function planTicks(description: EngineDescription, sampleRateHz: number, fidelity: 1 | 2 | 4): TickPlan {
  const speed = designWaveSpeedMPerS(description);
  const pipes: readonly (readonly [string, PipeDescription | null])[] = [
    ["exhaust.passage", description.exhaust.passage],
    ["exhaust.blastPipe", description.exhaust.blastPipe],
  ];
  const shortest = pipes.reduce((least, [, pipe]) => Math.min(least, pipe?.lengthM ?? Infinity), Infinity);
  const needed = (stepS: number, cells: number) => (cells * speed * stepS) / designCourantNumber;
  let samplesPerTick = Math.max(1, Math.round((sampleRateHz * fidelity) / 48_000));
  let ticksPerSample = 1;
  while (samplesPerTick > 1 && shortest < needed(samplesPerTick / sampleRateHz, wantedCellCount)) {
    samplesPerTick--;
  }
  while (
    samplesPerTick === 1 &&
    ticksPerSample < mostTicksPerSample &&
    Number.isFinite(shortest) &&
    shortest < needed(1 / (sampleRateHz * ticksPerSample), leastCellCount)
  ) {
    ticksPerSample *= 2;
  }
  const stepS = samplesPerTick / (sampleRateHz * ticksPerSample);
  const leastLengthM = needed(stepS, leastCellCount);
  const warnings = pipes
    .filter(([, pipe]) => pipe !== null && pipe.lengthM < leastLengthM * (1 - 1e-9))
    .map(
      ([name, pipe]) =>
        `${name} of ${(1000 * pipe!.lengthM).toFixed(1)} mm is shorter than the pipe model resolves; ` +
        `taken as ${(1000 * leastLengthM).toFixed(1)} mm.`,
    );
  return { samplesPerTick, ticksPerSample, stepS, leastLengthM, warnings };
}
