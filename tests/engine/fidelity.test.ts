import { describe, expect, it } from "vitest";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import {
  airModel,
  locomotive,
  millEngine,
  oscillating12mm,
  presetMachine,
  presetNames,
  slideValve12mm,
  workshopOnAir,
} from "./descriptions.js";
import { slopeOctavesDb, Turning } from "./turning.js";

interface Measured {
  readonly flowKgPerS: number;
  readonly meanEffectivePa: number[];
  readonly peakM3PerS: number;
  /** Of the rate at which the volume flow changes: 31.5 to 500 Hz. */
  readonly bandsDb: number[];
}

function measure(
  description: EngineDescription,
  speedRpm: number,
  cutoffRatio: number | null,
  fidelity: 1 | 2 | 4,
): Measured {
  const turning = new Turning(description, { speedRpm, cutoffRatio, fidelity });
  turning.settle(speedRpm < 50 ? 5 : 8);
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
    bandsDb: slopeOctavesDb(flow, turning.engine.plan.stepS),
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
// would mix them, so what such fronts sound like at the nozzle depends on the cell: 0.3 dB at 250 Hz. Of the two the
// coarse cells are the nearer to the fine solution with turbulent mixing: tests/engine/against-fine-twin.test.ts.
const superheated: Limits = { ...againstSecond, bandsDb: 0.4 };
// [source: the design's limits of the pipe model: flow 0.5 %, mean effective pressure 1 %, bands to 250 Hz 1 dB]; held closer
const againstEvery: Limits = { flow: 2e-3, pressure: 3e-3, peak: 0.03, bandsDb: 0.6, at500HzDb: 3 };

interface Case {
  readonly name: string;
  readonly description: EngineDescription;
  readonly speedRpm: number;
  readonly cutoffRatio?: number;
  readonly fine: 1 | 2;
  readonly limits: Limits;
}

const cases: Case[] = [];
for (const speedRpm of [40, 100, 220]) {
  for (const idealised of [true, false]) {
    const name = `locomotive${idealised ? ", idealised" : ""}`;
    const description = locomotive({ idealised });
    cases.push({ name, description, speedRpm, fine: 2, limits: againstSecond });
    const slow = speedRpm === 40;
    if (!slow) cases.push({ name, description, speedRpm, fine: 1, limits: againstEvery });
    const notchedUp = { name, description, speedRpm, cutoffRatio: 0.3 };
    cases.push({ ...notchedUp, fine: slow ? 2 : 1, limits: slow ? againstSecond : againstEvery });
  }
}
for (const idealised of [true, false]) {
  const kind = idealised ? ", idealised" : "";
  const workshop = { name: `60 mm on air${kind}`, description: workshopOnAir({ idealised }), speedRpm: 200 };
  cases.push({ ...workshop, fine: 1, limits: againstEvery });
  cases.push({ ...workshop, cutoffRatio: 0.35, fine: 1, limits: againstEvery });
  const mill = { name: `mill engine${kind}`, description: millEngine({ idealised }), speedRpm: 40 };
  // Five turns do not settle 8 m of pipe and the metal to a thousandth of the flow. The mouth breathes cold air, whose front
  // is mixed by the cells: a pipe without friction rings on it. [source: the design's limit to 250 Hz, 1 dB]
  cases.push({ ...mill, fine: 2, limits: idealised ? { ...againstSecond, bandsDb: 0.8 } : againstEvery });
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
  it.each(cases)("$name at $speedRpm rpm against fidelity $fine", (one) => {
    const { name, description, speedRpm, cutoffRatio = null, fine, limits } = one;
    const exact = measure(description, speedRpm, cutoffRatio, fine);
    const coarse = measure(description, speedRpm, cutoffRatio, 4);
    const flow = coarse.flowKgPerS / exact.flowKgPerS - 1;
    const pressures = coarse.meanEffectivePa.map((pa, i) => pa / exact.meanEffectivePa[i] - 1);
    const peak = coarse.peakM3PerS / exact.peakM3PerS - 1;
    const bands = coarse.bandsDb.map((db, i) => db - exact.bandsDb[i]);
    const percent = (share: number) => (100 * share).toFixed(3);
    console.log(
      `${name}, ${speedRpm} rpm, ${cutoffRatio ?? "full gear"}, 4 against ${fine}: flow ${percent(flow)} %, mean pressures ${pressures.map(percent).join(" ")} %, ` +
        `peak ${percent(peak)} %, octaves 31.5 to 500 Hz ${bands.map((db) => db.toFixed(2)).join(", ")} dB`,
    );
    expect(Math.abs(flow)).toBeLessThan(limits.flow);
    for (const pressure of pressures) expect(Math.abs(pressure)).toBeLessThan(limits.pressure);
    expect(Math.abs(peak)).toBeLessThan(limits.peak);
    expect(bands).toHaveLength(5);
    bands.forEach((db, i) => expect(Math.abs(db)).toBeLessThan(i < 4 ? limits.bandsDb : limits.at500HzDb));
  });

  // Their pipes are too short for longer ticks: what fidelity 4 is worth there only an independent solution can tell.
  it.each([
    ["oscillating", oscillating12mm()],
    ["slide valve", slideValve12mm()],
    ["on air", airModel()],
  ])("a 12 mm model, %s, ticks at every sample whatever the fidelity", (_, description) => {
    for (const fidelity of [1, 2, 4] as const)
      expect(new Turning(description, { fidelity }).engine.plan.stepS).toBe(1 / 48_000);
  });
});
