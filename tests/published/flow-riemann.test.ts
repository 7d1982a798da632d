import { describe, expect, it } from "vitest";
import type { FiniteVolumePipe } from "../../src/flow/finite-volume-pipe.js";
import {
  allFinite,
  closeLeftEnd,
  closeRightEnd,
  makePipe,
  perfectGas,
  readCell,
  setCell,
} from "../flow/perfect-gas.js";

// Published figures are in units of p = rho = 1; pascals and kg/m3 are those times `unitPa` and 1, speeds times its root.
const unitPa = 1e5;
const unitMPerS = Math.sqrt(unitPa);
const cellCount = 800;

interface Side {
  readonly density: number;
  readonly velocity: number;
  readonly pressure: number;
}

/** Bursts a diaphragm in the middle of a tube 2 long and reads the middle of the star region on both sides. */
function burst(k: number, left: Side, right: Side, time: number, fastest: number) {
  const gas = perfectGas(k, 287);
  const dx = 2 / cellCount;
  const steps = Math.ceil(time / ((0.8 * dx) / fastest));
  const stepS = time / steps / unitMPerS;
  const pipe = makePipe(gas, { lengthM: 2, boreM: 0.1, cellCount, stepS });
  pipe.reset(unitPa, 300, 0);
  for (let i = 0; i < cellCount; i++) {
    const side = i < cellCount / 2 ? left : right;
    setCell(pipe, gas, i, side.density, side.velocity * unitMPerS, side.pressure * unitPa);
  }
  for (let i = 0; i < steps; i++) {
    pipe.process();
    closeLeftEnd(pipe);
    closeRightEnd(pipe);
  }
  const at = (speed: number) => Math.round((1 + speed * time) / dx - 0.5);
  const mean = (from: number, to: number) => {
    let density = 0;
    let pressure = 0;
    let velocity = 0;
    const first = at(from);
    const last = at(to);
    for (let i = first; i <= last; i++) {
      const cell = readCell(pipe, gas, i);
      density += cell.densityKgPerM3;
      pressure += cell.pressurePa / unitPa;
      velocity += cell.velocityMPerS / unitMPerS;
    }
    const count = last - first + 1;
    return { density: density / count, pressure: pressure / count, velocity: velocity / count };
  };
  return { pipe, mean, profile: (speed: number) => readCell(pipe, gas, at(speed)) };
}

/** Where, in units of speed, the pressure passes the middle of a step. */
function edgeSpeed(pipe: FiniteVolumePipe, k: number, levelPa: number, time: number): number {
  const gas = perfectGas(k, 287);
  for (let i = cellCount - 1; i > 0; i--) {
    const here = readCell(pipe, gas, i).pressurePa;
    const next = readCell(pipe, gas, i - 1).pressurePa;
    if (here <= levelPa && next > levelPa) {
      const x = ((i - (levelPa - here) / (next - here) + 0.5) * 2) / cellCount;
      return (x - 1) / time;
    }
  }
  return NaN;
}

