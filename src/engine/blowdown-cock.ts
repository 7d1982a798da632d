import type { Boiler } from "../flow/boiler.js";
import { SteamOutlet } from "../flow/steam-outlet.js";
import { saturationTemperatureK } from "../steam/if97.js";

// Heat of water near boiling, J/(kg K), and of evaporation at 1 atm, J/kg. [source: IAPWS-IF97: 4216 at 100 degC, 4400 at 180 degC; 2.2565 MJ/kg]
const waterHeatJPerKgK = 4300;
const evaporationJPerKg = 2.2565e6;
// Least water in the boiler that still covers the cock. [common practice]
const coveredRatio = 0.002;
// The greatest share of the water that one window may take. [common practice]
const greatestShareRatio = 0.1;

/**
 * Cock low in a boiler. Water leaves by Bernoulli's law, effective area x sqrt(2 x density x fall of pressure), as from an
 * opening too short for it to boil in; beyond it what is hotter than boiling flashes, and drives the jet with the work that
 * water of its temperature can do in cooling to the boiling point outside.
 */
export class BlowdownCock {
  openRatio = 0.5;
  /** Results: steam beside the water as it comes out, that water, and their jet. */
  steamKgPerS = 0.5;
  waterKgPerS = 0.5;
  jetMPerS = 0.5;
  /** Whether it draws from under water. */
  isWater = true;
  private readonly steam: SteamOutlet;
  private readonly outsideK: number;

  constructor(
    private readonly areaM2: number,
    exponent: number,
    private readonly ambient: { readonly pressurePa: number },
    private readonly holdS: number,
  ) {
    this.steam = new SteamOutlet(exponent, ambient.pressurePa, holdS);
    this.outsideK = saturationTemperatureK(ambient.pressurePa);
    this.openRatio = this.steamKgPerS = this.waterKgPerS = this.jetMPerS = 0;
  }

  /** Fills the results. */
  measure(boiler: Boiler): void {
    const { steam, areaM2, openRatio, outsideK, holdS } = this;
    const fallPa = boiler.pressurePa - this.ambient.pressurePa;
    this.isWater = boiler.waterRatio > coveredRatio;
    if (!(areaM2 > 0 && openRatio > 0 && fallPa > 0)) {
      this.steamKgPerS = this.waterKgPerS = this.jetMPerS = 0;
      return;
    }
    if (!this.isWater) {
      steam.areaM2 = areaM2 * openRatio;
      steam.see(boiler);
      steam.measure();
      this.steamKgPerS = steam.flowKgPerS;
      this.jetMPerS = steam.jetMPerS;
      this.waterKgPerS = 0;
      return;
    }
    const bernoulli = areaM2 * openRatio * Math.sqrt((2 * fallPa) / boiler.liquidM3PerKg);
    const most = (greatestShareRatio * boiler.liquidKg) / holdS;
    const flow = bernoulli < most ? bernoulli : most;
    const overK = boiler.temperatureK - outsideK;
    const flashes = overK > 0 ? (waterHeatJPerKgK * overK) / evaporationJPerKg : 0;
    // Work of cooling water, c (T1 - T0 - T0 ln(T1/T0)), to the second order. [source: exergy of a liquid, closed form]
    const workJPerKg = overK > 0 ? (waterHeatJPerKgK * overK * overK) / (boiler.temperatureK + outsideK) : 0;
    this.steamKgPerS = flow * flashes;
    this.waterKgPerS = flow - this.steamKgPerS;
    this.jetMPerS = Math.sqrt(2 * (fallPa * boiler.liquidM3PerKg + workJPerKg));
  }
}
