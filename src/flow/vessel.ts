import { LEAST_AIR_RATIO, SteamAir, UNCOUNTED_AIR_RATIO } from "../steam/steam-air.js";
import type { WorkingFluid } from "../steam/working-fluid.js";

// Where the search for a mixture's temperature begins. [common practice]
const startK = 350;

/**
 * A volume of working fluid of fixed size, such as a steam chest: mass, internal energy and, of steam, the air mixed with it
 * are its state.
 */
export class Vessel {
  massKg = 0.5;
  energyJ = 0.5;
  /** Part of `massKg` that is air in a vessel of steam; 0 where air is the working fluid. */
  airKg = 0.5;
  pressurePa = 0.5;
  /** Pressure carried half a tick on by its last change: what openings see. */
  middlePa = 0.5;
  densityKgPerM3 = 0.5;
  enthalpyJPerKg = 0.5;
  temperatureK = 0.5;
  /** Share of air, 0 to 1; every flow out carries it. */
  airRatio = 0.5;
  /** How often `middlePa` was held near the pressure itself. */
  heldCount = 0;

  private nearStep = -1;
  /** Flows of this tick, positive into the vessel, and its length. */
  massFlowKgPerS = 0.5;
  energyFlowW = 0.5;
  airFlowKgPerS = 0.5;
  stepS = 0.5;

  private readonly mixture: SteamAir;

  /** @param isReservoir its state never changes, whatever flows (a boiler, or the chest of an idealised engine) */
  constructor(
    readonly volumeM3: number,
    private readonly fluid: WorkingFluid,
    readonly isReservoir: boolean,
  ) {
    this.mixture = new SteamAir(fluid);
    this.airKg = this.airRatio = this.temperatureK = this.airFlowKgPerS = 0;
    // Begun with halves, the fields hold doubles for good.
    this.massKg = this.energyJ = this.pressurePa = this.middlePa = this.densityKgPerM3 = this.enthalpyJPerKg = 0;
  }

  /** State only. @param airRatio share of air in a vessel of steam, its energy counted as that of mixed air */
  reset(densityKgPerM3: number, internalEnergyJPerKg: number, airRatio = 0): void {
    this.massKg = densityKgPerM3 * this.volumeM3;
    this.energyJ = this.massKg * internalEnergyJPerKg;
    this.airKg = this.massKg * airRatio;
    this.massFlowKgPerS = this.energyFlowW = this.airFlowKgPerS = 0;
    this.pressurePa = 0;
    this.temperatureK = startK;
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
    // Written so that what is no more than rounding is left behind, on either side of nothing.
    const airRatio = this.airKg > LEAST_AIR_RATIO * this.massKg ? this.airKg / this.massKg : 0;
    if (airRatio === 0) this.airKg = 0;
    fluid.nearStep = this.nearStep;
    if (airRatio > UNCOUNTED_AIR_RATIO) {
      const { query } = this.mixture;
      query[0] = density;
      query[1] = internal;
      query[2] = airRatio;
      query[3] = this.temperatureK;
      this.mixture.look();
    } else {
      fluid.query[0] = density;
      fluid.query[1] = internal;
      fluid.look();
    }
    this.nearStep = fluid.nearStep;
    const { answer } = fluid;
    const p = answer[0]!;
    this.temperatureK = answer[1]!;
    this.airRatio = airRatio;
    const half = 0.5 * (p - this.pressurePa);
    const bound = 0.1 * p;
    if (half > bound || half < -bound) this.heldCount++;
    this.middlePa = p + (half > bound ? bound : half < -bound ? -bound : half);
    this.pressurePa = p;
    this.densityKgPerM3 = density;
    this.enthalpyJPerKg = internal + this.pressurePa / density;
  }

  /** Positive into the vessel. */
  addFlow(massFlowKgPerS: number, enthalpyFlowW: number, airFlowKgPerS = 0): void {
    this.massFlowKgPerS += massFlowKgPerS;
    this.energyFlowW += enthalpyFlowW;
    this.airFlowKgPerS += airFlowKgPerS;
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
      this.airKg += this.airFlowKgPerS * stepS;
    }
    this.massFlowKgPerS = 0;
    this.energyFlowW = 0;
    this.airFlowKgPerS = 0;
  }
}
