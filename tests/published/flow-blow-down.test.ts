import { describe, expect, it } from "vitest";
import { chokedFlowFactor, criticalPressureRatio, orificeFlowKgPerS } from "../../src/flow/orifice.js";
import { Mouth } from "../../src/flow/mouth.js";
import { makePorts, PortEnd } from "../../src/flow/port-end.js";
import { Vessel } from "../../src/flow/vessel.js";
import { createAir } from "../../src/steam/working-fluid.js";
import { exhaustOf, makePipe, perfectGas, stillSurroundings } from "../flow/perfect-gas.js";

// Adiabatic choked blow-down: p/p0 = (1 + (k-1) t/2 tau)^(-2k/(k-1)), tau = V/(A psi sqrt(R T0)).
// [source: gas-dynamics textbook form, recomputed; an integration of the equations agrees to 1e-7]

describe("a vessel blows down through a choked opening", () => {
  // Air, 1 m3, 1 cm2, 10 bar, 300 K: tau 49.767 s, first flow 0.23334 kg/s.
  it("1 m3 of air at 10 bar through 1 cm2: pressure and temperature after 5, 10, 20 s, unchoked after 66.2 s", () => {
    const k = 1.4;
    const rc = criticalPressureRatio(k);
    let massKg = 10e5 / (287.05 * 300);
    let energyJ = 10e5 / (k - 1);
    const stepS = 0.005;
    const at = new Map<number, readonly [number, number]>();
    let unchokedS = 0;
    let firstFlow = 0;
    for (let i = 0; unchokedS === 0; i++) {
      const p = (k - 1) * energyJ;
      const t = i * stepS;
      if (p < 101_325 / rc) unchokedS = t;
      if (i === 1000 || i === 2000 || i === 4000) at.set(t, [p / 10e5, p / (massKg * 287.05 * 300)]);
      // The middle of the step, found by half a step ahead: second order.
      const flowFrom = (m: number, e: number) =>
        orificeFlowKgPerS(1e-4 * chokedFlowFactor(k) * Math.sqrt((k - 1) * e * m), (k - 1) * e, 101_325, 0, rc);
      const first = flowFrom(massKg, energyJ);
      if (i === 0) firstFlow = first;
      const middleMass = massKg - 0.5 * stepS * first;
      const middleEnergy = energyJ - (0.5 * stepS * first * k * energyJ) / massKg;
      const flow = flowFrom(middleMass, middleEnergy);
      energyJ -= (stepS * flow * k * middleEnergy) / middleMass;
      massKg -= stepS * flow;
    }
    expect(Math.abs(firstFlow - 0.23334)).toBeLessThan(1e-5);
    for (const [t, p, temperature] of [
      [5, 0.87, 0.96099],
      [10, 0.75896, 0.92422],
      [20, 0.58208, 0.85674],
    ]) {
      expect(Math.abs(at.get(t)![0] - p)).toBeLessThan(1e-5);
      expect(Math.abs(at.get(t)![1] - temperature)).toBeLessThan(1e-5);
    }
    expect(Math.abs(unchokedS / 66.202 - 1)).toBeLessThan(1e-3);
  });

  it("the same through a vessel of the air tables", () => {
    const air = createAir();
    const vessel = new Vessel(1, air, false);
    // The tables count energy from their own zero: find the one whose temperature is 300 K at this density.
    const density = 10e5 / (287.05 * 300);
    let low = -1e6;
    let high = 1e6;
    for (let i = 0; i < 60; i++) {
      const middle = 0.5 * (low + high);
      air.lookup(density, middle);
      if (air.temperatureK < 300) low = middle;
      else high = middle;
    }
    vessel.reset(density, low);
    const firstPa = vessel.pressurePa;
    expect(Math.abs(firstPa / 10e5 - 1)).toBeLessThan(2e-3);
    const k = 1.4;
    const rc = criticalPressureRatio(k);
    const stepS = 0.01;
    for (let i = 0; i < 1000; i++) {
      const choked = 1e-4 * chokedFlowFactor(k) * Math.sqrt(vessel.middlePa * vessel.densityKgPerM3);
      const flow = orificeFlowKgPerS(choked, vessel.middlePa, 101_325, 0, rc);
      vessel.addFlow(-flow, -flow * vessel.enthalpyJPerKg);
      vessel.integrate(stepS);
      vessel.observe();
    }
    expect(Math.abs(vessel.pressurePa / firstPa - 0.75896)).toBeLessThan(0.002);
  });

  // Steam as a perfect gas of k = 1.3: 0.1 m3, 0.02 m2, 3 bar, 406.7 K, down to 1.01325 bar outside:
  // tau 17.296 ms, first flow 9.2411 kg/s, unchokes at 1.8567 bar after 6.564 ms. Through the port end of a pipe so wide
  // that its pressure hardly rises.
  it.each([1, 2, 4])(
    "a cylinder end's steam through a port, every %s. sample: 9.241 kg/s, unchokes after 6.564 ms",
    (k) => {
      const gas = perfectGas(1.3, 461.5);
      const stepS = k / 48_000;
      const pipe = makePipe(gas, { lengthM: 4, boreM: 1.2, cellCount: Math.floor((4 * 0.85) / (800 * stepS)), stepS });
      pipe.reset(101_325, 373, 0);
      const exhaust = exhaustOf(gas);
      const ports = makePorts(1);
      const port = new PortEnd(pipe, exhaust, ports, 0, 1, 1.3, stepS);
      port.reset();
      const mouth = new Mouth(pipe, exhaust, stillSurroundings(gas, 101_325, 373, false), stepS, 0);
      mouth.reset(0);
      const volumeM3 = 0.1;
      let massKg = (3e5 * volumeM3) / (461.5 * 406.7);
      let energyJ = (3e5 * volumeM3) / 0.3;
      let before = 3e5;
      let unchokedS = 0;
      let firstFlow = 0;
      for (let i = 0; unchokedS === 0 && i < 2000; i++) {
        const p = (0.3 * energyJ) / volumeM3;
        const level = 101_325 / criticalPressureRatio(1.3);
        if (p < level) unchokedS = (i - (level - p) / (before - p)) * stepS;
        ports.areaM2[0] = 0.02;
        // Pressure half a tick on, as the engine does it.
        ports.pressurePa[0] = i === 0 ? p : 1.5 * p - 0.5 * before;
        ports.densityKgPerM3[0] = massKg / volumeM3;
        ports.enthalpyJPerKg[0] = (1.3 * energyJ) / massKg;
        ports.massKg[0] = massKg;
        before = p;
        pipe.process();
        port.process();
        mouth.process();
        if (i === 0) firstFlow = ports.massFlowKgPerS[0];
        massKg -= ports.massFlowKgPerS[0] * stepS;
        energyJ -= ports.enthalpyFlowW[0] * stepS;
      }
      console.log(
        `every ${k}. sample: first ${firstFlow.toFixed(4)} kg/s, unchokes ${(1000 * unchokedS).toFixed(4)} ms`,
      );
      expect(Math.abs(firstFlow / 9.2411 - 1)).toBeLessThan(1e-3);
      expect(Math.abs(unchokedS / 6.564e-3 - 1)).toBeLessThan(0.005);
    },
  );
});
