import { exp } from "../quantities/portable-maths.js";
import { LOWEST_WATER_TEMPERATURE_K, saturationEquation } from "../steam/if97.js";
import { liquidEquation } from "../steam/if97-equations.js";
import type { FeedDescription } from "./plant-description.js";

// An injector works between these shares of the working pressure over the air's, and breaks off beyond. [common practice]
const leastInjectorRatio = 0.25;
const greatestInjectorRatio = 1.35;
// The feed comes on and off within this. [common practice]
const feedS = 0.3;
// Boiler steam's heat that an injector has to give, J/kg. [source: IAPWS-IF97: 2.75 to 2.80 MJ/kg from 5 to 20 bar]
const steamJPerKg = 2.77e6;
// Fuller than this no more is fed. [common practice]
const fullRatio = 0.97;

/**
 * Water into a boiler, by a pump that works at any pressure or an injector that works only near the boiler's own. An
 * injector's steam comes back with the water, so what counts is the cold water alone.
 */
export class FeedWater {
  /** To be set: control, pressure in the boiler, and its share of water. */
  controlRatio = 0.5;
  boilerPa = 0.5;
  waterRatio = 0.5;
  /** Results: what enters with an injector's steam; what enters beside it, and its enthalpy. */
  enteringKgPerS = 0.5;
  freshKgPerS = 0.5;
  freshJPerKg = 0.5;
  private shareRatio = 0.5;
  private readonly follow: number;
  private readonly leastPa: number;
  private readonly greatestPa: number;
  private readonly freshShare: number;
  private readonly energyJPerKg: number;
  private readonly volumeM3PerKg: number;

  constructor(
    private readonly feed: FeedDescription,
    ambient: { readonly pressurePa: number; readonly temperatureK: number },
    workingPa: number,
    stepS: number,
  ) {
    const isInjector = feed.kind === "injector";
    const overPa = workingPa - ambient.pressurePa;
    this.leastPa = isInjector ? ambient.pressurePa + leastInjectorRatio * overPa : 0;
    this.greatestPa = isInjector ? ambient.pressurePa + greatestInjectorRatio * overPa : Infinity;
    const water = (temperatureK: number) => {
      const held = Math.max(temperatureK, LOWEST_WATER_TEMPERATURE_K);
      return liquidEquation(held, Math.max(ambient.pressurePa, saturationEquation(held)));
    };
    const warm = water(feed.temperatureK);
    const cold = water(ambient.temperatureK);
    const warming = warm.enthalpyJPerKg - cold.enthalpyJPerKg;
    const fresh = isInjector && warming > 0 ? cold : warm;
    this.freshShare = fresh === cold ? 1 - warming / (steamJPerKg - cold.enthalpyJPerKg) : 1;
    this.energyJPerKg = fresh.internalEnergyJPerKg;
    this.volumeM3PerKg = fresh.volumeM3PerKg;
    this.follow = 1 - exp(-stepS / feedS);
    this.controlRatio = this.boilerPa = this.waterRatio = this.shareRatio = 0;
    this.enteringKgPerS = this.freshKgPerS = this.freshJPerKg = 0;
  }

  /** Nothing flows. State only. */
  reset(): void {
    this.shareRatio = this.enteringKgPerS = this.freshKgPerS = 0;
  }

  /** Follows the control for a step, and fills the results. */
  advance(): void {
    const { boilerPa } = this;
    const isWorking = boilerPa >= this.leastPa && boilerPa <= this.greatestPa && this.waterRatio < fullRatio;
    const wanted = isWorking ? this.controlRatio : 0;
    const share = this.shareRatio + this.follow * (wanted - this.shareRatio);
    this.shareRatio = wanted === 0 && share < 1e-4 ? 0 : share;
    this.enteringKgPerS = this.feed.massFlowKgPerS * this.shareRatio;
    this.freshKgPerS = this.enteringKgPerS * this.freshShare;
    this.freshJPerKg = this.energyJPerKg + boilerPa * this.volumeM3PerKg;
  }
}
