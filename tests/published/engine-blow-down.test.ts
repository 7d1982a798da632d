import { describe, expect, it } from "vitest";
import { Engine } from "../../src/engine/engine.js";
import { portDischargeCoefficient } from "../../src/engine/vessel-ports.js";
import { chokedFlowFactor } from "../../src/flow/orifice.js";
import { stateFromPressureTemperature } from "../../src/steam/state-from.js";
import { locomotive, plainPipe, withCylinder, withGear } from "../engine/descriptions.js";

const air = { name: "air" } as const;
const gasConstant = 287.05;
const startPa = 10e5;
const startK = 300;

/** One single-acting cylinder on air, its regulator shut, standing at a shaft angle. */
function standing(shaftRad: number, chestPa: number, changes: Parameters<typeof locomotive>[0] = {}) {
  const engine = new Engine(
    withCylinder(
      withGear(
        locomotive({
          workingFluid: "air",
          boiler: { pressurePa: chestPa, temperatureK: startK, superheatK: 0 },
          exhaust: plainPipe(6, 0.6),
          ...changes,
        }),
        { crankAnglesRad: [0] },
      ),
      { acting: "single" },
    ),
    48_000,
    4,
  );
  engine.reset(shaftRad);
  engine.setRegulator(0);
  return engine;
}

// p/p0 = (1 + (g - 1) t / 2 tau)^(-2g/(g-1)), tau = V / (Cd A psi sqrt(R T0)). [source: textbook closed form, checked by
// integration to 1e-7; air of 10 bar and 300 K, V = 1 m3, A = 1 cm2: t = 5, 10, 20 s give .87000, .75896, .58208]
const blownDown = (timeS: number, tauS: number) => Math.pow(1 + (0.2 * timeS) / tauS, -7);

describe("choked blow-down", () => {
  it("the closed form gives the published row", () => {
    const tauS = 49.767;
    for (const [timeS, ratio] of [
      [5, 0.87],
      [10, 0.75896],
      [20, 0.58208],
    ]) {
      expect(Math.abs(blownDown(timeS, tauS) - ratio)).toBeLessThan(1e-5);
    }
  });

  it("of a cylinder end through its exhaust port at standstill follows the closed form within 0.3 %", () => {
    const engine = standing(Math.PI, 1.5e5, { idealised: true });
    const { motion, ends } = engine;
    expect(motion.steamAreaM2[0]).toBe(0);
    const state = stateFromPressureTemperature(air, startPa, startK);
    ends.reset(0, motion.volumeM3[0], state.densityKgPerM3, state.internalEnergyJPerKg);
    const area = portDischargeCoefficient * motion.exhaustAreaM2[0];
    const tauS = motion.volumeM3[0] / (area * chokedFlowFactor(1.4) * Math.sqrt(gasConstant * startK));
    const { stepS } = engine.plan;
    let worst = 0;
    let lowest = 1;
    for (let i = 1; i < 20_000; i++) {
      engine.process();
      const exact = blownDown(i * stepS, tauS);
      // Choked while the wall of the pipe stays below the critical ratio.
      if (engine.network.portEnds[0].facePressurePa > 0.5 * startPa * exact) break;
      const got = (ends.massKg[0] * gasConstant) / ends.volumeM3[0]; // pressure over temperature, from the state itself
      const temperatureRatio = Math.pow(exact, 2 / 7);
      worst = Math.max(worst, Math.abs((got * startK * temperatureRatio) / (startPa * exact) - 1));
      lowest = exact;
    }
    console.log(
      `cylinder end: choked down to ${lowest.toFixed(3)} of 10 bar, tau ${tauS.toFixed(4)} s, off by at most ${(100 * worst).toFixed(3)} %`,
    );
    expect(lowest).toBeLessThan(0.4);
    expect(worst).toBeLessThan(0.003);
  });

  it("of the chest past its valve, regulator shut, follows the closed form within 0.1 %", () => {
    const leakM2 = 20e-6;
    const volumeM3 = 0.012;
    // At 140 degrees the steam port is shut and the leak is the only way out.
    const engine = standing((140 * Math.PI) / 180, startPa, {
      leaks: { valveM2: leakM2, ringsM2: 0 },
      chestVolumeM3: volumeM3,
    });
    expect(engine.motion.steamAreaM2[0]).toBe(0);
    const tauS = volumeM3 / (leakM2 * chokedFlowFactor(1.4) * Math.sqrt(gasConstant * 300));
    const ticks = Math.round(3 / engine.plan.stepS);
    expect(engine.chest.pressurePa / startPa).toBeCloseTo(1, 3);
    let worst = 0;
    for (let i = 1; i <= ticks; i++) {
      engine.process();
      if (i % 1000 === 0) {
        worst = Math.max(
          worst,
          Math.abs(engine.chest.pressurePa / (startPa * blownDown(i * engine.plan.stepS, tauS)) - 1),
        );
      }
    }
    console.log(
      `chest: down to ${(engine.chest.pressurePa / 1e5).toFixed(2)} bar in 3 s, off by at most ${(100 * worst).toFixed(3)} %`,
    );
    expect(engine.chest.pressurePa).toBeLessThan(0.5 * startPa);
    expect(worst).toBeLessThan(0.001);
  });
});
