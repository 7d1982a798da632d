import { PipeNoise } from "../../src/sound/pipe-noise.js";
import { PipeNoiseColumns, type PipeNoiseShape } from "../../src/sound/pipe-noise-layout.js";

/** How the pipes of a `PipeNoise` stand; one place a pipe, branch or mouth. */
export interface PipesState {
  readonly downstreamSamples: readonly number[];
  readonly upstreamSamples: readonly number[];
  readonly junctionAdmittance?: readonly number[];
  readonly portReflection: readonly number[];
  readonly mouthReflection: readonly number[];
  readonly mouthAdmittance: readonly number[];
}

export interface Sent {
  /** Signals started at the ports, in the mouths, and as leaks; silence where not given. */
  readonly ports?: readonly (Float64Array | undefined)[];
  readonly mouths?: readonly (Float64Array | undefined)[];
  readonly leaks?: readonly (Float64Array | undefined)[];
}

export const PLAIN: Omit<PipeNoiseShape, "branchCount" | "hasTrunk"> = {
  longestDelayS: 0.1,
  mouthLoadRatio: 0,
  mouthLoadS: 0,
  passRatios: [1, 1, 1],
};

/** Turbulence and leaks that come out of pipes whose state at the end of tick t is `stateAt(t)`. */
export function heardFrom(
  sampleRateHz: number,
  samplesPerTick: number,
  shape: PipeNoiseShape,
  frameCount: number,
  stateAt: (tick: number) => PipesState,
  sent: Sent,
): { turbulence: Float64Array; leaks: Float64Array } {
  const pipes = new PipeNoise(sampleRateHz, samplesPerTick, shape);
  const columns = new PipeNoiseColumns(0, pipes.pipeCount, shape.branchCount, pipes.mouthCount);
  const tickCount = frameCount / samplesPerTick;
  const rows = new Float64Array(columns.count * tickCount);
  for (let t = 0; t < tickCount; t++) rows.set(rowOf(columns, stateAt(t), sampleRateHz), t * columns.count);
  const signals = (count: number, given: readonly (Float64Array | undefined)[] = []) =>
    Array.from({ length: count }, (_, i) => given[i] ?? new Float64Array(frameCount));
  const turbulence = new Float64Array(frameCount);
  const leaks = new Float64Array(frameCount);
  const leakPa = sent.leaks === undefined ? [] : signals(shape.branchCount, sent.leaks);
  const ports = signals(shape.branchCount, sent.ports);
  const mouths = signals(pipes.mouthCount, sent.mouths);
  pipes.process(rows, columns.count, columns, tickCount, ports, mouths, leakPa, turbulence, leaks);
  return { turbulence, leaks };
}

/** One row of the table. */
export function rowOf(columns: PipeNoiseColumns, state: PipesState, sampleRateHz: number): Float64Array {
  const row = new Float64Array(columns.count);
  const seconds = (samples: readonly number[]) => samples.map((count) => count / sampleRateHz);
  row.set(seconds(state.downstreamSamples), columns.downstreamS);
  row.set(seconds(state.upstreamSamples), columns.upstreamS);
  row.set(state.junctionAdmittance ?? state.downstreamSamples.map(() => 1), columns.junctionAdmittance);
  row.set(state.portReflection, columns.portReflection);
  row.set(state.mouthReflection, columns.mouthReflection);
  row.set(state.mouthAdmittance, columns.mouthAdmittance);
  return row;
}

/** A 1 at one sample. */
export function clickAt(frameCount: number, index = 0): Float64Array {
  const click = new Float64Array(frameCount);
  click[index] = 1;
  return click;
}
