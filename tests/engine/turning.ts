import type { EngineDescription } from "../../src/engine/engine-description.js";
import { Engine } from "../../src/engine/engine.js";
import { resolveCutoff } from "../../src/gear/equivalent-eccentric.js";
import { bandPower, octaveBands } from "../../src/listening/standard-bands.js";
import { periodicSpectrum } from "../../src/listening/periodic-spectrum.js";

export interface TurningSettings {
  readonly speedRpm?: number;
  readonly fidelity?: 1 | 2 | 4;
  readonly rateHz?: number;
  readonly cutoffRatio?: number | null;
  readonly regulatorRatio?: number;
}

/** What one or more whole turns come to. */
export interface TurnAccount {
  readonly seconds: number;
  readonly massInKg: number;
  readonly massOutKg: number;
  readonly heatJ: number;
  readonly workJ: number[];
  readonly meanEffectivePa: number[];
  /** What is missing from the account, as a share of what passes. */
  readonly massResidualRatio: number;
  readonly energyResidualRatio: number;
  readonly airResidualRatio: number;
}

/** An engine turned at one speed, a turn being a whole number of ticks at every fidelity. */
export class Turning {
  readonly engine: Engine;
  readonly ticksPerTurn: number;
  readonly turnS: number;
  private ticks = 0;
  private readonly direction: number;

  constructor(description: EngineDescription, settings: TurningSettings = {}) {
    const { fidelity = 4, rateHz = 48_000, cutoffRatio = null, regulatorRatio = 1 } = settings;
    const speedRpm = settings.speedRpm ?? description.speedRpm;
    this.engine = new Engine(description, rateHz, fidelity);
    this.direction = speedRpm < 0 ? -1 : 1;
    const { stepS } = this.engine.plan;
    const coarsestS = 4 / 48_000;
    // The coarsest tick decides, so that every fidelity turns at the same speed.
    this.ticksPerTurn = Math.round(Math.round(60 / Math.abs(speedRpm) / coarsestS) * (coarsestS / stepS));
    this.turnS = this.ticksPerTurn * stepS;
    this.engine.setRegulator(regulatorRatio);
    const full = resolveCutoff(description.gear, cutoffRatio).cutoffRatio;
    if (full !== null) this.engine.setCutoff(cutoffRatio === null && speedRpm < 0 ? -full : full);
    this.engine.reset(0);
  }

  /** One tick. */
  tick(): void {
    const { engine } = this;
    this.ticks++;
    engine.motion.shaftRad[0] = this.direction * 2 * Math.PI * (this.ticks / this.ticksPerTurn);
    engine.process();
  }

  /** Whole turns, balanced; `note` is called after every tick. */
  turns(count: number, note: (tick: number) => void = () => undefined): TurnAccount {
    const { engine } = this;
    const { ledger, ends } = engine;
    ledger.clear();
    ends.workJ.fill(0);
    const massBefore = engine.storedMassKg();
    const energyBefore = engine.storedEnergyJ();
    const airBefore = engine.storedAirKg();
    for (let i = 0; i < count * this.ticksPerTurn; i++) {
      this.tick();
      note(i);
    }
    const massGain = engine.storedMassKg() - massBefore;
    const energyGain = engine.storedEnergyJ() - energyBefore;
    const airMissing = ledger.airInKg - ledger.airOutKg - (engine.storedAirKg() - airBefore);
    const throughputKg = Math.max(Math.abs(ledger.massInKg), Math.abs(ledger.massOutKg));
    const workJ = Array.from(ends.workJ);
    const work = workJ.reduce((sum, joule) => sum + joule, 0);
    const massMissing = ledger.massInKg - ledger.massOutKg - massGain;
    const energyMissing = ledger.energyInJ - ledger.energyOutJ + ledger.heatJ - work - energyGain;
    return {
      seconds: count * this.turnS,
      massInKg: ledger.massInKg,
      massOutKg: ledger.massOutKg,
      heatJ: ledger.heatJ,
      workJ,
      meanEffectivePa: workJ.map((joule, i) => joule / count / engine.motion.sweptM3[i]),
      massResidualRatio: Math.abs(massMissing) / throughputKg,
      airResidualRatio: Math.abs(airMissing) / throughputKg,
      energyResidualRatio: Math.abs(energyMissing) / Math.max(Math.abs(ledger.energyInJ), Math.abs(ledger.energyOutJ)),
    };
  }

  /** Runs in; metal is brought to where it would come to rest. */
  settle(turnCount: number): this {
    for (let turn = 0; turn < turnCount; turn++) {
      this.turns(1);
      if (!this.engine.description.idealised && turn < turnCount - 2) this.engine.settleMetal(this.turnS);
    }
    return this;
  }

  /** Volume flow of all mouths, m3/s, tick by tick. */
  exitFlow(turnCount: number): Float64Array {
    const flow = new Float64Array(turnCount * this.ticksPerTurn);
    const volumes = this.engine.record.mouthVolumeM3PerS;
    this.turns(turnCount, (i) => {
      for (let m = 0; m < volumes.length; m++) flow[i] += volumes[m];
    });
    return flow;
  }
}

/** Level of each octave band of a flow over whole turns, dB; 31.5 to 500 Hz. */
export function octaveLevelsDb(flow: Float64Array, tickS: number): { hz: number; levelDb: number }[] {
  const spectrum = periodicSpectrum(flow, 1 / tickS);
  return octaveBands()
    .filter((band) => band.nominalHz >= 31.5 && band.nominalHz <= 500)
    .map((band) => ({
      hz: band.nominalHz,
      levelDb: 10 * Math.log10(bandPower(spectrum, band.lowHz, band.highHz)),
    }));
}

/** Level of each octave band of a flow's rate of change over whole turns, dB; 31.5 to 500 Hz. */
export function slopeOctavesDb(flow: Float64Array, tickS: number): number[] {
  const { binHz, powers, kind } = periodicSpectrum(flow, 1 / tickS);
  const slopes = { binHz, kind, powers: powers.map((power, k) => power * (2 * Math.PI * k * binHz) ** 2) };
  return octaveBands()
    .filter((band) => band.nominalHz >= 31.5 && band.nominalHz <= 500)
    .map((band) => 10 * Math.log10(bandPower(slopes, band.lowHz, band.highHz)));
}
