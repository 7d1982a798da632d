import { describe, expect, it } from "vitest";
import { gainDbAt, rms } from "../sound/signal-measures.js";
import { allocatedBytesPerCall } from "./allocated-bytes.js";

/** A signal unit behind one input and one output. */
export interface SignalUnit {
  reset(): void;
  /** `output` holds `outputsPerInput` samples for each of the input. */
  process(input: Float64Array, output: Float64Array, frameCount: number): void;
  /** Other settings, so different that the sound differs; and the first ones again. */
  changeSettings?(): void;
  restoreSettings?(): void;
}

export interface SignalUnitCase {
  readonly name: string;
  readonly make: (sampleRateHz: number) => SignalUnit;
  /** 1 where not said. */
  readonly outputsPerInput?: number;
  /** Seconds of silence until the output is 200 dB below what it was. */
  readonly diesAwayS: number;
  /** What must be the same at 44.1, 48 and 96 kHz, in dB, by default the gains at 50, 440 and 2000 Hz; and how nearly. */
  readonly levelsDb?: (sampleRateHz: number) => number[];
  readonly sameWithinDb: number;
}

const BLOCKS = [1, 7, 64, 128, 312];

/** Tells noise by its index: the same wherever a block begins; never 0. */
function testSignal(length: number, scale = 1): Float64Array {
  return Float64Array.from({ length }, (_, i) => scale * (0.6 + 0.5 * Math.sin(i * 12.9898 + Math.sin(i) * 78.233)));
}

function run(unit: SignalUnit, input: Float64Array, ratio: number, block = input.length): Float64Array {
  const output = new Float64Array(input.length * ratio);
  for (let start = 0; start < input.length; start += block) {
    const end = Math.min(input.length, start + block);
    unit.process(input.subarray(start, end), output.subarray(start * ratio, end * ratio), end - start);
  }
  return output;
}

const same = (a: Float64Array, b: Float64Array): boolean => a.every((value, i) => Object.is(value, b[i]));

/** The contract of STYLE.md for every signal unit. */
export function runSignalUnitBattery(unitCase: SignalUnitCase): void {
  const { name, make } = unitCase;
  const ratio = unitCase.outputsPerInput ?? 1;
  const signal = testSignal(5000);

  describe(`${name} keeps the contract of a signal unit`, () => {
    it("reset equals fresh", () => {
      const used = make(48000);
      run(used, testSignal(3000, 7), ratio);
      used.reset();
      expect(same(run(used, signal, ratio), run(make(48000), signal, ratio))).toBe(true);
    });

    if (make(48000).changeSettings !== undefined) {
      it("settings survive reset and take effect", () => {
        const changed = make(48000);
        changed.changeSettings?.();
        changed.reset();
        const once = run(changed, signal, ratio);
        run(changed, testSignal(3000, 7), ratio);
        changed.reset();
        expect(same(run(changed, signal, ratio), once)).toBe(true);
        expect(same(once, run(make(48000), signal, ratio))).toBe(false);
      });

      it("a change of setting allocates nothing but the numbers that it hands over: under 100 bytes", () => {
        const unit = make(48000);
        const perPair = allocatedBytesPerCall(() => {
          unit.changeSettings?.();
          unit.restoreSettings?.();
        }, 5000);
        expect(perPair / 2).toBeLessThan(100);
      });

      it("a setting changed and restored leaves the state alone", () => {
        const touched = make(48000);
        const left = make(48000);
        run(touched, signal, ratio);
        run(left, signal, ratio);
        touched.changeSettings?.();
        touched.restoreSettings?.();
        expect(same(run(touched, signal, ratio), run(left, signal, ratio))).toBe(true);
      });
    }

    it.each(BLOCKS)("gives the same samples in blocks of %d", (block) => {
      expect(same(run(make(48000), signal, ratio, block), run(make(48000), signal, ratio))).toBe(true);
    });

    it("gives the same samples when the blocks vary", () => {
      const unit = make(48000);
      const output = new Float64Array(signal.length * ratio);
      let start = 0;
      for (let k = 0; start < signal.length; k++) {
        const end = Math.min(signal.length, start + BLOCKS[(k * 3) % 5]);
        unit.process(signal.subarray(start, end), output.subarray(start * ratio, end * ratio), end - start);
        start = end;
      }
      expect(same(output, run(make(48000), signal, ratio))).toBe(true);
    });

    it("lets silence die away, without a crawl through denormal numbers", () => {
      for (const scale of [1, 1e6, 1e-6]) {
        const unit = make(48000);
        const loud = run(
          unit,
          testSignal(4800, scale).map((x, i) => (i % 2 === 0 ? x : -x)),
          ratio,
        );
        run(unit, testSignal(4800, scale), ratio);
        const rest = run(unit, new Float64Array(Math.ceil(unitCase.diesAwayS * 48000) + 9600), ratio);
        expect(loud.every(Number.isFinite)).toBe(true);
        expect(rest.every(Number.isFinite)).toBe(true);
        expect(rms(rest, rest.length - 4800)).toBeLessThanOrEqual(Math.max(1e-10 * rms(loud), 1e-28));
        expect(rest.some((x) => x !== 0 && Math.abs(x) < 2.3e-308)).toBe(false);
      }
    });

    it("leaves silence silent from the start", () => {
      for (const x of run(make(48000), new Float64Array(2000), ratio)) expect(Math.abs(x)).toBeLessThan(1e-26);
    });

    it("is not touched by another of its kind", () => {
      const one = make(48000);
      const other = make(48000);
      const alone = run(make(48000), signal, ratio);
      const output = new Float64Array(signal.length * ratio);
      const scratch = new Float64Array(100 * ratio);
      for (let start = 0; start < signal.length; start += 100) {
        one.process(signal.subarray(start, start + 100), output.subarray(start * ratio, (start + 100) * ratio), 100);
        other.process(testSignal(100, 50), scratch, 100);
        if (start === 2000) other.reset();
      }
      expect(same(output, alone)).toBe(true);
    });

    it("allocates less than half a byte per sample", () => {
      const unit = make(48000);
      const block = testSignal(128);
      const output = new Float64Array(128 * ratio);
      const perBlock = allocatedBytesPerCall(() => unit.process(block, output, 128), 2000);
      expect(perBlock / 128).toBeLessThan(0.5);
    });

    it("sounds the same at 44.1, 48 and 96 kHz", () => {
      const levels = [44100, 48000, 96000].map((rate) => {
        if (unitCase.levelsDb !== undefined) return unitCase.levelsDb(rate);
        const input = new Float64Array(rate);
        input[0] = 1;
        const impulse = run(make(rate), input, ratio);
        return [50, 440, 2000].map((hz) => gainDbAt(impulse, hz, rate));
      });
      for (let k = 0; k < levels[0].length; k++) {
        const all = levels.map((level) => level[k]);
        expect(Math.max(...all) - Math.min(...all)).toBeLessThan(unitCase.sameWithinDb);
      }
    });
  });
}
