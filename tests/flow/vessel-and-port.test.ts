import { describe, expect, it } from "vitest";
import type { FiniteVolumePipe } from "../../src/flow/finite-volume-pipe.js";
import { Mouth } from "../../src/flow/mouth.js";
import { makePorts, PortEnd } from "../../src/flow/port-end.js";
import { Vessel } from "../../src/flow/vessel.js";
import { createAir } from "../../src/steam/working-fluid.js";
import { closeLeftEnd, exhaustOf, makePipe, steam, stillSurroundings } from "./perfect-gas.js";

const stepS = 4 / 48_000;
const ambientPa = 101_325;

function pipeAtRest(pressurePa: number): FiniteVolumePipe {
  const pipe = makePipe(steam, { lengthM: 0.96, boreM: 0.15, cellCount: 12, stepS, frictionFactor: 0.02 });
  pipe.reset(pressurePa, 390, 0);
  return pipe;
}

describe("a vessel", () => {
  it("holds exactly what has flowed in", () => {
    const vessel = new Vessel(0.012, createAir(), false);
    vessel.reset(6, 2.1e5);
    const massKg = vessel.massKg;
    const energyJ = vessel.energyJ;
    let mass = 0;
    let energy = 0;
    for (let i = 0; i < 1000; i++) {
      const flow = 0.03 * Math.cos(i / 20);
      vessel.addFlow(flow, flow * 2.9e5);
      vessel.addFlow(-0.5 * flow, -0.5 * flow * 2.9e5);
      vessel.integrate(stepS);
      vessel.observe();
      mass += 0.5 * flow * stepS;
      energy += 0.5 * flow * 2.9e5 * stepS;
    }
    expect(Math.abs(vessel.massKg - massKg - mass)).toBeLessThan(1e-12 * massKg);
    expect(Math.abs(vessel.energyJ - energyJ - energy)).toBeLessThan(1e-12 * energyJ);
    expect(Math.abs(vessel.densityKgPerM3 - vessel.massKg / 0.012)).toBeLessThan(1e-12);
  });

  it("shows openings the pressure half a tick on", () => {
    const vessel = new Vessel(0.012, createAir(), false);
    vessel.reset(6, 2.1e5);
    const before = vessel.pressurePa;
    vessel.addFlow(0.5, 1.5e5);
    vessel.integrate(stepS);
    vessel.observe();
    expect(vessel.middlePa).toBeCloseTo(vessel.pressurePa + 0.5 * (vessel.pressurePa - before), 6);
  });
});

describe("a port", () => {
  it("that is shut passes nothing, whatever stands behind it, and the pipe meets a wall", () => {
    const gas = exhaustOf(steam, 8e6);
    const shut = pipeAtRest(1.2e5);
    const walled = pipeAtRest(1.2e5);
    const ports = makePorts(2);
    const end = new PortEnd(shut, gas, ports, 0, 2, 1.3, stepS);
    const mouths = [shut, walled].map(
      (pipe) => new Mouth(pipe, gas, stillSurroundings(steam, ambientPa, 390, true), stepS, 0),
    );
    end.reset();
    for (const mouth of mouths) mouth.reset(0);
    ports.pressurePa.set([9e5, 1e4]);
    ports.densityKgPerM3.set([4, 0.06]);
    ports.massKg.set([0.2, 0.003]);
    ports.enthalpyJPerKg.fill(9e5);
    for (let i = 0; i < 500; i++) {
      shut.process();
      end.process();
      walled.process();
      closeLeftEnd(walled);
      for (const mouth of mouths) mouth.process();
      expect([...ports.massFlowKgPerS, ...ports.enthalpyFlowW, end.totalFlowKgPerS].every((x) => x === 0)).toBe(true);
    }
    expect([...shut.state]).toEqual([...walled.state]);
  });

  it("takes from the cylinder to the bit what the pipe is given", () => {
    const gas = exhaustOf(steam, 8e6);
    const pipe = pipeAtRest(ambientPa);
    const ports = makePorts(2);
    const end = new PortEnd(pipe, gas, ports, 0, 2, 1.3, stepS);
    end.reset();
    let worstMass = 0;
    let worstEnergy = 0;
    for (let i = 0; i < 800; i++) {
      for (let j = 0; j < 2; j++) {
        ports.areaM2[j] = Math.max(0, 0.008 * Math.sin(i / 50 + 2 * j));
        ports.pressurePa[j] = 1.6e5 + 1.2e5 * Math.sin(i / 31 + j);
        ports.densityKgPerM3[j] = ports.pressurePa[j] / (461.5 * 430);
        ports.massKg[j] = 0.05;
        ports.enthalpyJPerKg[j] = steam.specificHeatJPerKgK * 430;
      }
      const massKg = pipe.massKg();
      const energyJ = pipe.energyJ();
      pipe.process();
      end.process();
      pipe.closeRight(0, 0, pipe.rightArrivalPa, 0);
      const flow = ports.massFlowKgPerS[0] + ports.massFlowKgPerS[1];
      const power = ports.enthalpyFlowW[0] + ports.enthalpyFlowW[1];
      worstMass = Math.max(worstMass, Math.abs(pipe.massKg() - massKg - flow * stepS) / massKg);
      worstEnergy = Math.max(
        worstEnergy,
        Math.abs(pipe.energyJ() + end.latentFlowW * stepS - energyJ - power * stepS) / energyJ,
      );
    }
    expect(worstMass).toBeLessThan(1e-13);
    expect(worstEnergy).toBeLessThan(1e-13);
  });
});
