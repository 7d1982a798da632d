import { NoiseStream } from "../../src/quantities/random.js";
import { STEEL } from "../../src/sound/modal-bodies.js";
import { RollingNoise } from "../../src/sound/rolling-noise.js";
import { StickSlip } from "../../src/sound/stick-slip.js";
import { barModes } from "../../src/sound/struck-body.js";
import { StruckModes } from "../../src/sound/struck-modes.js";
import { rms } from "../sound/signal-measures.js";
import type { SignalUnitCase } from "./signal-unit-battery.js";
import { runSignalUnitBattery } from "./signal-unit-battery.js";

const AIR = { distanceM: 7.5, airDensityKgPerM3: 1.2041, airSoundSpeedMPerS: 343.2 };
const ROD = { stuff: STEEL, lossRatio: 0.03, modeCount: 6, lengthM: 1, depthM: 0.05, widthM: 0.03 };

const SLIPPING = {
  modes: [{ frequencyHz: 700, lossRatio: 5e-3, paPerNs: 1e-3 }],
  massKg: 100,
  loadN: 8e4,
  adhesionRatio: 0.3,
  slipRatio: 0.15,
  halfMPerS: 1,
};

const cases: SignalUnitCase[] = [
  {
    // Every sample of the input is a blow.
    name: "StruckModes",
    diesAwayS: 3,
    sameWithinDb: 0.2,
    make: (rate) => {
      const unit = new StruckModes(rate, barModes(ROD, AIR), 1024);
      const scratch = new Float64Array(1024);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          for (let start = 0; start < n; start += 1024) {
            const end = Math.min(n, start + 1024);
            for (let i = start; i < end; i++) if (input[i] !== 0) unit.strike(i - start, input[i], 1e-4);
            scratch.fill(0);
            unit.process(scratch, end - start);
            for (let i = start; i < end; i++) output[i] = scratch[i - start];
          }
        },
      };
    },
    levelsDb: (rate) => {
      const unit = new StruckModes(rate, barModes(ROD, AIR), 1024);
      const output = new Float64Array(rate);
      unit.strike(0, 1, 4e-4);
      unit.process(output, rate);
      return [20 * Math.log10(rms(output))];
    },
  },
  {
    name: "RollingNoise",
    diesAwayS: 0,
    sameWithinDb: 0.3,
    make: (rate) => {
      const unit = new RollingNoise(rate, new NoiseStream(5, 6), 0.2);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.process(input, output, n),
        changeSettings: () => unit.setLevel(0.4),
        restoreSettings: () => unit.setLevel(0.2),
      };
    },
    levelsDb: (rate) => {
      const output = new Float64Array(10 * rate);
      new RollingNoise(rate, new NoiseStream(5, 6), 0.2).process(
        new Float64Array(output.length).fill(6),
        output,
        output.length,
      );
      return [20 * Math.log10(rms(output, rate))];
    },
  },
  {
    // The input is the slip.
    name: "StickSlip",
    diesAwayS: 3,
    sameWithinDb: 0.5,
    make: (rate) => {
      const unit = new StickSlip(rate, SLIPPING);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          output.fill(0, 0, n);
          unit.process(input, output, n);
        },
      };
    },
    levelsDb: (rate) => {
      const unit = new StickSlip(rate, SLIPPING);
      const output = new Float64Array(3 * rate);
      unit.process(new Float64Array(output.length).fill(0.2), output, output.length);
      return [20 * Math.log10(rms(output, 2 * rate))];
    },
  },
];

for (const unitCase of cases) runSignalUnitBattery(unitCase);
