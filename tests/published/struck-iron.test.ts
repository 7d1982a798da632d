import { describe, expect, it } from "vitest";
import {
  contactDepthM,
  contactDurationS,
  contactForceN,
  contactSlowingRatio,
  STEEL_ON_STEEL_PA,
} from "../../src/sound/hertz-contact.js";
import { barModeHz, coincidenceHz, fallTimeS, plateModeHz, ringModeHz, STEEL } from "../../src/sound/modal-bodies.js";

/** A steel ball on a great block. */
function ball(diameterM: number): { massKg: number; radiusM: number; modulusPa: number } {
  const massKg = (7850 * Math.PI * diameterM ** 3) / 6;
  return { massKg, radiusM: diameterM / 2, modulusPa: STEEL_ON_STEEL_PA };
}

const within = (value: number, expected: number, ratio: number): void => {
  expect(Math.abs(value / expected - 1), `${value} against ${expected}`).toBeLessThan(ratio);
};

// Johnson, Contact Mechanics, 1985, 11.1: T = 2.868 (m^2 / (R E*^2 v))^(1/5); 205 GPa, 0.29.
describe("contact times of Johnson, Contact Mechanics, 11.1", () => {
  it.each([
    [10, 1, 34.98],
    [20, 1, 69.96],
    [50, 0.5, 200.9],
    [10, 0.1, 55.4],
  ])("a steel ball of %d mm at %d m/s touches a steel block for %d us", (mm, speed, us) => {
    within(contactDurationS(ball(mm / 1000), speed), us * 1e-6, 0.005);
  });

  it("two balls of 10 mm at 1 m/s touch for 30.45 us", () => {
    const one = ball(0.01);
    const two = { ...one, massKg: one.massKg / 2, radiusM: one.radiusM / 2 };
    within(contactDurationS(two, 1), 30.45e-6, 0.005);
  });

  it("a ball of 10 mm at 1 m/s presses with 432 N, 11.9 um deep", () => {
    within(contactForceN(ball(0.01), 1), 432, 0.005);
    within(contactDepthM(ball(0.01), 1), 11.9e-6, 0.005);
  });

  it("time goes with size, and with the speed to the power of -1/5", () => {
    within(contactDurationS(ball(0.08), 1) / contactDurationS(ball(0.01), 1), 8, 1e-12);
    within(contactDurationS(ball(0.01), 1 / 32) / contactDurationS(ball(0.01), 1), 2, 1e-12);
    for (const speed of [0.01, 0.3, 1, 7, 50]) within(contactSlowingRatio(speed), speed ** -0.2, 1e-11);
    within(contactSlowingRatio(1e-6), 1e-6 ** -0.2, 1e-5);
  });
});

describe("bars", () => {
  // Euler-Bernoulli, Blevins 1979, table 8-1.
  it("free at both ends have the overtones 2.7565, 5.4039, 8.9330 and 13.3443", () => {
    const shape = { ends: "free", lengthM: 1, depthM: 0.01 } as const;
    const lowest = barModeHz(shape, STEEL, 1);
    [1, 2.7565, 5.4039, 8.933, 13.3443].forEach((ratio, i) => {
      within(barModeHz(shape, STEEL, i + 1) / lowest, ratio, 1e-4);
    });
  });

  it("built in at one end have the overtones 6.267, 17.547 and 34.386", () => {
    const shape = { ends: "clamped", lengthM: 1, depthM: 0.01 } as const;
    const lowest = barModeHz(shape, STEEL, 1);
    [1, 6.267, 17.547, 34.386].forEach((ratio, i) => {
      within(barModeHz(shape, STEEL, i + 1) / lowest, ratio, 1e-3);
    });
  });

  it.each([
    [0.3, 10, [583.7, 1608.9, 3154.0, 5213.8]],
    [1, 30, [157.6, 434.4, 851.6, 1407.7]],
  ])("of steel, %d m long and %d mm deep, ring as Euler-Bernoulli has it", (lengthM, mm, frequencies) => {
    frequencies.forEach((hz, i) => {
      within(barModeHz({ ends: "free", lengthM, depthM: mm / 1000 }, STEEL, i + 1), hz, 1e-3);
    });
  });
});

describe("plates and rings", () => {
  // Leissa, Vibration of Plates, NASA SP-160, 1969, 4.1.
  it.each([
    [1, 1, 96.85],
    [1, 2, 242.13],
    [2, 2, 387.41],
    [1, 3, 484.26],
  ])("a steel plate of 0.5 x 0.5 m and 5 mm has its mode (%d, %d) at %d Hz", (m, n, hz) => {
    within(plateModeHz({ lengthM: 0.5, widthM: 0.5, thicknessM: 0.005 }, STEEL, m, n), hz, 1e-3);
  });

  // Cremer & Heckl, Structure-Borne Sound.
  it("bending waves in 5 mm of steel keep up with sound from 2450 Hz on", () => {
    within(coincidenceHz(0.005, STEEL, 343.2), 2450, 0.02);
  });

  // Love 1927, 293: n (n^2 - 1) / sqrt(n^2 + 1), worked by hand for n = 2 and 3.
  it("a ring of three waves rings 2.828 times as high as one of two", () => {
    within(ringModeHz(0.5, 0.05, STEEL, 3) / ringModeHz(0.5, 0.05, STEEL, 2), 2.8284, 1e-4);
    within(ringModeHz(1, 0.05, STEEL, 2) / ringModeHz(0.5, 0.05, STEEL, 2), 0.25, 1e-12);
  });
});

describe("decay", () => {
  // T60 = 2.2 / (f eta), Cremer & Heckl.
  it.each([
    [2e-4, 10.99],
    [1e-3, 2.199],
    [1e-2, 0.2199],
  ])("of a mode at 1 kHz with a loss factor of %d takes %d s", (lossRatio, seconds) => {
    within(fallTimeS(1000, lossRatio), seconds, 1e-3);
  });
});
