/** What crosses a machine's outline, summed since `clear`: mass and energy in, out, and heat from the metal. */
export class EngineLedger {
  massInKg = 0;
  energyInJ = 0;
  massOutKg = 0;
  energyOutJ = 0;
  /** From the metal into the gas. */
  heatJ = 0;

  // Flows of this tick, and its length. Half numbers to begin with, so that the fields are kept as such.
  inKgPerS = 0.5;
  inW = 0.5;
  outKgPerS = 0.5;
  outW = 0.5;
  heatW = 0.5;
  stepS = 0.5;

  constructor() {
    this.clear();
  }

  /** Flow in this tick. */
  addIn(massFlowKgPerS: number, enthalpyFlowW: number): void {
    this.inKgPerS += massFlowKgPerS;
    this.inW += enthalpyFlowW;
  }

  /** Flow out this tick. */
  addOut(massFlowKgPerS: number, enthalpyFlowW: number): void {
    this.outKgPerS += massFlowKgPerS;
    this.outW += enthalpyFlowW;
  }

  /** Heat from the metal this tick. */
  addHeat(heatW: number): void {
    this.heatW += heatW;
  }

  /** Takes the tick's flows into the sums. */
  integrate(stepS: number): void {
    this.stepS = stepS;
    this.advance();
  }

  /** The same over `stepS` as it stands. */
  advance(): void {
    const { stepS } = this;
    this.massInKg += this.inKgPerS * stepS;
    this.energyInJ += this.inW * stepS;
    this.massOutKg += this.outKgPerS * stepS;
    this.energyOutJ += this.outW * stepS;
    this.heatJ += this.heatW * stepS;
    this.inKgPerS = this.inW = this.outKgPerS = this.outW = this.heatW = 0;
  }

  /** Forgets everything. */
  clear(): void {
    this.massInKg = this.energyInJ = this.massOutKg = this.energyOutJ = this.heatJ = 0;
    this.inKgPerS = this.inW = this.outKgPerS = this.outW = this.heatW = 0;
  }
}
