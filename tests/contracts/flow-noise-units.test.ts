import { describe, expect, it } from "vitest";
import { NoiseStream } from "../../src/quantities/random.js";
import { FlowNoise } from "../../src/sound/flow-noise.js";
import { PipeNoise } from "../../src/sound/pipe-noise.js";
import { PipeNoiseColumns } from "../../src/sound/pipe-noise-layout.js";
import { TickRamp } from "../../src/sound/tick-ramp.js";
import { WideMouth } from "../../src/sound/wide-mouth.js";
import { bandLevelDb } from "../sound/jet-measures.js";
import { gainDbAt, rms } from "../sound/signal-measures.js";
import { rowOf, type PipesState } from "../sound/steady-pipes.js";
import { allocatedBytesPerCall } from "./allocated-bytes.js";
import type { SignalUnitCase } from "./signal-unit-battery.js";
import { runSignalUnitBattery } from "./signal-unit-battery.js";

/** Two passages into a blast pipe, at any rate; seconds in place of samples. */
const SHAPE = {
  branchCount: 2,
  hasTrunk: true,
  longestDelayS: 0.05,
  mouthLoadRatio: 2.5,
  mouthLoadS: 2e-4,
  passRatios: [0.99, 0.99, 0.98],
};
const STATE: PipesState = {
  downstreamSamples: [2.7e-3, 2.9e-3, 2.1e-3],
  upstreamSamples: [3.1e-3, 3.2e-3, 2.4e-3],
  junctionAdmittance: [3.6e-5, 3.6e-5, 4.3e-5],
  portReflection: [0.6, 0.9],
  mouthReflection: [-0.5],
  mouthAdmittance: [1e-4],
};
const MOST_FRAMES = 8192;

/** `PipeNoise` with its table ready-made: one input, which is sent from both ports, the mouth, and as a leak; two outputs. */
function pipes(rate: number, samplesPerTick: number) {
  const unit = new PipeNoise(rate, samplesPerTick, SHAPE);
  const columns = new PipeNoiseColumns(0, 3, 2, 1);
  const row = rowOf(columns, STATE, 1);
  const rows = new Float64Array(row.length * MOST_FRAMES);
  for (let t = 0; t < MOST_FRAMES; t++) rows.set(row, t * row.length);
  const silence = new Float64Array(MOST_FRAMES);
  const turbulence = new Float64Array(MOST_FRAMES);
  const leaks = new Float64Array(MOST_FRAMES);
  const ports: [Float64Array, Float64Array] = [silence, silence];
  const mouths: [Float64Array] = [silence];
  const leakPa: [Float64Array, Float64Array] = [silence, silence];
  return {
    reset: () => unit.reset(),
    process: (input: Float64Array, output: Float64Array, n: number): void => {
      for (let start = 0; start < n; start += MOST_FRAMES) {
        const count = Math.min(MOST_FRAMES, n - start);
        ports[0] = ports[1] = mouths[0] = leakPa[1] = n <= MOST_FRAMES ? input : input.subarray(start);
        unit.process(rows, row.length, columns, count / samplesPerTick, ports, mouths, leakPa, turbulence, leaks);
        for (let i = 0; i < count; i++) {
          output[2 * (start + i)] = turbulence[i];
          output[2 * (start + i) + 1] = leaks[i];
        }
      }
    },
  };
}

const flowNoise = (rate: number): FlowNoise => new FlowNoise(rate, 1, new NoiseStream(5, 6));

