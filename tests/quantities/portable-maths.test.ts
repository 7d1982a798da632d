import { describe, expect, it } from "vitest";
import * as portable from "../../src/quantities/portable-maths.js";
import { NoiseStream } from "../../src/quantities/random.js";

const COUNT = 20_000;
const stream = new NoiseStream(20, 0);

/** Largest relative error over COUNT inputs spread by `spread` (0..1 -> input). */
function worst(ours: (x: number) => number, theirs: (x: number) => number, spread: (u: number) => number): number {
  let largest = 0;
  for (let i = 0; i < COUNT; i++) {
    const x = spread((stream.uniformAt(i) + 1) / 2);
    const expected = theirs(x);
    const got = ours(x);
    if (Object.is(got, expected)) continue;
    const error = Math.abs((got - expected) / expected);
    if (!(error <= largest)) largest = error;
  }
  return largest;
}

const between = (from: number, to: number) => (u: number) => from + (to - from) * u;
const decades = (from: number, to: number) => (u: number) => 10 ** (from + (to - from) * u);
/** Both signs, over decades. */
const signedDecades = (from: number, to: number) => (u: number) =>
  (u < 0.5 ? -1 : 1) * 10 ** (from + (to - from) * ((2 * u) % 1));

describe("portable functions stand within 1e-15 of the engine's own", () => {
  const cases: [Exclude<keyof typeof portable & keyof Math, symbol>, string, (u: number) => number][] = [
    ["exp", "-700 to 700", between(-700, 700)],
    ["exp", "small", signedDecades(-20, 0)],
    ["expm1", "-40 to 700", between(-40, 700)],
    ["expm1", "-3 to 3", between(-3, 3)],
    ["expm1", "small", signedDecades(-20, 0)],
    ["log", "all decades", decades(-320, 308)],
    ["log", "near 1", between(0.5, 2)],
    ["log1p", "near 0", signedDecades(-20, -0.01)],
    ["log1p", "large", decades(0, 300)],
    ["log2", "all decades", decades(-320, 308)],
    ["log2", "near 1", between(0.5, 2)],
    ["log10", "all decades", decades(-320, 308)],
    ["log10", "near 1", between(0.5, 2)],
    ["sin", "one turn", between(-7, 7)],
    ["sin", "to 1e6", between(-1e6, 1e6)],
    ["sin", "small", signedDecades(-30, 0)],
    ["cos", "one turn", between(-7, 7)],
    ["cos", "to 1e6", between(-1e6, 1e6)],
    ["tan", "one turn", between(-7, 7)],
    ["tan", "to 1e6", between(-1e6, 1e6)],
    ["asin", "whole range", between(-1, 1)],
    ["asin", "near 1", (u) => 1 - 10 ** (-12 * u)],
    ["acos", "whole range", between(-1, 1)],
    ["acos", "near 1", (u) => 1 - 10 ** (-12 * u)],
    ["atan", "all decades", signedDecades(-20, 20)],
    ["atan", "-3 to 3", between(-3, 3)],
    ["sinh", "-700 to 700", between(-700, 700)],
    ["sinh", "small", signedDecades(-12, 1)],
    ["cosh", "-700 to 700", between(-700, 700)],
    ["cosh", "-2 to 2", between(-2, 2)],
    ["tanh", "-25 to 25", between(-25, 25)],
    ["tanh", "small", signedDecades(-18, 1)],
    ["cbrt", "all decades", signedDecades(-320, 308)],
  ];
  for (const [name, range, spread] of cases) {
    it(`${name}, ${range}`, () => {
      const ours = portable[name] as (x: number) => number;
      const theirs = Math[name] as (x: number) => number;
      expect(worst(ours, theirs, spread)).toBeLessThanOrEqual(1e-15);
    });
  }

  it("sin, cos and tan hard by the multiples of a quarter turn, to 1e6", () => {
    const near = (u: number) => {
      const k = Math.round((u - 0.5) * 1.2e6);
      const x = (k * Math.PI) / 2;
      return k % 3 === 0 ? x : x * (1 + (k % 3) * 2 ** -52);
    };
    expect(worst(portable.sin, Math.sin, near)).toBeLessThanOrEqual(1e-15);
    expect(worst(portable.cos, Math.cos, near)).toBeLessThanOrEqual(1e-15);
    expect(worst(portable.tan, Math.tan, near)).toBeLessThanOrEqual(1e-15);
  });

  it("pow over sign, size and exponent", () => {
    let largest = 0;
    for (let i = 0; i < 3 * COUNT; i++) {
      const a = stream.uniformAt(3 * i);
      const b = stream.uniformAt(3 * i + 1);
      const kind = i % 3;
      const x = kind === 0 ? 10 ** (300 * a) : kind === 1 ? 1 + a : Math.round(60 * a);
      const y = kind === 0 ? 3 * b : kind === 1 ? 300 * b : Math.round(40 * b);
      const expected = Math.pow(x, y);
      const got = portable.pow(x, y);
      if (Object.is(got, expected)) continue;
      if (Math.abs(expected) < 1e-300 && Math.abs(got - expected) < 1e-315) continue; // below the normal numbers
      const error = Math.abs((got - expected) / expected);
      if (!(error <= largest)) largest = error;
    }
    expect(largest).toBeLessThanOrEqual(1e-15);
  });

  it("atan2 and hypot over the plane", () => {
    let largest = 0;
    for (let i = 0; i < COUNT; i++) {
      const x = signedDecades(-150, 150)((stream.uniformAt(2 * i) + 1) / 2);
      const y = x * signedDecades(-12, 12)((stream.uniformAt(2 * i + 1) + 1) / 2);
      for (const [got, expected] of [
        [portable.atan2(y, x), Math.atan2(y, x)],
        [portable.hypot(x, y), Math.hypot(x, y)],
      ] as const) {
        const error = Math.abs((got - expected) / expected);
        if (!(error <= largest)) largest = error;
      }
    }
    expect(largest).toBeLessThanOrEqual(1e-15);
  });
});

