import { NoiseStream } from "../../src/quantities/random.js";
import { CombustionRoar } from "../../src/sound/combustion-roar.js";
import { OpenPipe } from "../../src/sound/open-pipe.js";
import { Patter } from "../../src/sound/patter.js";
import { Slugs } from "../../src/sound/slugs.js";
import { TonePool } from "../../src/sound/tone-pool.js";
import { WetJet } from "../../src/sound/wet-jet.js";
import { STEAM_IN_BELL, WhistleBell } from "../../src/sound/whistle-bell.js";
import { bandLevelDb } from "../sound/jet-measures.js";
import { rms } from "../sound/signal-measures.js";
import type { SignalUnitCase } from "./signal-unit-battery.js";
import { runSignalUnitBattery } from "./signal-unit-battery.js";

const AIR = { distanceM: 7.5, airDensityKgPerM3: 1.2041, airSoundSpeedMPerS: 343.2 };
const MOST = 8192;
const levelDb = (signal: Float64Array): number => 20 * Math.log10(rms(signal));

function patter(rate: number): Patter {
  const setting = { spreadRatio: 1.6, quality: 5, sizePower: 1 } as const;
  return new Patter(rate, new NoiseStream(5, 10), new NoiseStream(5, 11), setting);
}

function wetJet(rate: number): WetJet {
  const noises = Array.from({ length: 7 }, (_, k) => new NoiseStream(5, 20 + k));
  return new WetJet(rate, noises, { ...AIR, boreM: 0.01, slugHz: 14 });
}

function whistleBell(rate: number): WhistleBell {
  const shape = { lengthM: 0.14, boreM: 0.06, slitM: 0.00048, cutUpRatio: 0.4, gas: STEAM_IN_BELL };
  return new WhistleBell(rate, new NoiseStream(5, 60), shape);
}

/** Runs `work` over pieces that fit into arrays made beforehand; whole arrays where they fit, to allocate nothing. */
function inPieces(
  input: Float64Array,
  output: Float64Array,
  n: number,
  work: (input: Float64Array, output: Float64Array, count: number) => void,
): void {
  if (n <= MOST) work(input, output, n);
  else {
    for (let start = 0; start < n; start += MOST) {
      work(input.subarray(start), output.subarray(start), Math.min(MOST, n - start));
    }
  }
}