const cases: SignalUnitCase[] = [
  {
    name: "PipeNoise",
    diesAwayS: 4,
    sameWithinDb: 0.3,
    outputsPerInput: 2,
    make: (rate) => pipes(rate, 1),
    // Of both noises, at the pipes' notes and between.
    levelsDb: (rate) => {
      const input = new Float64Array(rate);
      input[0] = 1;
      const output = new Float64Array(2 * rate);
      pipes(rate, 1).process(input, output, rate);
      const both = [0, 1].map((first) => Float64Array.from({ length: rate }, (_, i) => output[2 * i + first]));
      return both.flatMap((impulse) => [50, 120, 300, 440, 2000].map((hz) => gainDbAt(impulse, hz, rate)));
    },
  },
  {
    name: "FlowNoise",
    diesAwayS: 0,
    sameWithinDb: 0.2,
    make: (rate) => {
      const unit = flowNoise(rate);
      const rows = new Float64Array(3 * 8192);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          for (let start = 0; start < n; start += 8192) {
            const count = Math.min(8192, n - start);
            for (let i = 0; i < count; i++) {
              const flow = Math.abs(input[start + i]);
              rows[3 * i] = 1000 * flow;
              rows[3 * i + 1] = 4000 * flow;
              rows[3 * i + 2] = 400 * flow;
            }
            if (n <= 8192) unit.process(rows, 3, 0, 1, 2, count, output);
            else unit.process(rows, 3, 0, 1, 2, count, output.subarray(start));
          }
        },
      };
    },
    levelsDb: (rate) => {
      const rows = new Float64Array(3 * 40 * rate);
      for (let i = 0; i < rows.length; i += 3) rows.set([1000, 20_000, 2000], i);
      const output = new Float64Array(40 * rate);
      flowNoise(rate).process(rows, 3, 0, 1, 2, 40 * rate, output);
      return [20 * Math.log10(rms(output)), bandLevelDb(output, 1000, 2000, rate)];
    },
  },
  {
    name: "WideMouth",
    diesAwayS: 0.5,
    sameWithinDb: 0.1,
    make: (rate) => {
      const unit = new WideMouth(rate, 0.15, 343.2);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.process(input, output, n),
        changeSettings: () => unit.setMouth(0.05, 400),
        restoreSettings: () => unit.setMouth(0.15, 343.2),
      };
    },
  },
  {
    name: "TickRamp",
    diesAwayS: 0,
    sameWithinDb: 0.05,
    outputsPerInput: 4,
    make: () => {
      const unit = new TickRamp(4);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.processTicks(input, 0, 1, n, output),
      };
    },
    // Swells as slow as a beat's; it knows no rate.
    levelsDb: (rate) =>
      [5, 50, 200].map((hz) => {
        const ticks = Float64Array.from({ length: rate / 4 }, (_, i) => Math.sin((2 * Math.PI * hz * 4 * i) / rate));
        const output = new Float64Array(rate);
        new TickRamp(4).processTicks(ticks, 0, 1, ticks.length, output);
        return 20 * Math.log10(rms(output, 100));
      }),
  },
];

for (const unitCase of cases) runSignalUnitBattery(unitCase);

describe("units that work by ticks of several samples", () => {
  const signal = Float64Array.from({ length: 4800 }, (_, i) => Math.sin(i * 12.9898 + Math.sin(i) * 78.233));

  it("PipeNoise gives the same samples however many ticks are asked for at once", () => {
    const runIn = (tickCounts: readonly number[]): Float64Array => {
      const unit = pipes(48_000, 8);
      const output = new Float64Array(2 * signal.length);
      for (let start = 0, k = 0; start < signal.length; k++) {
        const count = Math.min(8 * tickCounts[k % tickCounts.length], signal.length - start);
        unit.process(signal.subarray(start, start + count), output.subarray(2 * start), count);
        start += count;
      }
      return output;
    };
    const whole = runIn([signal.length / 8]);
    for (const counts of [[1], [7], [16], [1, 16, 3, 128]]) expect(runIn(counts)).toEqual(whole);
  });

  it("FlowNoise gives the same samples however many ticks are asked for at once", () => {
    const rows = Float64Array.from({ length: 3 * 600 }, (_, i) => 1000 * Math.abs(Math.sin(i)));
    const runIn = (tickCount: number): Float64Array => {
      const unit = new FlowNoise(48_000, 8, new NoiseStream(5, 6));
      const output = new Float64Array(4800);
      for (let t = 0; t < 600; t += tickCount) {
        unit.process(rows.subarray(3 * t), 3, 0, 1, 2, Math.min(tickCount, 600 - t), output.subarray(8 * t));
      }
      return output;
    };
    for (const count of [1, 7, 16]) expect(runIn(count)).toEqual(runIn(600));
  });

  it("PipeNoise allocates less than half a byte per sample while its delays move", () => {
    const unit = new PipeNoise(48_000, 8, SHAPE);
    const columns = new PipeNoiseColumns(0, 3, 2, 1);
    const rows = new Float64Array(columns.count * 16);
    for (let t = 0; t < 16; t++) {
      const moved = { ...STATE, upstreamSamples: [3.1e-3 + 1e-5 * t, 3.2e-3 - 1e-5 * t, 2.4e-3] };
      rows.set(rowOf(columns, moved, 1), t * columns.count);
    }
    const block = signal.slice(0, 128);
    const [turbulence, leaks] = [new Float64Array(128), new Float64Array(128)];
    const [ports, mouths] = [[block, block], [block]];
    const perBlock = allocatedBytesPerCall(
      () => unit.process(rows, columns.count, columns, 16, ports, mouths, ports, turbulence, leaks),
      2000,
    );
    expect(perBlock / 128).toBeLessThan(0.5);
  });
});
