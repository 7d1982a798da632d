import { NoiseStream } from "../../src/quantities/random.js";
import { Background } from "../../src/sound/background.js";
import { JetExpansion } from "../../src/sound/jet-expansion.js";
import { JetNoise } from "../../src/sound/jet-noise.js";
import { NoiseColour } from "../../src/sound/noise-colour.js";
import { ShockNoise } from "../../src/sound/shock-noise.js";
import { bandLevelDb } from "../sound/jet-measures.js";
import { rms } from "../sound/signal-measures.js";
import type { SignalUnitCase } from "./signal-unit-battery.js";
import { runSignalUnitBattery } from "./signal-unit-battery.js";

const JET = { distanceM: 7.5, airDensityKgPerM3: 1.2041, boreM: 0.1, airSoundSpeedMPerS: 343.2 };
const WIDER_JET = { ...JET, boreM: 0.2 };

function jet(rate: number): JetNoise {
  return new JetNoise(rate, new NoiseStream(5, 2), JET);
}

function shocks(rate: number): ShockNoise {
  return new ShockNoise(rate, new NoiseStream(5, 3), JET);
}

const HUM = [
  { zeroRatio: 0, poleRatio: 0.2 },
  { zeroRatio: 2, poleRatio: 1 },
] as const;

const cases: SignalUnitCase[] = [
  {
    name: "JetNoise",
    diesAwayS: 0,
    sameWithinDb: 0.2,
    make: (rate) => {
      const unit = jet(rate);
      const velocity = new Float64Array(8192);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          for (let start = 0; start < n; start += velocity.length) {
            const count = Math.min(velocity.length, n - start);
            for (let i = 0; i < count; i++) velocity[i] = 200 * input[start + i];
            if (n <= velocity.length) unit.process(input, velocity, output, count);
            else unit.process(input.subarray(start), velocity, output.subarray(start), count);
          }
        },
        changeSettings: () => unit.setJet(WIDER_JET),
        restoreSettings: () => unit.setJet(JET),
      };
    },
    levelsDb: (rate) => {
      const count = 20 * rate;
      const output = new Float64Array(count);
      jet(rate).process(new Float64Array(count).fill(0.5), new Float64Array(count).fill(250), output, count);
      return [20 * Math.log10(rms(output, rate))];
    },
  },
  {
    name: "ShockNoise",
    diesAwayS: 0,
    sameWithinDb: 0.2,
    make: (rate) => {
      const unit = shocks(rate);
      const velocity = new Float64Array(8192);
      const mach = new Float64Array(8192);
      return {
        reset: () => unit.reset(),
        // Choked in some samples and not in others, as the input has it; at rest where that is 0.
        process: (input, output, n) => {
          for (let start = 0; start < n; start += velocity.length) {
            const count = Math.min(velocity.length, n - start);
            for (let i = 0; i < count; i++) {
              velocity[i] = 500 * input[start + i];
              mach[i] = 1.6 * input[start + i];
            }
            if (n <= velocity.length) unit.process(velocity, mach, output, count);
            else unit.process(velocity, mach, output.subarray(start), count);
          }
        },
        changeSettings: () => unit.setJet(WIDER_JET),
        restoreSettings: () => unit.setJet(JET),
      };
    },
    levelsDb: (rate) => {
      const count = 20 * rate;
      const output = new Float64Array(count);
      shocks(rate).process(new Float64Array(count).fill(600), new Float64Array(count).fill(1.4), output, count);
      // What lies below half of the lowest rate.
      return [bandLevelDb(output, 100, 15000, rate)];
    },
  },
  {
    // Items, not samples: speed and Mach number of the expanded jet, one after the other.
    name: "JetExpansion",
    diesAwayS: 0,
    sameWithinDb: 1e-9,
    outputsPerInput: 2,
    make: () => {
      const unit = new JetExpansion(1.3, 101325);
      const [pressure, density, velocity, speed, mach] = Array.from({ length: 5 }, () => new Float64Array(512));
      density.fill(0.6);
      return {
        reset: () => undefined,
        process: (input, output, n) => {
          for (let start = 0; start < n; start += 512) {
            const count = Math.min(512, n - start);
            for (let i = 0; i < count; i++) {
              velocity[i] = 400 * input[start + i];
              pressure[i] = 101325 * (1 + Math.abs(input[start + i]));
            }
            unit.process(pressure, density, velocity, speed, mach, count);
            for (let i = 0; i < count; i++) {
              output[2 * (start + i)] = speed[i];
              output[2 * (start + i) + 1] = mach[i];
            }
          }
        },
        changeSettings: () => unit.setOutside(50000),
        restoreSettings: () => unit.setOutside(101325),
      };
    },
    // It knows no rate.
    levelsDb: () => {
      const speed = new Float64Array(1);
      const one = Float64Array.of(2e5);
      new JetExpansion(1.3, 101325).process(one, Float64Array.of(0.6), Float64Array.of(400), speed, one, 1);
      return [20 * Math.log10(speed[0])];
    },
  },
  {
    name: "NoiseColour",
    diesAwayS: 0.1,
    sameWithinDb: 0.1,
    make: (rate) => {
      const unit = new NoiseColour(rate, HUM);
      const set = (hz: number): void => {
        unit.baseHz = hz;
        unit.follow();
      };
      set(700);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          for (let i = 0; i < n; i++) output[i] = input[i];
          unit.process(output, 0, n);
        },
        changeSettings: () => set(1900),
        restoreSettings: () => set(700),
      };
    },
  },
  {
    // It has no input; the input here opens and shuts it, for the battery's sake.
    name: "Background",
    diesAwayS: 0,
    sameWithinDb: 0.3,
    make: (rate) => {
      const unit = new Background(rate, new NoiseStream(5, 4), 30);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          unit.process(output, n);
          for (let i = 0; i < n; i++) output[i] = output[i] * input[i];
        },
        changeSettings: () => unit.setLevel(40),
        restoreSettings: () => unit.setLevel(30),
      };
    },
    // Unweighted, of some 40 Hz of band: 0.1 dB of chance. The A-weighted level is held in tests/sound.
    levelsDb: (rate) => {
      const output = new Float64Array(60 * rate);
      new Background(rate, new NoiseStream(5, 4), 30).process(output, output.length);
      return [20 * Math.log10(rms(output, rate))];
    },
  },
];

for (const unitCase of cases) runSignalUnitBattery(unitCase);
