import { describe, expect, it } from "vitest";
import { makePorts, PortEnd } from "../../src/flow/port-end.js";
import { exhaustOf, makePipe, steam } from "./perfect-gas.js";

const stepS = 4 / 48_000;
const vesselM3 = 0.03;
const exponent = steam.isentropicExponent;

/** Effective area of a port and what stands behind it at first. */
interface Behind {
  readonly areaM2: number;
  readonly pressurePa: number;
  readonly temperatureK: number;
}

/**
 * Vessels blow into one pipe through ports that open together; the far end is shut. Flows tick by tick, vessel by vessel.
 * Of what flows the share `sinkRatio` is taken out of the vessels.
 */
function blow(behind: readonly Behind[], order: readonly number[], leakKgPerS = 0, sinkRatio = 1) {
  const pipe = makePipe(steam, { lengthM: 0.96, boreM: 0.15, cellCount: 12, stepS });
  pipe.reset(101_325, 390, 0);
  const ports = makePorts(behind.length);
  const end = new PortEnd(pipe, exhaustOf(steam, 8e6), ports, 0, behind.length, exponent, stepS);
  end.reset();
  end.leakKgPerS = leakKgPerS;
  end.leakEnthalpyJPerKg = steam.specificHeatJPerKgK * 450;
  const massKg = behind.map((b) => (b.pressurePa * vesselM3) / (steam.gasConstantJPerKgK * b.temperatureK));
  const energyJ = behind.map((b) => (b.pressurePa * vesselM3) / (exponent - 1));
  const before = { massKg: pipe.massKg(), energyJ: pipe.energyJ() };
  const flows: number[][] = [];
  let given = 0;
  let givenJ = 0;
  for (let tick = 0; tick < 80; tick++) {
    order.forEach((vessel, place) => {
      ports.areaM2[place] = behind[vessel].areaM2 * Math.min(1, tick / 20);
      ports.pressurePa[place] = ((exponent - 1) * energyJ[vessel]) / vesselM3;
      ports.densityKgPerM3[place] = massKg[vessel] / vesselM3;
      ports.massKg[place] = massKg[vessel];
      ports.enthalpyJPerKg[place] = (exponent * energyJ[vessel]) / massKg[vessel];
    });
    pipe.process();
    end.process();
    pipe.closeRight(0, 0, pipe.rightArrivalPa, 0);
    const row = behind.map(() => 0);
    order.forEach((vessel, place) => {
      row[vessel] = ports.massFlowKgPerS[place];
      massKg[vessel] -= ports.massFlowKgPerS[place] * stepS * sinkRatio;
      energyJ[vessel] -= ports.enthalpyFlowW[place] * stepS * sinkRatio;
      given += ports.massFlowKgPerS[place] * stepS;
      givenJ += ports.enthalpyFlowW[place] * stepS;
    });
    flows.push(row);
  }
  return {
    flows,
    massMissing: Math.abs(pipe.massKg() - before.massKg - given - leakKgPerS * stepS * 80) / before.massKg,
    energyMissing:
      Math.abs(pipe.energyJ() - before.energyJ - givenJ - leakKgPerS * end.leakEnthalpyJPerKg * stepS * 80) /
      before.energyJ,
  };
}

const cases: readonly (readonly [string, Behind, Behind])[] = [
  [
    "one delivering, one taking back",
    { areaM2: 0.004, pressurePa: 3e5, temperatureK: 430 },
    { areaM2: 0.006, pressurePa: 1.05e5, temperatureK: 390 },
  ],
  [
    "both wide and high",
    { areaM2: 0.009, pressurePa: 4e5, temperatureK: 430 },
    { areaM2: 0.009, pressurePa: 2.5e5, temperatureK: 400 },
  ],
  [
    "wide and nearly alike",
    { areaM2: 0.009, pressurePa: 1.3e5, temperatureK: 430 },
    { areaM2: 0.009, pressurePa: 1.2e5, temperatureK: 380 },
  ],
  [
    "both below the pipe",
    { areaM2: 0.005, pressurePa: 0.8e5, temperatureK: 380 },
    { areaM2: 0.003, pressurePa: 0.7e5, temperatureK: 400 },
  ],
  [
    "one high, one a vacuum",
    { areaM2: 0.005, pressurePa: 3e5, temperatureK: 430 },
    { areaM2: 0.005, pressurePa: 0.4e5, temperatureK: 360 },
  ],
];

describe("two ports open into one pipe at once", () => {
  it.each(cases)("%s: it is no matter which is asked first, and mass and energy close", (_, one, other) => {
    for (const leakKgPerS of [0, 0.05]) {
      const forth = blow([one, other], [0, 1], leakKgPerS);
      const back = blow([one, other], [1, 0], leakKgPerS);
      const peak = Math.max(...forth.flows.flat().map(Math.abs));
      const worst = Math.max(...forth.flows.flat().map((flow, i) => Math.abs(flow - back.flows.flat()[i])));
      expect(peak).toBeGreaterThan(0.1);
      expect(worst / peak).toBeLessThan(1e-9);
      expect(forth.massMissing).toBeLessThan(1e-12);
      expect(forth.energyMissing).toBeLessThan(1e-12);
    }
  });

  // One port has a closed form of its own, so two halves of it test the search for the pressure that two share.
  it.each([2.5e5, 1.6e5])("two alike pass what one of twice the area passes, from %s Pa", (pressurePa) => {
    const whole = { areaM2: 0.003, pressurePa, temperatureK: 430 };
    const half = { ...whole, areaM2: 0.0015 };
    const one = blow([whole, { ...half, areaM2: 0 }], [0, 1], 0, 0).flows.map(([flow]) => flow);
    const two = blow([half, half], [0, 1], 0, 0).flows;
    const worst = Math.max(...two.map(([a, b], tick) => Math.abs(a + b - one[tick]))) / Math.max(...one);
    console.log(`two halves of a port against the whole, ${pressurePa} Pa: ${worst.toExponential(1)} of the most`);
    // Two together follow the density of what enters a little sooner while the ports open.
    expect(worst).toBeLessThan(3e-3);
    const last = two[two.length - 1];
    expect(Math.abs((last[0] + last[1]) / one[one.length - 1] - 1)).toBeLessThan(1e-4);
    for (const [a, b] of two) expect(a).toBe(b);
  });
});
