import { Chimney } from "../../src/sound/chimney.js";
import { DelayLine } from "../../src/sound/delay-line.js";
import { HighPass } from "../../src/sound/high-pass.js";
import { Monopole } from "../../src/sound/monopole.js";
import { RadiationFilter } from "../../src/sound/radiation-filter.js";
import { ScatteringJunction } from "../../src/sound/scattering-junction.js";
import { TickInterpolator } from "../../src/sound/tick-interpolator.js";
import { WallLoss } from "../../src/sound/wall-loss.js";
import { rms } from "../sound/signal-measures.js";
import type { SignalUnitCase } from "./signal-unit-battery.js";
import { runSignalUnitBattery } from "./signal-unit-battery.js";

const AIR = { distanceM: 7.5, airDensityKgPerM3: 1.2041 };
const NEARER = { ...AIR, distanceM: 3 };

function chimneyCase(
  name: string,
  smokeboxVolumeM3: number,
  lengthM: number,
  boreM: number,
  isLumped: boolean,
): SignalUnitCase {
  return {
    name,
    diesAwayS: 8,
    sameWithinDb: 0.2,
    make: (rate) => {
      const chimney = new Chimney(rate, { smokeboxVolumeM3, lengthM, boreM });
      if (chimney.isLumped !== isLumped) throw new Error(`${name} is not the kind of chimney that it is called`);
      const restore = (): void => chimney.setGas(0.6, 470);
      restore();
      chimney.setFlowLossRatio(0.5);
      chimney.reset();
      return {
        reset: () => chimney.reset(),
        process: (input, output, n) => chimney.process(input, output, n),
        changeSettings: () => chimney.setGas(0.9, 380),
        restoreSettings: restore,
      };
    },
  };
}

const cases: SignalUnitCase[] = [
  {
    name: "TickInterpolator",
    diesAwayS: 0,
    sameWithinDb: 0.05,
    outputsPerInput: 4,
    make: () => {
      const unit = new TickInterpolator(4);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.processTicks(input, 0, 1, n, output, 0),
      };
    },
    // Gains at 50, 440 and 2000 Hz of ticks at a quarter of the rate.
    levelsDb: (rate) =>
      [50, 440, 2000].map((hz) => {
        const ticks = Float64Array.from({ length: rate / 4 }, (_, i) => Math.sin((2 * Math.PI * hz * 4 * i) / rate));
        const output = new Float64Array(rate);
        new TickInterpolator(4).processTicks(ticks, 0, 1, ticks.length, output, 0);
        return 20 * Math.log10(rms(output, 100));
      }),
  },
  {
    name: "HighPass",
    diesAwayS: 3,
    sameWithinDb: 0.01,
    make: (rate) => {
      const unit = new HighPass(rate);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.process(input, output, n),
        changeSettings: () => unit.setCornerHz(300),
        restoreSettings: () => unit.setCornerHz(8),
      };
    },
  },
  {
    name: "Monopole",
    diesAwayS: 0,
    sameWithinDb: 0.05,
    make: (rate) => {
      const unit = new Monopole(rate, AIR);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.process(input, output, n),
        changeSettings: () => unit.setListener(NEARER),
        restoreSettings: () => unit.setListener(AIR),
      };
    },
  },
  {
    name: "RadiationFilter",
    diesAwayS: 0.1,
    sameWithinDb: 0.2,
    make: (rate) => {
      const unit = new RadiationFilter(rate, 0.02, 343.2);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.process(input, output, n),
        changeSettings: () => unit.setMouth(0.2, 470),
        restoreSettings: () => unit.setMouth(0.02, 343.2),
      };
    },
  },
  {
    name: "DelayLine",
    diesAwayS: 0.1,
    sameWithinDb: 0.01,
    make: (rate) => {
      const unit = new DelayLine(rate / 50);
      const restore = (): void => unit.setDelaySamples(rate * 0.00321);
      restore();
      unit.reset();
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.process(input, output, n),
        changeSettings: () => unit.setDelaySamples(rate * 0.007),
        restoreSettings: restore,
      };
    },
  },
  {
    name: "WallLoss",
    diesAwayS: 3,
    sameWithinDb: 0.05,
    make: (rate) => {
      const unit = new WallLoss(rate);
      const restore = (): void => unit.setLoss(80, 0.05);
      restore();
      unit.reset();
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.process(input, output, n),
        changeSettings: () => unit.setLoss(60, 0.5),
        restoreSettings: restore,
      };
    },
  },
  {
    name: "ScatteringJunction",
    diesAwayS: 0,
    sameWithinDb: 1e-9,
    make: () => {
      const unit = new ScatteringJunction(1);
      const two = new ScatteringJunction(2);
      const pair = new Float64Array(2);
      const restore = (): void => two.setAdmittance(1, 3);
      restore();
      return {
        reset: () => {
          unit.reset();
          two.reset();
        },
        process: (input, output, n) => {
          for (let i = 0; i < n; i++) {
            pair[0] = input[i];
            pair[1] = 0;
            two.process(pair, pair, 1);
            output[i] = pair[1];
          }
          unit.process(output, output, n);
        },
        changeSettings: () => two.setAdmittance(1, 0.3),
        restoreSettings: restore,
      };
    },
  },
  chimneyCase("Chimney of a locomotive", 3, 1.2, 0.4, false),
  chimneyCase("Chimney of a model", 1e-4, 0.06, 0.012, false),
  chimneyCase("Chimney too short for a waveguide", 1e-4, 0.005, 0.01, true),
];

for (const unitCase of cases) runSignalUnitBattery(unitCase);
