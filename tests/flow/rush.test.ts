import { describe, expect, it } from "vitest";
import { Rush } from "../../src/flow/rush.js";

const gasConstant = 287.05;
const outsidePa = 101_325;

/** What a steady isentropic flow from rest at `p0` and 300 K to `outsidePa` is in the throat. [gas-dynamics textbook forms] */
function isentropic(k: number, p0: number) {
  const critical = (2 / (k + 1)) ** (k / (k - 1));
  const ratio = Math.max(outsidePa / p0, critical);
  const density0 = p0 / (gasConstant * 300);
  const throatPa = ratio * p0;
  const density = density0 * ratio ** (1 / k);
  const speed = Math.sqrt(((2 * k) / (k - 1)) * gasConstant * 300 * (1 - ratio ** ((k - 1) / k)));
  return { throatPa, density, speed, flux: density * speed };
}

function rushOf(k: number, p0: number, flux: number): Rush {
  const rush = new Rush(k);
  rush.upstreamPa = p0;
  rush.downstreamPa = outsidePa;
  rush.fluxKgPerSM2 = flux;
  rush.measure();
  return rush;
}

describe("the rush through an opening", () => {
  it.each([1.135, 1.3, 1.4])("is Bernoulli's where it is slow, exponent %d", (k) => {
    // Head 1/2 rho u^2 = the fall of pressure; the jet is as fast as the throat.
    for (const drop of [1, 10, 100]) {
      const exact = isentropic(k, outsidePa + drop);
      const rush = rushOf(k, outsidePa + drop, exact.flux);
      expect(Math.abs(rush.headPa / drop - 1)).toBeLessThan(1e-3);
      expect(Math.abs(rush.throatMPerS / exact.speed - 1)).toBeLessThan(1e-3);
      expect(Math.abs((0.5 * exact.flux * rush.throatMPerS) / drop - 1)).toBeLessThan(1e-3);
      expect(rush.jetMPerS).toBe(rush.throatMPerS);
    }
  });

  it.each([1.135, 1.3, 1.4])("is sonic at a choked throat, exponent %d", (k) => {
    for (const ratio of [2.2, 4, 15]) {
      const p0 = ratio * outsidePa;
      const exact = isentropic(k, p0);
      const rush = rushOf(k, p0, exact.flux);
      const sonic = Math.sqrt(((2 * k) / (k + 1)) * gasConstant * 300);
      expect(Math.abs(rush.throatMPerS / sonic - 1)).toBeLessThan(1e-9);
      expect(Math.abs(rush.headPa / (0.5 * exact.density * sonic * sonic) - 1)).toBeLessThan(1e-9);
      // Balance of momentum over the jet's first widening: flux (u_jet - u_throat) = throat pressure - outside.
      const jet = sonic + (exact.throatPa - outsidePa) / exact.flux;
      expect(Math.abs(rush.jetMPerS / jet - 1)).toBeLessThan(1e-9);
    }
  });

  it("of air at 10 bar and 300 K is 317 m/s at the throat and 500 m/s once expanded", () => {
    // Worked by hand: p* 528,282 Pa, rho* 7.3617 kg/m3, c* = sqrt(2 x 1.4 / 2.4 x 287.05 x 300) = 316.97 m/s.
    const exact = isentropic(1.4, 1e6);
    expect(exact.density).toBeCloseTo(7.3617, 3);
    const rush = rushOf(1.4, 1e6, exact.flux);
    expect(rush.throatMPerS).toBeCloseTo(316.97, 1);
    expect(rush.jetMPerS).toBeCloseTo(316.97 + (528_282 - 101_325) / (7.3617 * 316.97), 1);
  });

  it("between the two is within 2 % of the isentropic throat's speed and grows with the pressure throughout", () => {
    let last = 0;
    let worst = 0;
    for (let p0 = 1.001 * outsidePa; p0 < 4 * outsidePa; p0 *= 1.01) {
      const exact = isentropic(1.3, p0);
      const rush = rushOf(1.3, p0, exact.flux);
      worst = Math.max(worst, Math.abs(rush.throatMPerS / exact.speed - 1));
      worst = Math.max(worst, Math.abs(rush.headPa / (0.5 * exact.density * exact.speed * exact.speed) - 1));
      expect(rush.headPa).toBeGreaterThan(last);
      last = rush.headPa;
    }
    console.log(`speed of the rush through a throat: within ${(100 * worst).toFixed(1)} %`);
    expect(worst).toBeLessThan(0.02);
  });

  it("is nothing where nothing flows", () => {
    for (const [p0, flux] of [
      [2e5, 0],
      [outsidePa, 10],
      [5e4, 10],
      [NaN, 10],
    ]) {
      const rush = rushOf(1.3, p0, flux);
      expect([rush.headPa, rush.throatMPerS, rush.jetMPerS]).toEqual([0, 0, 0]);
    }
  });
});
