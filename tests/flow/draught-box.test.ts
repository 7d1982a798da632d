import { describe, expect, it } from "vitest";
import { DraughtBox } from "../../src/flow/draught-box.js";

const density = 0.617;
const stiffnessPa = 1.38 * 101_325;

function ringHz(box: DraughtBox, stepS: number, count: number): number {
  const crossings: number[] = [];
  let before = 0;
  for (let i = 0; i < count; i++) {
    box.process(i === 0 ? 1e-6 : 0);
    const now = box.risePa;
    if (before < 0 && now >= 0) crossings.push(i - now / (now - before));
    before = now;
  }
  return (crossings.length - 1) / ((crossings[crossings.length - 1] - crossings[0]) * stepS);
}

describe("a smokebox under its chimney", () => {
  // f = (c / 2 pi) sqrt(A / (V L')), L' with its end corrections. [source: Rayleigh, Helmholtz resonator]
  it.each([
    [3, 0.4, 1.49],
    [1.5, 0.3, 1.2],
    [0.2, 0.1, 0.6],
  ])("of %s m3 with a %s m chimney sounds as Helmholtz says", (volumeM3, boreM, lengthM) => {
    const stepS = 1 / 12_000;
    const area = (Math.PI / 4) * boreM * boreM;
    const box = new DraughtBox(stepS, volumeM3, stiffnessPa, area, lengthM, density, 1);
    const expected = Math.sqrt((stiffnessPa / density) * (area / (volumeM3 * lengthM))) / (2 * Math.PI);
    const got = ringHz(box, stepS, 24_000);
    console.log(`box ${volumeM3} m3: ${got.toFixed(4)} Hz against ${expected.toFixed(4)}`);
    expect(Math.abs(got / expected - 1)).toBeLessThan(0.005);
  });

  it("of 1 L with a neck of 10 mm radius and 50 mm sounds at the published 136.92 Hz", () => {
    // [source: Rayleigh, no end correction, c 343.2 m/s]
    const stepS = 1 / 48_000;
    const area = Math.PI * 1e-4;
    const box = new DraughtBox(stepS, 1e-3, 1.2041 * 343.2 ** 2, area, 0.05, 1.2041, 1);
    expect(Math.abs(ringHz(box, stepS, 48_000) / 136.92 - 1)).toBeLessThan(0.005);
  });

  it("passes in the mean what is brought in, and stands higher by what its loss takes", () => {
    const stepS = 1 / 12_000;
    const area = (Math.PI / 4) * 0.16;
    const box = new DraughtBox(stepS, 3, stiffnessPa, area, 1.5, density, 1.5);
    for (let i = 0; i < 12_000 * 60; i++) box.process(4);
    expect(Math.abs(box.chimneyFlowM3PerS - 4)).toBeLessThan(1e-6);
    // 1.5 velocity heads.
    expect(Math.abs(box.risePa / (1.5 * 0.5 * density * (4 / area) ** 2) - 1)).toBeLessThan(1e-6);
  });

  it("balances volume: what came in less what left is what it is compressed by", () => {
    const stepS = 1 / 12_000;
    const area = (Math.PI / 4) * 0.16;
    const box = new DraughtBox(stepS, 3, stiffnessPa, area, 1.5, density, 1);
    let stored = 0;
    let before = 0;
    for (let i = 0; i < 5000; i++) {
      const inflow = 3 * Math.sin(i / 100) ** 2;
      box.process(inflow);
      stored += stepS * (inflow - 0.5 * (before + box.chimneyFlowM3PerS));
      before = box.chimneyFlowM3PerS;
    }
    expect(Math.abs(box.risePa / ((stiffnessPa * stored) / 3) - 1)).toBeLessThan(1e-9);
  });

  it.each([
    [1e-9, 1, 1e-3, 1],
    [1e9, 1e-6, 1e3, 1],
    [1e-6, 1e-9, 10, 0],
    [1e-6, 10, 1e-3, 50],
  ])("stays bounded at absurd sizes: %s m3, %s m2, %s m, %s heads", (volumeM3, areaM2, lengthM, heads) => {
    const box = new DraughtBox(1 / 12_000, volumeM3, stiffnessPa, areaM2, lengthM, density, heads);
    let highest = 0;
    let finite = true;
    for (let i = 0; i < 50_000; i++) {
      box.process(i % 400 < 200 ? 0.01 : -0.01);
      finite &&= Number.isFinite(box.risePa) && Number.isFinite(box.chimneyFlowM3PerS);
      if (i > 40_000) highest = Math.max(highest, Math.abs(box.chimneyFlowM3PerS));
    }
    expect(finite).toBe(true);
    expect(highest).toBeLessThan(1);
  });

  it("is still when nothing comes, and after a reset", () => {
    const box = new DraughtBox(1 / 12_000, 3, stiffnessPa, 0.1, 1.5, density, 1);
    for (let i = 0; i < 100; i++) box.process(0);
    expect(box.risePa).toBe(0);
    for (let i = 0; i < 100; i++) box.process(2);
    expect(box.risePa).not.toBe(0);
    box.reset();
    expect([box.risePa, box.chimneyFlowM3PerS]).toEqual([0, 0]);
  });
});