describe("a diaphragm bursts in a tube", () => {
  it("Sod 1978: p* .303130, u* .927453, shock 1.752156, densities either side of the contact", () => {
    const time = 0.45;
    const got = burst(
      1.4,
      { density: 1, velocity: 0, pressure: 1 },
      { density: 0.125, velocity: 0, pressure: 0.1 },
      time,
      2.2,
    );
    const left = got.mean(0.1, 0.6);
    const right = got.mean(1.25, 1.6);
    const shock = edgeSpeed(got.pipe, 1.4, 0.5 * (0.30313 + 0.1) * unitPa, time);
    console.log(
      `Sod: p* ${left.pressure.toFixed(5)} ${right.pressure.toFixed(5)}, u* ${left.velocity.toFixed(5)} ` +
        `${right.velocity.toFixed(5)}, rho ${left.density.toFixed(5)} ${right.density.toFixed(5)}, shock ${shock.toFixed(4)}`,
    );
    for (const side of [left, right]) {
      expect(Math.abs(side.pressure / 0.30313 - 1)).toBeLessThan(0.001);
      expect(Math.abs(side.velocity / 0.927453 - 1)).toBeLessThan(0.001);
    }
    expect(Math.abs(left.density / 0.426319 - 1)).toBeLessThan(0.002);
    expect(Math.abs(right.density / 0.265574 - 1)).toBeLessThan(0.002);
    expect(Math.abs(shock / 1.752156 - 1)).toBeLessThan(0.003);
    // Inside the rarefaction fan, x/t = u - c: u = 2/(k+1) (c0 + x/t). [source: Riemann; Toro]
    for (const speed of [-1, -0.7, -0.4]) {
      const u = (2 / 2.4) * (Math.sqrt(1.4) + speed);
      expect(Math.abs(got.profile(speed).velocityMPerS / unitMPerS - u)).toBeLessThan(0.01 * 0.927);
    }
  });

  it("2:1, k = 1.3, equal temperatures: p* 1.403955, u* .304100, shock 1.328363", () => {
    const time = 0.5;
    const got = burst(
      1.3,
      { density: 2, velocity: 0, pressure: 2 },
      { density: 1, velocity: 0, pressure: 1 },
      time,
      1.5,
    );
    const left = got.mean(-0.5, 0.1);
    const right = got.mean(0.5, 1.2);
    const shock = edgeSpeed(got.pipe, 1.3, 1.202 * unitPa, time);
    console.log(
      `2:1: p* ${left.pressure.toFixed(6)} ${right.pressure.toFixed(6)}, u* ${left.velocity.toFixed(6)} ` +
        `${right.velocity.toFixed(6)}, shock ${shock.toFixed(4)}`,
    );
    for (const side of [left, right]) {
      expect(Math.abs(side.pressure / 1.403955 - 1)).toBeLessThan(0.001);
      expect(Math.abs(side.velocity / 0.3041 - 1)).toBeLessThan(0.003);
    }
    expect(Math.abs(shock / 1.328363 - 1)).toBeLessThan(0.003);
  });

  // Far beyond any exhaust: pressure ratios to 100,000. [source: Toro, Riemann Solvers, tests 3 and 4]
  it.each([
    ["Toro 3, 100,000:1", [1, 0, 1000], [1, 0, 0.01], 460.894, 19.5975, [2, 18], 0.024, 40],
    [
      "Toro 4, streams colliding",
      [5.99924, 19.5975, 460.894],
      [5.99242, -6.19633, 46.095],
      1691.65,
      8.68977,
      [3, 11],
      0.03,
      40,
    ],
  ] as const)("%s: p* and u* within 1 %%", (name, l, r, pressure, velocity, window, time, fastest) => {
    const side = ([density, velocity, pressure]: readonly number[]) => ({ density, velocity, pressure });
    const got = burst(1.4, side(l), side(r), time, fastest);
    const middle = got.mean(window[0], window[1]);
    console.log(
      `${name}: p* ${middle.pressure.toFixed(3)}, u* ${middle.velocity.toFixed(4)}, held ${got.pipe.rescueCount}`,
    );
    expect(Math.abs(middle.pressure / pressure - 1)).toBeLessThan(0.01);
    expect(Math.abs(middle.velocity / velocity - 1)).toBeLessThan(0.01);
  });

  it("Toro 2, gas torn apart to p* .00189: symmetrical, a near vacuum in the middle, never negative", () => {
    const got = burst(
      1.4,
      { density: 1, velocity: -2, pressure: 0.4 },
      { density: 1, velocity: 2, pressure: 0.4 },
      0.3,
      3.5,
    );
    const middle = got.mean(-0.1, 0.1);
    console.log(
      `Toro 2: p* ${middle.pressure.toFixed(5)}, rho* ${middle.density.toFixed(4)}, held ${got.pipe.rescueCount}`,
    );
    expect(middle.pressure).toBeGreaterThan(0);
    expect(middle.pressure).toBeLessThan(0.006);
    expect(Math.abs(middle.velocity)).toBeLessThan(0.01);
    expect(allFinite(got.pipe.state)).toBe(true);
  });
});

/** Exact solution of a burst between gases at rest of equal temperature, by bisection. [source: textbook shock and fan relations] */
function exactStar(k: number, ratio: number): { pressure: number; velocity: number } {
  const c = Math.sqrt(k);
  const fan = (p: number) => ((2 * c) / (k - 1)) * (1 - (p / ratio) ** ((k - 1) / (2 * k)));
  const shock = (p: number) => (p - 1) * Math.sqrt(2 / (k + 1) / (p + (k - 1) / (k + 1)));
  let low = 1;
  let high = ratio;
  for (let i = 0; i < 100; i++) {
    const middle = 0.5 * (low + high);
    if (fan(middle) > shock(middle)) low = middle;
    else high = middle;
  }
  return { pressure: low, velocity: fan(low) };
}

describe("a strong burst between gases at rest of one temperature", () => {
  it.each([
    [1.3, 5, 0.002],
    [1.3, 17, 0.003],
    [1.4, 17, 0.003],
    [1.4, 60, 0.01],
  ])("k = %s, %s:1 within %s, nothing held", (k, ratio, tolerance) => {
    const star = exactStar(k, ratio);
    const shockSpeed = Math.sqrt((k - 1) / 2 + ((k + 1) / 2) * star.pressure);
    const time = 0.8 / shockSpeed;
    const got = burst(
      k,
      { density: ratio, velocity: 0, pressure: ratio },
      { density: 1, velocity: 0, pressure: 1 },
      time,
      star.velocity + Math.sqrt(k * star.pressure * 1.2),
    );
    const middle = got.mean(star.velocity * 0.5, star.velocity * 1.08);
    console.log(
      `${ratio}:1, k ${k}: p* ${middle.pressure.toFixed(4)} against ${star.pressure.toFixed(4)}, ` +
        `u* ${middle.velocity.toFixed(4)} against ${star.velocity.toFixed(4)}`,
    );
    expect(Math.abs(middle.pressure / star.pressure - 1)).toBeLessThan(tolerance);
    expect(Math.abs(middle.velocity / star.velocity - 1)).toBeLessThan(tolerance);
    expect(got.pipe.rescueCount).toBe(0);
  });
});
