/** What crosses a machine's outline, summed since `clear`: mass, air among steam and energy in, out, and heat from the metal. */
export class EngineLedger {
  massInKg = 0.5;
  energyInJ = 0.5;
  massOutKg = 0.5;
  energyOutJ = 0.5;
  /** Parts of the masses that are air in a steam machine. */
  airInKg = 0.5;
  airOutKg = 0.5;
  /** From the metal into the gas. */
  heatJ = 0.5;

  // Flows of this tick, and its length. Half numbers to begin with, so that the fields are kept as such.
  inKgPerS = 0.5;
  inW = 0.5;
  outKgPerS = 0.5;
  outW = 0.5;
  inAirKgPerS = 0.5;
  outAirKgPerS = 0.5;
  heatW = 0.5;
  stepS = 0.5;

  constructor() {
    this.clear();
  }

  /** Flow in this tick. */
  addIn(massFlowKgPerS: number, enthalpyFlowW: number, airFlowKgPerS = 0): void {
    this.inKgPerS += massFlowKgPerS;
    this.inW += enthalpyFlowW;
    this.inAirKgPerS += airFlowKgPerS;
  }

  /** Flow out this tick. */
  addOut(massFlowKgPerS: number, enthalpyFlowW: number, airFlowKgPerS = 0): void {
    this.outKgPerS += massFlowKgPerS;
    this.outW += enthalpyFlowW;
    this.outAirKgPerS += airFlowKgPerS;
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
    this.airInKg += this.inAirKgPerS * stepS;
    this.airOutKg += this.outAirKgPerS * stepS;
    this.clearTick();
  }

  /** Forgets everything. */
  clear(): void {
    this.massInKg = this.energyInJ = this.massOutKg = this.energyOutJ = this.heatJ = 0;
    this.airInKg = this.airOutKg = 0;
    this.clearTick();
  }

  private clearTick(): void {
    this.inKgPerS = this.inW = this.outKgPerS = this.outW = this.heatW = 0;
    this.inAirKgPerS = this.outAirKgPerS = 0;
  }
}
