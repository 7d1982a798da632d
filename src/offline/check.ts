import { ownCutoffRatio, driveOf, steadyPlan } from "./run-plan.js";
import { caution } from "./caution.js";
import { Balance, requireFiniteGas } from "./balance.js";
import { troubleWarnings, unsettledWarnings } from "./trouble-warnings.js";
import { unitsNotes } from "./units-notes.js";
import { effectiveChimneyLengthM, smokeboxSoundSpeedMPerS } from "../engine/exhaust-network.js";
import { pipeResonancesHz } from "../engine/pipe-resonances.js";
import type { EngineUnits } from "../preset/engine-units.js";
import type { EngineDescription } from "../engine/engine-description.js";
import { Machine } from "../machine/machine.js";
import { settle } from "../machine/settle.js";
import { helmholtzResonanceHz } from "../sound/acoustics.js";
import { lastStageOf } from "../gear/stages.js";
import { resolveCutoff } from "../gear/equivalent-eccentric.js";
import { isCrankless } from "../gear/gear-description.js";
import { steadyDescription } from "./steady-pump.js";
import { absorbedPowerWarnings, unevenWorkWarnings } from "./odd-work.js";
import { reportedFaults, type ReportedFault } from "./reported-faults.js";
import type { RenderSummary } from "./render-request.js";

/** The JSON of `check`. Pressures are mean effective ones, over each end's own swept volume. */
export interface CheckReport {
  readonly assumed: RenderSummary["assumed"];
  readonly warnings: readonly string[];
  /** Of a turn's throughput; null while the shaft stands. */
  readonly massResidualRatio: number;
  readonly energyResidualRatio: number;
  /** Of all engine units, as `powerW`. */
  readonly steamKgPerS: number;
  readonly powerW: number;
  /** For each indicated kilowatt-hour; null where the gas does no work. */
  readonly steamKgPerKWh: number | null;
  readonly meanEffectivePressurePa: readonly number[];
  /** Of a compound: mean over the turn in each receiver, in order; left out where there is none. Absolute. */
  readonly receiverPressurePa?: readonly number[];
  readonly resonancesHz: readonly number[];
  readonly pistonSpeedMPerS: number;
  /** Of a pump without a crank, against its lift: what it makes of its own accord, and what the water is given; else null. */
  readonly doubleStrokesPerMin: number | null;
  readonly waterM3PerS: number | null;
  readonly waterPowerW: number | null;
  /** Greatest nominal cut-off of the gear; `null` for oscillating cylinders. */
  readonly fullGearCutoffRatio: number | null;
  /** What the boiler or receiver supplies, absolute. */
  readonly boilerPressurePa: number;
  readonly boilerTemperatureK: number;
  /** What is out of true, as the machine file says. */
  readonly faults: readonly ReportedFault[];
  readonly caution: string;
}

/** A machine as its file describes it, with what had to be assumed. */
export interface CheckedMachine {
  readonly description: EngineDescription;
  readonly engineUnits: EngineUnits;
  readonly assumed: RenderSummary["assumed"];
  readonly warnings: readonly string[];
}

const rateHz = 48_000;
const highestResonanceHz = 20_000;
const mostResonances = 12;
const joulesPerKWh = 3.6e6; // [source: SI brochure, 2019: 1 h is 3600 s]
// A standing shaft is judged over this long.
const standingS = 1;
// How often a turn the receivers are looked at. [common practice]
const looksPerTurn = 360;

// A double stroke is no whole number of ticks, and nothing holds it to be: the mean of some. [common practice]
const pumpedStrokes = 8;

