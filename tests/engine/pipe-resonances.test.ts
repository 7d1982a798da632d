import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { Engine } from "../../src/engine/engine.js";
import { pipeResonancesHz } from "../../src/engine/pipe-resonances.js";
import { periodicSpectrum } from "../../src/listening/periodic-spectrum.js";
import { locomotive, plainPipe, withGear } from "./descriptions.js";
import { Turning } from "./turning.js";

/** Frequencies of the strongest lines of the mouth's flow when a standing engine's shut pipes are let go from a slight overpressure. */
function ringingHz(description: EngineDescription, shaftRad: number, lowHz: number, highHz: number): number {
  const engine = new Engine(description, 48_000, 1);
  engine.setRegulator(0);
  engine.reset(shaftRad);
  const { motion, network, record, plan } = engine;
  for (let i = 0; i < motion.ends.length; i++) expect(motion.exhaustAreaM2[i]).toBe(0);
  network.reset(101_325 * 1.00005, engine["states"].exhausted.enthalpyJPerKg);
  const count = Math.round(0.25 / plan.stepS);
  const flow = new Float64Array(4 * count);
  for (let i = 0; i < count; i++) {
    engine.process();
    flow[i] = record.mouthVolumeM3PerS[0] * Math.pow(Math.cos((0.5 * Math.PI * i) / count), 2);
  }
  const { binHz, powers } = periodicSpectrum(flow, 1 / plan.stepS);
  let best = Math.ceil(lowHz / binHz);
  for (let k = best; k * binHz < highHz; k++) if (powers[k] > powers[best]) best = k;
  const [a, b, c] = [best - 1, best, best + 1].map((k) => Math.log(powers[k]));
  return binHz * (best + (0.5 * (a - c)) / (a - 2 * b + c));
}

// A lap on the exhaust shuts both ends at mid stroke with this gear.
const eccentric = locomotive().gear.valveGear;
const shutGear =
  eccentric.kind === "eccentric" ? ({ ...eccentric, exhaustLapM: 0.9 * 0.0254 * 1.25 } as const) : eccentric;

function shutAngle(description: EngineDescription): number {
  const motion = new Engine(description, 48_000, 4).motion;
  for (let shaftRad = 0; shaftRad < 7; shaftRad += 0.005) {
    motion.process(shaftRad);
    if (motion.exhaustAreaM2.every((area) => area === 0)) return shaftRad;
  }
  throw new Error("no angle at which every exhaust port is shut");
}

const single = (changes: Partial<EngineDescription> = {}) =>
  withGear(locomotive({ idealised: true, ...changes }), { crankAnglesRad: [0], valveGear: shutGear });
const airBoiler = { pressurePa: 4e5, temperatureK: 288, superheatK: 0 };

function resonances(description: EngineDescription, soundSpeedMPerS: number, outsideDensityRatio = 1): number[] {
  const { passage, blastPipe, nozzle } = description.exhaust;
  const passageCount = description.gear.crankAnglesRad.length;
  return pipeResonancesHz({ passage, passageCount, blastPipe, nozzle, outsideDensityRatio }, soundSpeedMPerS, 1000);
}

