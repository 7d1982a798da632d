import type { WorkingFluid } from "../steam/working-fluid.js";

/** A volume of working fluid of fixed size, such as a steam chest: mass and internal energy are its state. */
export class Vessel {
  massKg = 0;
  energyJ = 0;
  pressurePa = 0;
  /** Pressure carried half a tick on by its last change: what openings see. */
  middlePa = 0;
  densityKgPerM3 = 0;
  enthalpyJPerKg = 0;
  /** How often `middlePa` was held near the pressure itself. */
  heldCount = 0;

  private nearStep = -1;
  /** Flows of this tick, positive into the vessel, and its length. */
  massFlowKgPerS = 0.5;
  energyFlowW = 0.5;
  stepS = 0.5;

  /** @param isReservoir its state never changes, whatever flows (a boiler, or the chest of an idealised engine) */
  constructor(
    readonly volumeM3: number,
    private readonly fluid: WorkingFluid,
    readonly isReservoir: boolean,
  ) {}

  /** State only. */
  reset(densityKgPerM3: number, internalEnergyJPerKg: number): void {
    this.massKg = densityKgPerM3 * this.volumeM3;
    this.energyJ = this.massKg * internalEnergyJPerKg;
    this.massFlowKgPerS = this.energyFlowW = 0;
    this.pressurePa = 0;
    this.nearStep = -1;
    this.observe();
    this.middlePa = this.pressurePa;
    this.heldCount = 0;
  }

  /** Reads pressure and enthalpy from mass and energy. */
  observe(): void {
    const density = this.massKg / this.volumeM3;
    const internal = this.energyJ / this.massKg;
    const fluid = this.fluid;
    fluid.query[0] = density;
    fluid.query[1] = internal;
    fluid.nearStep = this.nearStep;
    fluid.look();
    this.nearStep = fluid.nearStep;
    const p = fluid.answer[0]!;
    const half = 0.5 * (p - this.pressurePa);
    const bound = 0.1 * p;
    if (half > bound || half < -bound) this.heldCount++;
    this.middlePa = p + (half > bound ? bound : half < -bound ? -bound : half);
    this.pressurePa = p;
    this.densityKgPerM3 = density;
    this.enthalpyJPerKg = internal + this.pressurePa / density;
  }

  /** Positive into the vessel. */
  addFlow(massFlowKgPerS: number, enthalpyFlowW: number): void {
    this.massFlowKgPerS += massFlowKgPerS;
    this.energyFlowW += enthalpyFlowW;
  }

  /** Takes the flows added since the last call and clears them. */
  integrate(stepS: number): void {
    this.stepS = stepS;
    this.advance();
  }

  /** The same over `stepS` as it stands. */
  advance(): void {
    const { stepS } = this;
    if (!this.isReservoir) {
      this.massKg += this.massFlowKgPerS * stepS;
      this.energyJ += this.energyFlowW * stepS;
    }
    this.massFlowKgPerS = 0;
    this.energyFlowW = 0;
  }
}