/** Runs a machine in at its own speed, full regulator and full gear, and balances one turn. @throws RangeError for a gear that cannot turn */
export function checkMachine(file: CheckedMachine): CheckReport {
  const description = steadyDescription(file.description);
  const pumps = isCrankless(description.gear);
  const ownRpm = description.speedRpm;
  const plan = steadyPlan(description, pumps ? 0 : ownRpm, 1, ownCutoffRatio(description.gear, ownRpm), 60);
  const settings = { sampleRateHz: rateHz, fidelity: 4, seed: 1, distanceM: 7.5, strokesAlready: true } as const;
  const machine = new Machine(description, settings, driveOf(plan));
  const settled = settle(machine, ownRpm, 0);
  const speedRpm = !pumps ? ownRpm : Number.isFinite(settled.strokeS) ? 60 / settled.strokeS! : 0;
  const { engine } = machine;
  const turnS = speedRpm === 0 ? standingS : 60 / Math.abs(speedRpm);
  const ticks = Math.round((pumps && speedRpm > 0 ? pumpedStrokes : 1) * (turnS / machine.tickS));
  const shaftBefore = engine.record.shaftRad;
  const deliveredBefore = machine.iron.pump?.deliveredM3 ?? 0;
  engine.ledger.clear();
  engine.ends.workJ.fill(0);
  const balance = new Balance(engine);
  const receiverPressurePa = runOneTurn(machine, ticks);
  requireFiniteGas(engine, "after running in and one turn");
  const { ledger, motion } = engine;
  const work = Array.from(engine.ends.workJ);
  const workJ = work.reduce((sum, joule) => sum + joule, 0);
  const seconds = ticks * machine.tickS;
  const unitCount = file.engineUnits.count;
  const { pump } = machine.iron;
  const waterM3PerS = pump === null ? null : (pump.deliveredM3 - deliveredBefore) / seconds;
  const turns = pumps ? Math.abs(engine.record.shaftRad - shaftBefore) / (2 * Math.PI) : 1;
  return {
    assumed: file.assumed,
    warnings: [
      ...file.warnings,
      ...unitsNotes(file.engineUnits),
      ...plan.notes,
      ...engine.notes,
      ...unsettledWarnings(settled),
      ...balance.warnings(),
      ...troubleWarnings(engine),
      ...absorbedPowerWarnings(workJ / seconds, speedRpm),
      ...unevenWorkWarnings(work, motion.stages),
    ],
    massResidualRatio: balance.massResidualRatio,
    energyResidualRatio: balance.energyResidualRatio,
    steamKgPerS: (unitCount * ledger.massInKg) / seconds,
    powerW: (unitCount * workJ) / seconds,
    steamKgPerKWh: workJ > 0 ? (joulesPerKWh * ledger.massInKg) / workJ : null,
    meanEffectivePressurePa: work.map((joule, i) => (speedRpm === 0 ? 0 : joule / (turns * motion.sweptM3[i]!))),
    ...(receiverPressurePa.length === 0 ? {} : { receiverPressurePa }),
    resonancesHz: resonancesHz(machine),
    pistonSpeedMPerS: (2 * description.gear.cylinder.strokeM * Math.abs(speedRpm)) / 60,
    doubleStrokesPerMin: pumps ? (60 * turns) / seconds : null,
    waterM3PerS,
    waterPowerW: waterM3PerS === null ? null : waterM3PerS * (pump?.liftPa ?? 0),
    fullGearCutoffRatio: resolveCutoff(description.gear, null).cutoffRatio,
    boilerPressurePa: description.boiler.pressurePa,
    boilerTemperatureK: description.boiler.temperatureK,
    faults: reportedFaults(description.gear.faults),
    caution,
  };
}

/** Runs so many ticks; mean pressure in each receiver meanwhile, Pa. */
function runOneTurn(machine: Machine, ticks: number): number[] {
  const { receivers } = machine.engine;
  if (receivers.length === 0) {
    machine.runSilent(ticks);
    return [];
  }
  const sums = receivers.map(() => 0);
  const part = Math.max(1, Math.floor(ticks / looksPerTurn));
  for (let done = 0; done < ticks; done += part) {
    const count = Math.min(part, ticks - done);
    machine.runSilent(count);
    receivers.forEach(({ pressurePa }, s) => {
      sums[s] = sums[s]! + count * pressurePa;
    });
  }
  return sums.map((sum) => sum / ticks);
}

/** Resonances of the exhaust pipes, and of smokebox with chimney and the chimney alone, lowest first. */
function resonancesHz(machine: Machine): number[] {
  const { exhaust, gear } = machine.description;
  const { chimney, smokebox } = exhaust;
  const pipes =
    exhaust.condenser !== null
      ? []
      : pipeResonancesHz(
          {
            passage: exhaust.passage,
            passageCount: lastStageOf(gear).cylinderCount,
            blastPipe: exhaust.blastPipe,
            nozzle: exhaust.nozzle,
            outsideDensityRatio: machine.engine.outsideDensityRatio(),
          },
          machine.engine.meanPipeSoundSpeedMPerS(),
          highestResonanceHz,
        );
  const tower: number[] = [];
  if (chimney !== null && smokebox !== null) {
    const c = smokeboxSoundSpeedMPerS(smokebox.temperatureK);
    const radius = 0.5 * chimney.boreM;
    const length = effectiveChimneyLengthM(chimney);
    tower.push(helmholtzResonanceHz(smokebox.volumeM3, Math.PI * radius * radius, length, c));
    for (let n = 1; (n * c) / (2 * length) < highestResonanceHz; n++) tower.push((n * c) / (2 * length));
  }
  return [...pipes, ...tower].sort((a, b) => a - b).slice(0, mostResonances);
}
