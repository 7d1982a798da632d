import { describe, expect, it } from "vitest";
import { WideMouth } from "../../src/sound/wide-mouth.js";
import { levineSchwingerCorrectionRatio, levineSchwingerReflectionRatio } from "./levine-schwinger.js";
import { gainDbAt, impulseResponse } from "./signal-measures.js";

const soundSpeed = 343.2;

function gainDb(radiusM: number, ka: number, rate: number): number {
  const mouth = new WideMouth(rate, radiusM, soundSpeed);
  const impulse = impulseResponse((a, b, n) => mouth.process(a, b, n), 4096);
  return gainDbAt(impulse, (ka * soundSpeed) / (2 * Math.PI * radiusM), rate);
}

// Power of a flow Q (peak) at the mouth, rho c / area x resistance r x Q^2 / 2; of a simple source, rho c k^2 Q^2 / (8 pi) [textbook
// acoustics]. The same power: gain^2 = 4 r / (ka)^2.
const wantedDb = (ka: number, resistance: number): number => 10 * Math.log10((4 * resistance) / (ka * ka));

describe("a wide mouth sends out as a simple source the power in its pipe", () => {
  // Radiation resistance over rho c / area of an unflanged pipe, Levine & Schwinger, Phys. Rev. 73 (1948), by their integrals.
  const rows = [
    [0.1, 0.002482],
    [0.2, 0.009807],
    [0.5, 0.059486],
    [1.0, 0.238279],
    [1.5, 0.532346],
    [2.0, 0.836022],
    [2.5, 1.005742],
    [3.0, 1.039756],
    [3.5, 1.004737],
    [3.8, 0.948419],
  ];

  it.each([44_100, 48_000, 96_000])("within 0.5 dB of Levine & Schwinger's table at %d Hz", (rate) => {
    let worst = 0;
    for (const [ka, resistance] of rows) {
      worst = Math.max(worst, Math.abs(gainDb(0.2, ka, rate) - wantedDb(ka, resistance)));
      worst = Math.max(worst, Math.abs(gainDb(0.06, ka, rate) - wantedDb(ka, resistance)));
    }
    console.log(`wide mouth at ${rate} Hz: within ${worst.toFixed(2)} dB`);
    expect(worst).toBeLessThan(0.5);
  });

  it("the table being what the integrals give: Z = (1 + R)/(1 - R), R = -|R| exp(-2j ka l/a)", () => {
    for (const [ka, resistance] of rows) {
      const size = levineSchwingerReflectionRatio(ka);
      const angle = Math.PI - 2 * ka * levineSchwingerCorrectionRatio(ka);
      const [re, im] = [size * Math.cos(angle), size * Math.sin(angle)];
      expect((1 - size * size) / ((1 - re) ** 2 + im * im)).toBeCloseTo(resistance, 4);
    }
  });

  it("above the table as a beam whose resistance is rho c: 2/ka", () => {
    for (const ka of [6, 10]) expect(Math.abs(gainDb(0.4, ka, 96_000) - wantedDb(ka, 1))).toBeLessThan(0.5);
  });

  it("leaves a small mouth and a steady flow alone", () => {
    expect(Math.abs(gainDb(0.002, 0.02, 48_000))).toBeLessThan(0.05);
    const mouth = new WideMouth(48_000, 0.3, soundSpeed);
    mouth.reset(2.5);
    const flow = new Float64Array(500).fill(2.5);
    mouth.process(flow, flow, 500);
    for (const x of flow) expect(Math.abs(x - 2.5)).toBeLessThan(1e-12);
  });

  it("names the range of a mouth that is out of it", () => {
    expect(() => new WideMouth(48_000, 0.3, 34)).toThrow(
      /WideMouth: soundSpeedMPerS must be between 100 m\/s and 1500 m\/s, got 34/,
    );
    expect(() => new WideMouth(48_000, 30, 340)).toThrow(/radiusM must be between .* 5 m, got 30/);
  });
});