const cases: SignalUnitCase[] = [
  {
    // Strikes a tone at every sample above a limit that few pass.
    name: "TonePool",
    diesAwayS: 1,
    sameWithinDb: 0.1,
    make: (rate) => {
      const unit = new TonePool(rate, 8);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          for (let i = 0; i < n; i++) {
            output[i] = 0;
            const size = Math.abs(input[i]);
            if (size > 0) {
              unit.strikeHz = 300 + 900 * Math.min(1, size);
              unit.strikeDecayPerS = 400;
              unit.strikeExposurePa2S = 1e-3 * size * size;
              unit.strike();
            }
            unit.add(output, i, 1);
          }
        },
      };
    },
    levelsDb: (rate) =>
      [200, 1000, 5000].map((hz) => {
        const unit = new TonePool(rate, 2);
        const output = new Float64Array(rate);
        unit.strikeHz = hz;
        unit.strikeDecayPerS = 30;
        unit.strikeExposurePa2S = 1e-4;
        unit.strike();
        unit.add(output, 0, rate);
        return levelDb(output);
      }),
  },
  {
    name: "Patter",
    diesAwayS: 1,
    sameWithinDb: 0.4,
    make: (rate) => {
      const unit = patter(rate);
      const pitch = new Float64Array(MOST).fill(900);
      const often = new Float64Array(MOST);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) =>
          inPieces(input, output, n, (from, to, count) => {
            for (let i = 0; i < count; i++) often[i] = 500 * Math.abs(from[i]);
            unit.process(often, often, pitch, to, count);
          }),
      };
    },
    // 90 s of 300 tones a second: 27,000 tones of exponential energies, 0.04 dB of chance.
    levelsDb: (rate) => {
      const n = 90 * rate;
      const output = new Float64Array(n);
      const of = (value: number) => new Float64Array(n).fill(value);
      patter(rate).process(of(300), of(1e-4), of(900), output, n);
      return [levelDb(output)];
    },
  },
  {
    // What it does to the input: nothing where none is asked for.
    name: "Slugs",
    diesAwayS: 0,
    sameWithinDb: 0.6,
    make: (rate) => {
      const unit = new Slugs(rate, new NoiseStream(5, 12));
      const hz = new Float64Array(MOST).fill(20);
      const share = new Float64Array(MOST);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) =>
          inPieces(input, output, n, (from, to, count) => {
            for (let i = 0; i < count; i++) share[i] = Math.min(1, 0.4 * Math.abs(from[i]));
            unit.process(share, hz, share, count);
            for (let i = 0; i < count; i++) to[i] = share[i] * from[i];
          }),
      };
    },
    // Mean and swing of the free share over 200 s, some 3000 slugs.
    levelsDb: (rate) => {
      const n = 200 * rate;
      const free = new Float64Array(n);
      new Slugs(rate, new NoiseStream(5, 12)).process(
        new Float64Array(n).fill(0.3),
        new Float64Array(n).fill(15),
        free,
        n,
      );
      return [levelDb(free)];
    },
  },
  {
    name: "WetJet",
    diesAwayS: 1,
    sameWithinDb: 0.6,
    make: (rate) => {
      const unit = wetJet(rate);
      const [mass, speed, mach, open, water] = Array.from({ length: 5 }, () => new Float64Array(MOST));
      return {
        reset: () => unit.reset(),
        process: (input, output, n) =>
          inPieces(input, output, n, (from, to, count) => {
            for (let i = 0; i < count; i++) {
              const flow = Math.abs(from[i]);
              mass[i] = 0.1 * flow;
              speed[i] = 500 * Math.min(1.5, flow);
              mach[i] = 1.5 * Math.min(1.5, flow);
              open[i] = Math.min(1, flow);
              // Wet and dry by turns.
              water[i] = flow > 0.4 ? 0.05 * flow : 0;
            }
            unit.process(mass, speed, mach, open, water, to, count);
          }),
      };
    },
    levelsDb: (rate) =>
      [0, 0.05].map((water) => {
        const n = 60 * rate;
        const output = new Float64Array(n);
        const of = (value: number) => new Float64Array(n).fill(value);
        wetJet(rate).process(of(0.05), of(500), of(1.4), of(1), of(water), output, n);
        return bandLevelDb(output, 200, 6000, rate);
      }),
  },
  {
    name: "CombustionRoar",
    diesAwayS: 0,
    sameWithinDb: 0.3,
    make: (rate) => {
      const unit = new CombustionRoar(rate, new NoiseStream(5, 14), { ...AIR, outRatio: 0.1 });
      const heat = new Float64Array(MOST);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) =>
          inPieces(input, output, n, (from, to, count) => {
            for (let i = 0; i < count; i++) heat[i] = 1e5 * Math.abs(from[i]);
            unit.process(heat, to, count);
          }),
      };
    },
    levelsDb: (rate) => {
      const n = 60 * rate;
      const output = new Float64Array(n).fill(1e5);
      new CombustionRoar(rate, new NoiseStream(5, 14), { ...AIR, outRatio: 1 }).process(output, output, n);
      return [levelDb(output)];
    },
  },
  {
    name: "OpenPipe",
    diesAwayS: 2,
    sameWithinDb: 0.3,
    make: (rate) => {
      const unit = new OpenPipe(rate, { lengthM: 1.2, boreM: 0.3, soundSpeedMPerS: 430 });
      return { reset: () => unit.reset(), process: (input, output, n) => unit.process(input, output, n) };
    },
  },
  {
    name: "WhistleBell",
    diesAwayS: 1,
    sameWithinDb: 0.5,
    make: (rate) => {
      const unit = whistleBell(rate);
      const push = new Float64Array(MOST);
      const speed = new Float64Array(MOST);
      return {
        reset: () => unit.reset(),
        process: (input, output, n) =>
          inPieces(input, output, n, (from, to, count) => {
            for (let i = 0; i < count; i++) {
              push[i] = 60 * Math.abs(from[i]);
              speed[i] = 600 * Math.min(1.5, Math.abs(from[i]));
            }
            unit.process(push, speed, to, count);
          }),
      };
    },
    levelsDb: (rate) =>
      [20, 70].map((newtons) => {
        const flow = new Float64Array(6 * rate);
        whistleBell(rate).process(
          flow.map(() => newtons),
          flow.map(() => 650),
          flow,
          flow.length,
        );
        return levelDb(flow.subarray(rate / 2));
      }),
  },
];

for (const unitCase of cases) runSignalUnitBattery(unitCase);
