import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import { airModel, locomotive, presetMachine, presetNames } from "./descriptions.js";
import { octaveLevelsDb, Turning } from "./turning.js";

interface Measured {
  readonly flowKgPerS: number;
  readonly meanEffectivePa: number[];
  readonly peakM3PerS: number;
  readonly bands: { hz: number; levelDb: number }[];
}

function measure(description: EngineDescription, speedRpm: number, fidelity: 1 | 2 | 4): Measured {
  const turning = new Turning(description, { speedRpm, fidelity });
  const settleTurns = 8;
  turning.settle(settleTurns);
  // Whole turns enough for the lowest band to hold a line.
  const turnCount = Math.max(1, Math.ceil(0.2 / turning.turnS));
  const flow = new Float64Array(turnCount * turning.ticksPerTurn);
  const volumes = turning.engine.record.mouthVolumeM3PerS;
  const account = turning.turns(turnCount, (i) => {
    for (let m = 0; m < volumes.length; m++) flow[i] += volumes[m];
  });
  return {
    flowKgPerS: account.massOutKg / account.seconds,
    meanEffectivePa: account.meanEffectivePa,
    peakM3PerS: flow.reduce((most, value) => Math.max(most, value), 0),
    bands: octaveLevelsDb(flow, turning.engine.plan.stepS),
  };
}

/** Limits: mean flow, mean effective pressure and peak as shares, octave bands to 250 Hz and at 500 Hz in dB. */
interface Limits {
  readonly flow: number;
  readonly pressure: number;
  readonly peak: number;
  readonly bandsDb: number;
  readonly at500HzDb: number;
}

// [source: the self-check of the pipe model, every 4th against every 2nd sample]
const againstSecond: Limits = { flow: 1e-3, pressure: 3e-3, peak: 0.03, bandsDb: 0.3, at500HzDb: 3 };
// Superheated exhaust differs more in temperature from beat to beat. Fronts mix over one cell on purpose, as turbulence
// would mix them, so what such fronts sound like at the nozzle depends on the cell: 0.36 dB at 250 Hz.
const superheated: Limits = { ...againstSecond, bandsDb: 0.4 };
// [source: the design's limits of the pipe model: flow 0.5 %, mean effective pressure 1 %, bands to 250 Hz 1 dB]; held closer
const againstEvery: Limits = { flow: 2e-3, pressure: 3e-3, peak: 0.03, bandsDb: 0.6, at500HzDb: 3 };

const cases: { name: string; description: EngineDescription; speedRpm: number; fine: 1 | 2; limits: Limits }[] = [];
for (const speedRpm of [40, 100, 220]) {
  for (const idealised of [true, false]) {
    const name = `locomotive${idealised ? ", idealised" : ""}`;
    const description = locomotive({ idealised });
    cases.push({ name, description, speedRpm, fine: 2, limits: againstSecond });
    if (speedRpm > 40) cases.push({ name, description, speedRpm, fine: 1, limits: againstEvery });
  }
}
cases.push({ name: "12 mm air model", description: airModel(), speedRpm: 900, fine: 2, limits: againstSecond });
for (const name of presetNames) {
  const { description } = presetMachine(name);
  const limits = description.boiler.superheatK > 0 ? superheated : againstSecond;
  cases.push({ name, description, speedRpm: description.speedRpm, fine: 2, limits });
  if (name === "bench-slide" || name === "pocket-wobbler") {
    cases.push({ name, description, speedRpm: description.speedRpm, fine: 1, limits: againstEvery });
  }
}

describe("ticks of every fourth sample agree with finer ones", () => {
  it.each(cases)("$name at $speedRpm rpm against fidelity $fine", ({ name, description, speedRpm, fine, limits }) => {
    const exact = measure(description, speedRpm, fine);
    const coarse = measure(description, speedRpm, 4);
    const flow = coarse.flowKgPerS / exact.flowKgPerS - 1;
    const pressures = coarse.meanEffectivePa.map((pa, i) => pa / exact.meanEffectivePa[i] - 1);
    const peak = coarse.peakM3PerS / exact.peakM3PerS - 1;
    const bands = coarse.bands.map(({ hz, levelDb }, i) => ({ hz, db: levelDb - exact.bands[i].levelDb }));
    const percent = (share: number) => (100 * share).toFixed(3);
    console.log(
      `${name}, ${speedRpm} rpm, 4 against ${fine}: flow ${percent(flow)} %, mean pressures ${pressures.map(percent).join(" ")} %, ` +
        `peak ${percent(peak)} %, bands ${bands.map(({ hz, db }) => `${hz} ${db.toFixed(2)}`).join(", ")} dB`,
    );
    expect(Math.abs(flow)).toBeLessThan(limits.flow);
    for (const pressure of pressures) expect(Math.abs(pressure)).toBeLessThan(limits.pressure);
    expect(Math.abs(peak)).toBeLessThan(limits.peak);
    expect(bands.map(({ hz }) => hz)).toEqual([31.5, 63, 125, 250, 500]);
    for (const { hz, db } of bands) expect(Math.abs(db)).toBeLessThan(hz < 500 ? limits.bandsDb : limits.at500HzDb);
  });
});