describe("portable functions at their edges", () => {
  const odd = [0, -0, 1, -1, 0.5, -0.5, 2, -2, 3, -3, Infinity, -Infinity, NaN, 1e-320, 1e308, 710, -746, 1e22];
  const names = [
    "exp",
    "expm1",
    "log",
    "log1p",
    "log2",
    "log10",
    "asin",
    "acos",
    "atan",
    "sinh",
    "cosh",
    "tanh",
    "cbrt",
  ] as const;
  for (const name of names) {
    it(`${name} keeps zeros, infinities and NaN`, () => {
      for (const x of odd) {
        const expected = Math[name](x);
        const got = portable[name](x);
        if (Number.isFinite(expected) && expected !== 0)
          expect(Math.abs(got / expected - 1)).toBeLessThanOrEqual(1e-15);
        else expect(got, `${name}(${x})`).toBe(expected);
      }
    });
  }
  it("pow and atan2 take every pair of odd values as the language does", () => {
    for (const x of odd) {
      for (const y of odd) {
        for (const name of ["pow", "atan2"] as const) {
          const expected = Math[name](x, y);
          const got = portable[name](x, y);
          if (Number.isFinite(expected) && expected !== 0)
            expect(Math.abs(got / expected - 1), `${name}(${x}, ${y})`).toBeLessThanOrEqual(1e-15);
          else expect(got, `${name}(${x}, ${y})`).toBe(expected);
        }
      }
    }
  });
  it("sin, cos and tan have no value at infinity and keep the sign of zero", () => {
    for (const name of ["sin", "cos", "tan"] as const) {
      expect(portable[name](Infinity)).toBeNaN();
      expect(portable[name](NaN)).toBeNaN();
      expect(portable[name](-0)).toBe(Math[name](-0));
    }
  });
});

describe("published digits", () => {
  // Abramowitz & Stegun, Handbook of Mathematical Functions, 1964, table 1.1 (mathematical constants), from memory.
  it.each([
    ["e", portable.exp(1), 2.718281828459045],
    ["ln 2", portable.log(2), 0.6931471805599453],
    ["log10 e", portable.log10(Math.E), 0.4342944819032518],
    ["square root of 2", portable.pow(2, 0.5), 1.4142135623730951],
    ["cube root of 2", portable.cbrt(2), 1.2599210498948732],
    ["sin 1", portable.sin(1), 0.8414709848078965],
    ["cos 1", portable.cos(1), 0.5403023058681398],
    ["pi from atan", 4 * portable.atan(1), Math.PI],
  ])("%s", (_name, got, expected) => {
    expect(Math.abs(got / expected - 1)).toBeLessThanOrEqual(2.3e-16);
  });
  it("log2 is exact at every power of two and pow at every exact power", () => {
    for (let k = -1074; k <= 1023; k++) {
      expect(portable.log2(2 ** k)).toBe(k);
      expect(portable.pow(2, k)).toBe(2 ** k);
    }
    for (let k = 0; k <= 22; k++) expect(portable.pow(10, k)).toBe(Number(`1e${k}`));
  });
});
