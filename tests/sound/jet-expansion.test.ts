import { describe, expect, it } from "vitest";
import { JetExpansion } from "../../src/sound/jet-expansion.js";

function expand(pressure: number, density: number, velocity: number, exponent = 1.3): { speed: number; mach: number } {
  const speed = new Float64Array(1);
  const mach = new Float64Array(1);
  new JetExpansion(exponent, 101325).process(
    Float64Array.of(pressure),
    Float64Array.of(density),
    Float64Array.of(velocity),
    speed,
    mach,
    1,
  );
  return { speed: speed[0], mach: mach[0] };
}

describe("jet expansion", () => {
  // Isentropic tables for exponent 1.4 (NACA Report 1135, 1953, table II): p/p0 of 0.1278 at Mach 2, 0.5283 at Mach 1;
  // T/T0 of 0.5556 and 0.8333.
  it("takes a choked air mouth to Mach 2 where the table says 0.1278 of the vessel's pressure", () => {
    const vesselPa = 101325 / 0.1278;
    const mouthPa = 0.5283 * vesselPa;
    const mouthK = 0.8333 * 300;
    const sonic = Math.sqrt(1.4 * 287.05 * mouthK);
    const { speed, mach } = expand(mouthPa, mouthPa / (287.05 * mouthK), sonic, 1.4);
    expect(Math.abs(mach - 2)).toBeLessThan(0.001);
    expect(Math.abs(speed - 2 * Math.sqrt(1.4 * 287.05 * 0.5556 * 300))).toBeLessThan(0.3);
  });

  // Closed form: T/T0 = (p/p0)^((g - 1)/g).
  it("is good to 1e-5 from a pressure ratio of 1.0001 to 100", () => {
    for (let ratio = 1.0001; ratio < 100; ratio *= 1.07) {
      const pressure = ratio * 101325;
      const soundSquare = (1.3 * pressure) / 2;
      const cooling = ratio ** (-0.3 / 1.3);
      const jetSquare = soundSquare + (2 / 0.3) * soundSquare * (1 - cooling);
      const { speed, mach } = expand(pressure, 2, Math.sqrt(soundSquare));
      expect(Math.abs(speed / Math.sqrt(jetSquare) - 1)).toBeLessThan(1e-5);
      expect(Math.abs(mach / Math.sqrt(jetSquare / (soundSquare * cooling)) - 1)).toBeLessThan(1e-5);
    }
  });

  it("leaves the jet of an unchoked mouth as it is", () => {
    const { speed, mach } = expand(101325, 0.59, 150);
    expect(speed).toBeCloseTo(150, 9);
    expect(mach).toBeCloseTo(150 / Math.sqrt((1.3 * 101325) / 0.59), 9);
    expect(expand(99000, 0.58, 150).speed).toBeCloseTo(150, 9);
  });

  it("grows from there without a step", () => {
    const sonic = Math.sqrt((1.3 * 101325) / 0.59);
    expect(expand(101326, 0.59, sonic).speed - sonic).toBeLessThan(0.01);
    expect(expand(101326, 0.59, sonic).mach - 1).toBeLessThan(1e-4);
    expect(expand(101326, 0.59, sonic).mach).toBeGreaterThan(0.9999);
  });

  it("gives no jet where gas is drawn in or nothing is known of it", () => {
    expect(expand(95000, 1.2, -40)).toEqual({ speed: 0, mach: 0 });
    expect(expand(0, 0, 0)).toEqual({ speed: 0, mach: 0 });
  });

  it("names the range of an exponent that is out of it", () => {
    expect(() => new JetExpansion(0.3, 101325)).toThrow(/JetExpansion: isentropicExponent must be between 1.01 and 2/);
  });
});
