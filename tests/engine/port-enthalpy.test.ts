import { describe, expect, it } from "vitest";
import type { CylinderEnds } from "../../src/engine/cylinder-ends.js";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import type { Ports } from "../../src/flow/port-end.js";
import {
  saturatedLiquid,
  saturatedVapourProperties,
  saturationTemperatureK,
  vapourProperties,
} from "../../src/steam/if97.js";
import { locomotive, millEngine, presetMachine, slideValve12mm, steamBoiler } from "./descriptions.js";
import { Turning, type TurningSettings } from "./turning.js";

/** Enthalpy of steam of a pressure and a density straight from the equations, wet or dry, J/kg; and how dry it is. */
function enthalpyOf(pressurePa: number, densityKgPerM3: number): { enthalpy: number; dryness: number } {
  const volume = 1 / densityKgPerM3;
  const vapour = saturatedVapourProperties(pressurePa);
  if (volume < vapour.volumeM3PerKg) {
    const liquid = saturatedLiquid(pressurePa);
    const dryness = (volume - liquid.volumeM3PerKg) / (vapour.volumeM3PerKg - liquid.volumeM3PerKg);
    return { enthalpy: liquid.enthalpyJPerKg + dryness * (vapour.enthalpyJPerKg - liquid.enthalpyJPerKg), dryness };
  }
  let low = saturationTemperatureK(pressurePa);
  let high = 1073;
  for (let i = 0; i < 40; i++) {
    const middle = 0.5 * (low + high);
    if (vapourProperties(middle, pressurePa).volumeM3PerKg < volume) low = middle;
    else high = middle;
  }
  return { enthalpy: vapourProperties(low, pressurePa).enthalpyJPerKg, dryness: 1 };
}

/** Of an end that may hold air: of air by its own heats from the tables' zero, of steam at its own share of pressure and mass. */
function mixedEnthalpyOf(ends: CylinderEnds, i: number) {
  const air = ends.airRatio[i];
  const airPa = air * ends.densityKgPerM3[i] * 287.05287 * ends.temperatureK[i];
  const { enthalpy, dryness } = enthalpyOf(ends.pressurePa[i] - airPa, (1 - air) * ends.densityKgPerM3[i]);
  // cp 1004.7, cv 717.6 J/(kg K) of a perfect gas [source: ISO 2533]; dry saturated steam at 0.01 degC 2374.9 kJ/kg [source: IF97]
  const airEnthalpy = 2.3749e6 + 717.63 * (ends.temperatureK[i] - 273.16) + 287.05287 * ends.temperatureK[i];
  return { enthalpy: air * airEnthalpy + (1 - air) * enthalpy, dryness };
}

const superheated = locomotive({ boiler: steamBoiler(1.2e6, 150), speedRpm: 100 });
const cases: readonly (readonly [string, EngineDescription, TurningSettings])[] = [
  ["wet, locomotive", locomotive({ speedRpm: 100 }), { cutoffRatio: 0.3 }],
  ["near the line, locomotive", locomotive({ boiler: steamBoiler(1.2e6, 25), speedRpm: 100 }), {}],
  ["dry, locomotive", locomotive({ boiler: steamBoiler(1.2e6, 60), speedRpm: 100 }), {}],
  ["superheated, locomotive", superheated, {}],
  ["superheated, locomotive notched up", superheated, { cutoffRatio: 0.3 }],
  ["wet, mill engine", millEngine({ speedRpm: 40 }), {}],
  ["wet, 12 mm model", slideValve12mm(), {}],
  ["to a condenser", presetMachine("lingmere-condensing").description, {}],
  ["drifting, regulator all but shut", locomotive({ speedRpm: 120 }), { regulatorRatio: 0.01 }],
];

// [source: IAPWS R7-97(2012) by its equations, from pressure and density, beside the engine's tables of density and energy]
describe("the enthalpy that crosses the exhaust ports in a turn", () => {
  it.each(cases)("%s", (name, description, settings) => {
    const turning = new Turning(description, settings).settle(4);
    const { engine } = turning;
    const ports = engine["exhaustPorts"].ports as Ports;
    const perCylinder = engine.ends.count / description.gear.crankAnglesRad.length;
    let outKg = 0;
    let outJ = 0;
    let outTableJ = 0;
    let wetKg = 0;
    let backKg = 0;
    let backJ = 0;
    let backTableJ = 0;
    const exponent = engine.network["gas"].gas.isentropicExponent;
    // What stands before the ports when a tick begins.
    const held = engine.network.pipes.map(() => [0, 0]);
    const airAtPort = engine.network.pipes.map(() => 0);
    const look = () => {
      engine.network.pipes.forEach(({ state: s }, k) => {
        held[k][0] = (exponent - 1) * (s[2] - (0.5 * s[1] * s[1]) / s[0]);
        held[k][1] = s[0];
        airAtPort[k] = engine.network.pipes[k].air.leftRatio;
      });
    };
    look();
    turning.turns(1, (tick) => {
      // Every third tick is enough to tell by, and the equations are slow.
      if (tick % 3 !== 0) return look();
      for (let i = 0; i < engine.ends.count; i++) {
        const flow = ports.massFlowKgPerS[i];
        if (flow > 0) {
          const { enthalpy, dryness } = mixedEnthalpyOf(engine.ends, i);
          outKg += flow;
          outJ += ports.enthalpyFlowW[i];
          outTableJ += flow * enthalpy;
          if (dryness < 1) wetKg += flow;
        } else if (flow < 0 && !(airAtPort[Math.floor(i / perCylinder)] > 1e-3)) {
          const [pressurePa, density] = held[Math.floor(i / perCylinder)];
          backKg -= flow;
          backJ -= ports.enthalpyFlowW[i];
          backTableJ -= flow * enthalpyOf(pressurePa, density).enthalpy;
        }
      }
      look();
    });
    const out = outJ / outTableJ - 1;
    const back = backJ / backTableJ - 1;
    console.log(
      `${name}: out ${(outJ / outKg / 1e3).toFixed(1)} kJ/kg, ${(100 * out).toFixed(3)} % off, ${((100 * wetKg) / outKg).toFixed(0)} % wet; ` +
        `back ${((100 * backKg) / outKg).toFixed(1)} % of it, ${(100 * back).toFixed(2)} % off, ` +
        `net ${(100 * ((outJ - backJ) / (outTableJ - backTableJ) - 1)).toFixed(3)} %`,
    );
    // What leaves a cylinder is the tables' own.
    expect(Math.abs(out)).toBeLessThan(1e-4);
    // What comes back is the pipes' fitted gas with the mean of the latent share: near it, and little of it.
    if (backKg > 0.01 * outKg) expect(Math.abs(back)).toBeLessThan(0.02);
    expect(Math.abs((outJ - backJ) / (outTableJ - backTableJ) - 1)).toBeLessThan(0.005);
  });
});
