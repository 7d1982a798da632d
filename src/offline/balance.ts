import type { Engine } from "../engine/engine.js";

// Rounding leaves some 1e-13; a thousandth of a thousandth is the model's own mistake. [common practice]
const mostResidualRatio = 1e-6;
// Where next to nothing passes, what is held is what rounding is judged by. [common practice]
const heldShare = 1e-3;
// Against dividing by nothing, kg and J.
const leastScale = 1e-12;

/** @throws Error where the gas of an engine has come to be no number, which is a fault of the model */
export function requireFiniteGas(engine: Engine, when: string): void {
  if (Number.isFinite(engine.storedMassKg()) && Number.isFinite(engine.storedEnergyJ())) return;
  throw new Error(`the model's gas is no number any more, ${when}`);
}

/** Mass and energy through an engine's outline since a moment, held against what it holds more or less of. */
export class Balance {
  private readonly before: Stand;

  /** @param engine as it stands at the beginning */
  constructor(private readonly engine: Engine) {
    this.before = standOf(engine);
  }

  /** What is missing, as a share of what went in or out since the beginning. */
  get massResidualRatio(): number {
    return this.mass().ratio;
  }

  /** The same of energy. */
  get energyResidualRatio(): number {
    return this.energy().ratio;
  }

  /** What is to be said where the books do not close. */
  warnings(): string[] {
    const mass = this.mass().heldRatio;
    const energy = this.energy().heldRatio;
    if (mass <= mostResidualRatio && energy <= mostResidualRatio) return [];
    const shown = (ratio: number) => `${(100 * ratio).toPrecision(2)} %`;
    return [
      `The model's books do not close: ${shown(mass)} of the mass and ${shown(energy)} of the energy that passed is ` +
        "unaccounted for. Its figures and its sound are not to be trusted.",
    ];
  }

  private mass(): Residual {
    const { before } = this;
    const now = standOf(this.engine);
    const gain = now.heldKg - before.heldKg;
    return residual(now.massInKg - before.massInKg, now.massOutKg - before.massOutKg, 0, gain, now.heldKg);
  }

  private energy(): Residual {
    const { before } = this;
    const now = standOf(this.engine);
    const out = now.energyOutJ - before.energyOutJ;
    const gain = now.heldJ - before.heldJ;
    return residual(now.energyInJ - before.energyInJ, out, now.workJ - before.workJ, gain, now.heldJ);
  }
}

interface Stand {
  readonly massInKg: number;
  readonly massOutKg: number;
  readonly energyInJ: number;
  readonly energyOutJ: number;
  /** Work done, less heat from the metal. */
  readonly workJ: number;
  readonly heldKg: number;
  readonly heldJ: number;
}

interface Residual {
  /** Of what passed. */
  readonly ratio: number;
  /** Of what passed, or of a part of what is held if that is more. */
  readonly heldRatio: number;
}

function residual(inward: number, outward: number, work: number, gain: number, held: number): Residual {
  const missing = Math.abs(inward - outward - work - gain);
  const passed = Math.max(Math.abs(inward), Math.abs(outward), Math.abs(gain));
  return {
    ratio: missing / Math.max(passed, leastScale),
    heldRatio: missing / Math.max(passed, heldShare * Math.abs(held), leastScale),
  };
}

function standOf(engine: Engine): Stand {
  const { ledger, ends } = engine;
  let workJ = 0;
  for (const joule of ends.workJ) workJ += joule;
  return {
    massInKg: ledger.massInKg,
    massOutKg: ledger.massOutKg,
    energyInJ: ledger.energyInJ,
    energyOutJ: ledger.energyOutJ,
    workJ: workJ - ledger.heatJ,
    heldKg: engine.storedMassKg(),
    heldJ: engine.storedEnergyJ(),
  };
}