describe("pipe resonances, said and rung", () => {
  it("of a plain pipe stand at the odd quarters of its length with 0.6133 radii added", () => {
    const pipe = single({ exhaust: plainPipe(2, 0.1) });
    const c = 480;
    // [source: closed-open pipe, f = (2n - 1) c / 4 (L + 0.6133 a), Levine & Schwinger 1948]
    const base = c / (4 * (2 + 0.6133 * 0.05));
    const found = resonances(pipe, c);
    expect(found.length).toBeGreaterThanOrEqual(7);
    // The end's mass is not quite a length: a thousandth or two at the higher ones.
    found.slice(0, 7).forEach((hz, n) => expect(Math.abs(hz / ((2 * n + 1) * base) - 1)).toBeLessThan(1e-3));
  });

  it.each([
    ["a plain pipe", single({ exhaust: plainPipe(2, 0.1) })],
    ["a plain pipe with air", single({ exhaust: plainPipe(2, 0.1), workingFluid: "air", boiler: airBoiler })],
    [
      "a pipe with a nozzle",
      single({ exhaust: { ...plainPipe(2, 0.15), nozzle: { boreM: 0.11, contractionM: 0.3 } } }),
    ],
    [
      "passage and blast pipe",
      single({ exhaust: { ...plainPipe(1.4, 0.15), blastPipe: { lengthM: 1.1, boreM: 0.2 } } }),
    ],
  ])("%s", (name, description) => {
    const engine = new Engine(description, 48_000, 1);
    engine.network.reset(101_325, engine["states"].exhausted.enthalpyJPerKg);
    const said = resonances(description, engine.meanPipeSoundSpeedMPerS(), engine.outsideDensityRatio());
    const shaftRad = shutAngle(description);
    for (const hz of said.slice(0, 2)) {
      const heard = ringingHz(description, shaftRad, 0.8 * hz, 1.2 * hz);
      console.log(
        `${name}: said ${hz.toFixed(1)} Hz, rings at ${heard.toFixed(1)} Hz, ${(100 * (heard / hz - 1)).toFixed(2)} %`,
      );
      expect(Math.abs(heard / hz - 1)).toBeLessThan(0.005);
    }
  });

  it("air instead of steam lowers them by the ratio of the speeds of sound", () => {
    const exhaust = plainPipe(2, 0.1);
    const steam = single({ exhaust });
    const air = single({ exhaust, workingFluid: "air", boiler: airBoiler });
    const speeds = [steam, air].map((d) => new Engine(d, 48_000, 1).exhausted.soundSpeedMPerS);
    const [ofSteam, ofAir] = [steam, air].map((d) => ringingHz(d, shutAngle(d), 30, 90));
    const ratio = ofSteam / ofAir;
    console.log(
      `steam ${ofSteam.toFixed(2)} Hz, air ${ofAir.toFixed(2)} Hz, ratio ${ratio.toFixed(4)}, speeds ${(speeds[0] / speeds[1]).toFixed(4)}`,
    );
    // The end's mass of air is longer in terms of steam, which weighs half as much: 0.6133 a (1.225 / 0.598 - 1) of 2 m, 1.6 %.
    const quarterWave = (densityRatio: number) => 2 + 0.6133 * 0.05 * densityRatio;
    const expected = ((speeds[0] / speeds[1]) * quarterWave(1)) / quarterWave(1.225 / 0.598);
    expect(Math.abs(ratio / expected - 1)).toBeLessThan(0.005);
    // Dry steam of one atmosphere 472.24 m/s [source: IAPWS-IF97], air of 15 degC 340.3 m/s [source: ISO 2533].
    expect(Math.abs(ratio / (472.24 / 340.3) - 1)).toBeLessThan(0.02);
  });

  it("an engine of half the size at twice the speed sounds an octave higher, line by line", () => {
    const whole = single({ workingFluid: "air", boiler: airBoiler, exhaust: plainPipe(2, 0.12), speedRpm: 120 });
    const { cylinder, valveGear } = whole.gear;
    if (valveGear.kind !== "eccentric") throw new Error("the locomotive has an eccentric");
    const half: EngineDescription = {
      ...withGear(whole, {
        cylinder: {
          ...cylinder,
          boreM: cylinder.boreM / 2,
          strokeM: cylinder.strokeM / 2,
          connectingRodM: cylinder.connectingRodM / 2,
          pistonRodM: cylinder.pistonRodM / 2,
        },
        valveGear: {
          ...valveGear,
          travelM: valveGear.travelM / 2,
          steamLapM: valveGear.steamLapM / 2,
          exhaustLapM: valveGear.exhaustLapM / 2,
          leadM: valveGear.leadM / 2,
          portLengthM: valveGear.portLengthM / 2,
          portWidthM: valveGear.portWidthM / 2,
        },
      }),
      exhaust: plainPipe(1, 0.06),
      speedRpm: 240,
    };
    const [base] = resonances(whole, 340);
    expect(Math.abs(resonances(half, 340)[0] / base - 2)).toBeLessThan(0.002);
    const rung = [whole, half].map((d, i) => ringingHz(d, shutAngle(d), 30 * (i + 1), 55 * (i + 1)));
    console.log(
      `whole ${rung[0].toFixed(2)} Hz, half ${rung[1].toFixed(2)} Hz, ratio ${(rung[1] / rung[0]).toFixed(4)}`,
    );
    expect(Math.abs(rung[1] / rung[0] / 2 - 1)).toBeLessThan(0.02);
    // Running: harmonic n of the half engine is harmonic n of the whole one, an octave up, of a quarter of the flow.
    const spectra = [whole, half].map((d) => {
      const turning = new Turning(d, { fidelity: 1 }).settle(3);
      return periodicSpectrum(turning.exitFlow(1), 1 / turning.engine.plan.stepS);
    });
    let worst = 0;
    const strongest = spectra[0].powers.slice(1, 100).reduce((most, power) => Math.max(most, power), 0);
    for (let n = 1; n < 100; n++) {
      if (spectra[0].powers[n] < 1e-3 * strongest) continue;
      worst = Math.max(worst, Math.abs(10 * Math.log10((16 * spectra[1].powers[n]) / spectra[0].powers[n])));
    }
    console.log(
      `greatest difference of a line ${worst.toFixed(2)} dB, spacing ${spectra[0].binHz} and ${spectra[1].binHz} Hz`,
    );
    expect(spectra[1].binHz / spectra[0].binHz).toBeCloseTo(2, 2);
    expect(worst).toBeLessThan(1);
  });
});
