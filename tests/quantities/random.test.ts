import { describe, expect, it } from "vitest";
import { NoisePeriod, NoiseStream, UNIFORM_TO_UNIT_VARIANCE } from "../../src/quantities/random.js";

const COUNT = 200_000;

function draw(seed: number, streamIndex: number, firstIndex = 0): Float64Array {
  const values = new Float64Array(COUNT);
  new NoiseStream(seed, streamIndex).fill(firstIndex, values, COUNT);
  return values;
}

function correlation(a: Float64Array, b: Float64Array, lag: number): number {
  let sum = 0;
  for (let i = 0; i + lag < COUNT; i++) sum += a[i] * b[i + lag];
  return (3 * sum) / (COUNT - lag); // the variance of each is 1/3
}

// Bounds: 5 standard errors of the exact uniform law on -1..1 (variance 1/3, fourth moment 1/5).
const FIVE_ERRORS = 5 / Math.sqrt(COUNT);

describe("a noise stream", () => {
  const places = [0, 123_456_789_012, -50_000, 2 ** 32 - 1000, -(2 ** 52), 2 ** 52 - COUNT];
  it.each(places)("is uniform and white from index %d", (firstIndex) => {
    const values = draw(7, 3, firstIndex);
    let mean = 0;
    let square = 0;
    let outside = 0;
    const tenths = new Array<number>(10).fill(0);
    for (const value of values) {
      mean += value / COUNT;
      square += (value * value) / COUNT;
      if (!(Math.abs(value) < 1)) outside++;
      tenths[Math.floor((value + 1) * 5)]++;
    }
    expect(outside).toBe(0);
    expect(Math.abs(mean)).toBeLessThan(FIVE_ERRORS / Math.sqrt(3));
    expect(Math.abs(square - 1 / 3)).toBeLessThan(FIVE_ERRORS * Math.sqrt(1 / 5 - 1 / 9));
    for (const count of tenths) expect(Math.abs(count / COUNT - 0.1)).toBeLessThan(FIVE_ERRORS * 0.3);
    for (const lag of [1, 2, 3, 4, 8, 16, 64, 128, 256, 1024, 4096, 65536]) {
      expect(Math.abs(correlation(values, values, lag)), `lag ${lag}`).toBeLessThan(
        (FIVE_ERRORS * Math.sqrt(COUNT)) / Math.sqrt(COUNT - lag),
      );
    }
  });

  it("has unit variance times the stated factor", () => {
    let square = 0;
    for (const value of draw(1, 0)) square += (value * UNIFORM_TO_UNIT_VARIANCE) ** 2 / COUNT;
    expect(Math.abs(square - 1)).toBeLessThan(0.01);
  });

  it("has nothing to do with another stream, seed or shift of the index", () => {
    const base = draw(7, 0);
    for (const [seed, streamIndex] of [
      [7, 1],
      [7, 2],
      [8, 0],
      [8, 1],
      [7 + 2 ** 32, 0],
      [-7, 0],
    ] as const) {
      const other = draw(seed, streamIndex);
      for (const lag of [0, 1, 7]) {
        expect(Math.abs(correlation(base, other, lag)), `${seed}/${streamIndex} lag ${lag}`).toBeLessThan(
          FIVE_ERRORS * 1.001,
        );
      }
    }
    // The same numbers in another order would pass the correlation above: no value of one stream may recur in the other
    // more often than chance has it (two lists of 2e5 values of 32 bits share about 9).
    const seen = new Set(base);
    let shared = 0;
    for (const value of draw(7, 1)) if (seen.has(value)) shared++;
    expect(shared).toBeLessThan(40);
  });

  it("changes about half of its bits with one bit of seed, stream or index", () => {
    const bitsOf = (value: number) => Math.round((value + 1) * 2 ** 31 - 0.5) >>> 0;
    const ones = (x: number) => x.toString(2).replaceAll("0", "").length;
    for (let bit = 0; bit < 50; bit++) {
      let changed = 0;
      for (let i = 0; i < 400; i++) {
        const flipped = Math.floor(i / 2 ** bit) % 2 === 0 ? i + 2 ** bit : i - 2 ** bit;
        const stream = new NoiseStream(11, 5);
        changed += ones((bitsOf(stream.uniformAt(i)) ^ bitsOf(stream.uniformAt(flipped))) >>> 0) / 400;
      }
      expect(Math.abs(changed - 16), `index bit ${bit}`).toBeLessThan(1);
    }
    for (let bit = 0; bit < 31; bit++) {
      let bySeed = 0;
      let byStream = 0;
      for (let i = 0; i < 400; i++) {
        const base = bitsOf(new NoiseStream(i, i).uniformAt(99));
        bySeed += ones((base ^ bitsOf(new NoiseStream((i ^ (1 << bit)) >>> 0, i).uniformAt(99))) >>> 0) / 400;
        byStream += ones((base ^ bitsOf(new NoiseStream(i, (i ^ (1 << bit)) >>> 0).uniformAt(99))) >>> 0) / 400;
      }
      expect(Math.abs(bySeed - 16), `seed bit ${bit}`).toBeLessThan(1);
      expect(Math.abs(byStream - 16), `stream bit ${bit}`).toBeLessThan(1);
    }
  });

  it.each([1, 7, 64, 128, 312])("gives the same samples in blocks of %d as one by one", (block) => {
    const first = 2 ** 32 - 700; // the blocks cross the edge of the lower word
    const stream = new NoiseStream(42, 9);
    const output = new Float64Array(block);
    for (let at = first; at < first + 1400; at += block) {
      stream.fill(at, output, block);
      for (let i = 0; i < block; i++) expect(output[i]).toBe(stream.uniformAt(at + i));
    }
    for (let at = -700; at < 700; at += block) {
      stream.fill(at, output, block);
      for (let i = 0; i < block; i++) expect(output[i]).toBe(stream.uniformAt(at + i));
    }
  });

  it("does not repeat after 2^32 positions", () => {
    const stream = new NoiseStream(1, 0);
    let same = 0;
    for (let i = 0; i < 1000; i++) if (stream.uniformAt(i) === stream.uniformAt(i + 2 ** 32)) same++;
    expect(same).toBe(0);
  });

  it("refuses a seed or stream that is not a whole number", () => {
    for (const bad of [NaN, 0.5, Infinity]) {
      expect(() => new NoiseStream(bad, 0)).toThrow(RangeError);
      expect(() => new NoiseStream(0, bad)).toThrow(RangeError);
    }
    expect(() => new NoiseStream(0, -1)).toThrow("streamIndex must be a whole number");
  });
});

