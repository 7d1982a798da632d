import { AbsorptionTable, AirAbsorption } from "../../src/sound/air-absorption.js";
import { GRASS } from "../../src/sound/ground-reflection.js";
import { MovingDelay } from "../../src/sound/moving-delay.js";
import { SoundPath } from "../../src/sound/propagation.js";
import type { SignalUnitCase } from "./signal-unit-battery.js";
import { runSignalUnitBattery } from "./signal-unit-battery.js";

const AIR = { temperatureK: 283.15, pressurePa: 101_325, humidityRatio: 0.7, soundSpeedMPerS: 337.3 };
const tables = new Map<number, AbsorptionTable>();
const tableAt = (rate: number): AbsorptionTable => {
  const made = tables.get(rate) ?? new AbsorptionTable(rate, AIR, 200);
  tables.set(rate, made);
  return made;
};

const cases: SignalUnitCase[] = [
  {
    name: "AirAbsorption",
    diesAwayS: 0.5,
    sameWithinDb: 0.2,
    make: (rate) => {
      const unit = new AirAbsorption(tableAt(rate));
      unit.setDistanceM(100);
      unit.reset();
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => unit.process(input, output, n),
        changeSettings: () => unit.setDistanceM(20),
        restoreSettings: () => unit.setDistanceM(100),
      };
    },
  },
  {
    name: "MovingDelay",
    diesAwayS: 0.1,
    sameWithinDb: 0.01,
    make: (rate) => {
      const unit = new MovingDelay(rate / 50, 64, 1);
      const outputs: [Float64Array] = [new Float64Array(0)];
      const set = (seconds: number): void => {
        unit.travel[0] = rate * seconds;
      };
      set(0.00321);
      unit.gains[0] = 1;
      unit.reset();
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          output.fill(0, 0, n);
          outputs[0] = output;
          unit.process(input, 0, outputs, 0, n);
        },
        changeSettings: () => {
          set(0.007);
        },
        restoreSettings: () => {
          set(0.00321);
        },
      };
    },
  },
  {
    name: "SoundPath",
    diesAwayS: 0.6,
    // The comb of the ground at 2 kHz answers to every hundredth of a sample.
    sameWithinDb: 0.3,
    make: (rate) => {
      const air = { soundSpeedMPerS: 337.3, absorption: tableAt(rate), ground: GRASS };
      const settings = {
        sampleRateHz: rate,
        rowSamples: 64,
        farthestM: 50,
        givenAtM: 7.5,
        pickUp: Float64Array.of(1, 0, 0, 0),
      };
      const unit = new SoundPath(air, settings, 4, 1.5, 7.5);
      const outputs: [Float64Array] = [new Float64Array(0)];
      const set = (xM: number): void => {
        unit.place[0] = xM;
        unit.place[1] = 7.5;
        unit.place[2] = 2.5;
      };
      set(0);
      unit.reset();
      return {
        reset: () => unit.reset(),
        process: (input, output, n) => {
          output.fill(0, 0, n);
          outputs[0] = output;
          unit.process(input, 0, outputs, 0, n);
        },
        changeSettings: () => {
          set(11);
        },
        restoreSettings: () => {
          set(0);
        },
      };
    },
  },
];

cases.forEach(runSignalUnitBattery);