describe("a noise period", () => {
  it.each([1, 7, 1000, 65_537, 2 ** 32 + 12_345])(
    "of %d repeats all of its streams, counted from 0 either way",
    (samples) => {
      const period = new NoisePeriod();
      const [one, other] = [new NoiseStream(7, 3, period), new NoiseStream(7, 4, period)];
      const count = 3000;
      const [plain, here, there] = [new Float64Array(count), new Float64Array(count), new Float64Array(count)];
      new NoiseStream(7, 3).fill(0, plain, count);
      period.samples = samples;
      for (const start of [0, -2 * samples, 5 * samples]) {
        one.fill(start, here, count);
        one.fill(start + samples - 1000, there, count);
        for (let i = 0; i < count; i++) {
          expect(here[i]).toBe(plain[i % samples]);
          expect(one.uniformAt(start + i)).toBe(here[i]);
          if (i >= 1000) expect(there[i]).toBe(plain[(i - 1000) % samples]);
        }
      }
      expect(other.uniformAt(samples)).toBe(other.uniformAt(0));
      expect(other.uniformAt(0)).not.toBe(one.uniformAt(0));
      period.samples = 0;
      one.fill(0, here, count);
      expect(here).toEqual(plain);
    },
  );

  it("ends steps of several samples where the loop ends", () => {
    const period = new NoisePeriod();
    const stream = new NoiseStream(1, 0, period);
    const steps = (position: number) => stream.samplesToStep(position, 8);
    expect([0, 1, 7, 8, -1].map(steps)).toEqual([8, 7, 1, 8, 1]);
    period.samples = 20;
    expect([0, 7, 8, 16, 18, 19, 20, 21, 36, -1, -4, -12].map(steps)).toEqual([8, 1, 8, 4, 2, 1, 8, 7, 4, 1, 4, 8]);
  });
});
