import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K as airGas } from "../quantities/constants.js";
import {
  COLUMN_LIQUID_ENERGY,
  COLUMN_LIQUID_VOLUME,
  COLUMN_PRESSURE,
  COLUMN_VAPOUR_ENERGY,
  COLUMN_VAPOUR_VOLUME,
} from "../steam/saturation-line.js";
import type { SmoothTable } from "../steam/smooth-table.js";

// Of steam alone, at constant volume, J/(kg K). [source: IAPWS R7-97 region 2: 1.5 to 1.9 kJ/(kg K) from 1 to 10 bar]
const dryHeatJPerKgK = 1600;
// Newton's steps end below this change; a step this great at most. [common practice]
const closeK = 1e-9;
const greatestStepK = 20;
const mostSteps = 40;
// Least share of a vessel that is left to steam. [common practice]
const leastSteamRatio = 0.01;

/**
 * A closed vessel of water, its steam, and air in the steam space, all at one temperature. Steam is saturated while there is
 * water, whatever the air: their pressures add. With no water substance at all it is a receiver of air.
 *
 * State: mass of water substance, mass of air, internal energy. An owner adds what flows to the `gained` fields and calls
 * `settle`; with nothing gained nothing moves.
 */
export class Boiler {
  waterKg = 0.5;
  airKg = 0.5;
  energyJ = 0.5;
  gainedWaterKg = 0.5;
  gainedAirKg = 0.5;
  gainedJ = 0.5;

  /** Results. The pressure is that of steam and air together. */
  pressurePa = 0.5;
  airPa = 0.5;
  temperatureK = 0.5;
  /** Where water boils under the pressure as it stands. */
  boilingK = 0.5;
  liquidKg = 0.5;
  vapourKg = 0.5;
  steamSpaceM3 = 0.5;
  /** Share of the vessel under water, and of the mass in the steam space that is air. */
  waterRatio = 0.5;
  airRatio = 0.5;
  liquidM3PerKg = 0.5;
  liquidJPerKg = 0.5;
  /** Of steam and air together: density, and enthalpy as they flow out. */
  gasKgPerM3 = 0.5;
  gasJPerKg = 0.5;
  /** Water beyond what the vessel holds, kg. */
  surplusKg = 0.5;
  /** States beyond the tables, and air drawn that was not there. */
  heldCount = 0;
  private dewK = 0.5;
  // Ends of the tables.
  private readonly coldestK: number = 0.5;
  private readonly hottestK: number = 0.5;
  private readonly coldestAirK: number = 0.5;
  private readonly hottestAirK: number = 0.5;
  /** Of the steam alone. */
  private steamPa = 0.5;
  private vapourJPerKg = 0.5;

  /** @param line from `makeSaturationLine` @param air from `makeAirEnergy` */
  constructor(
    readonly volumeM3: number,
    private readonly line: SmoothTable,
    private readonly air: SmoothTable,
  ) {
    this.coldestK = line.first;
    this.hottestK = line.last;
    this.coldestAirK = air.first;
    this.hottestAirK = air.last;
    this.resetToAir(1, this.coldestAirK);
  }

  /** Nothing in it but air. State only. */
  resetToAir(pressurePa: number, temperatureK: number): void {
    this.start(0, (pressurePa * this.volumeM3) / (airGas * temperatureK), temperatureK);
  }

  /** Water of this share of the volume, steam over it, and air that makes up the pressure where the steam's is less. */
  resetToWater(waterRatio: number, temperatureK: number, pressurePa: number): void {
    const { line, volumeM3 } = this;
    line.at[0] = temperatureK;
    line.look();
    const steamM3 = volumeM3 * (1 - waterRatio);
    const airPa = Math.max(0, pressurePa - line.values[COLUMN_PRESSURE]!);
    const waterKg =
      (volumeM3 * waterRatio) / line.values[COLUMN_LIQUID_VOLUME]! + steamM3 / line.values[COLUMN_VAPOUR_VOLUME]!;
    this.start(waterKg, (airPa * steamM3) / (airGas * temperatureK), temperatureK);
  }

  /** Takes in what was gained, and finds the new equilibrium; or, held, forgets it and stays as it is. */
  settle(isHeld = false): void {
    if (isHeld) this.gainedWaterKg = this.gainedAirKg = this.gainedJ = 0;
    if (this.gainedWaterKg === 0 && this.gainedAirKg === 0 && this.gainedJ === 0) return;
    this.waterKg += this.gainedWaterKg;
    this.airKg += this.gainedAirKg;
    this.energyJ += this.gainedJ;
    this.gainedWaterKg = this.gainedAirKg = this.gainedJ = 0;
    if (this.airKg < 0) {
      // More air was drawn than there was: what came was steam.
      this.waterKg += this.airKg;
      this.airKg = 0;
      this.heldCount++;
    }
    if (this.waterKg > 0) this.settleWater();
    else this.settleAir();
  }

  private start(waterKg: number, airKg: number, temperatureK: number): void {
    const { line, air } = this;
    this.waterKg = waterKg;
    this.airKg = airKg;
    this.temperatureK = this.dewK = this.boilingK = temperatureK;
    this.gainedWaterKg = this.gainedAirKg = this.gainedJ = 0;
    line.at[0] = air.at[0] = temperatureK;
    line.look();
    air.look();
    const v = line.values;
    this.energyJ = airKg * air.values[0]!;
    if (waterKg > 0) {
      const share =
        (this.volumeM3 / waterKg - v[COLUMN_LIQUID_VOLUME]!) / (v[COLUMN_VAPOUR_VOLUME]! - v[COLUMN_LIQUID_VOLUME]!);
      const liquidJ = v[COLUMN_LIQUID_ENERGY]!;
      this.energyJ += waterKg * (liquidJ + Math.min(1, share) * (v[COLUMN_VAPOUR_ENERGY]! - liquidJ));
      this.settleWater();
    } else this.settleAir();
    // Cold water under air boils far above its temperature: walk there.
    for (let i = 0; i < mostSteps && waterKg > 0; i++) this.followBoiling();
    this.heldCount = 0;
  }

  private settleAir(): void {
    const { air, airKg } = this;
    let t = this.temperatureK;
    const wantedJPerKg = airKg > 0 ? this.energyJ / airKg : 0;
    for (let i = 0; i < mostSteps && airKg > 0; i++) {
      air.at[0] = t;
      air.look();
      const step = (wantedJPerKg - air.values[0]!) / air.slopes[0]!;
      t += step > greatestStepK ? greatestStepK : step < -greatestStepK ? -greatestStepK : step;
      if (t < this.coldestAirK || t > this.hottestAirK) {
        t = t < this.coldestAirK ? this.coldestAirK : this.hottestAirK;
        this.heldCount++;
        break;
      }
      if (step < closeK && step > -closeK) break;
    }
    air.at[0] = t;
    air.look();
    this.temperatureK = this.boilingK = t;
    this.steamSpaceM3 = this.volumeM3;
    this.liquidKg = this.vapourKg = this.waterRatio = this.surplusKg = this.liquidJPerKg = 0;
    this.airRatio = 1;
    this.gasKgPerM3 = airKg / this.volumeM3;
    this.airPa = this.pressurePa = this.gasKgPerM3 * airGas * t;
    this.gasJPerKg = air.values[0]! + airGas * t;
  }

  private settleWater(): void {
    const { line, air, airKg, waterKg, volumeM3 } = this;
    const v = line.values;
    const d = line.slopes;
    const perKg = volumeM3 / waterKg;
    let t = this.temperatureK < this.hottestK ? this.temperatureK : this.hottestK;
    let share = 0;
    for (let i = 0; i < mostSteps; i++) {
      line.at[0] = air.at[0] = t;
      line.look();
      air.look();
      const spanM3 = v[COLUMN_VAPOUR_VOLUME]! - v[COLUMN_LIQUID_VOLUME]!;
      share = (perKg - v[COLUMN_LIQUID_VOLUME]!) / spanM3;
      const shareSlope =
        -(d[COLUMN_LIQUID_VOLUME]! + share * (d[COLUMN_VAPOUR_VOLUME]! - d[COLUMN_LIQUID_VOLUME]!)) / spanM3;
      const spanJ = v[COLUMN_VAPOUR_ENERGY]! - v[COLUMN_LIQUID_ENERGY]!;
      const energy = waterKg * (v[COLUMN_LIQUID_ENERGY]! + share * spanJ) + airKg * air.values[0]!;
      const heat =
        waterKg *
          (d[COLUMN_LIQUID_ENERGY]! +
            shareSlope * spanJ +
            share * (d[COLUMN_VAPOUR_ENERGY]! - d[COLUMN_LIQUID_ENERGY]!)) +
        airKg * air.slopes[0]!;
      const step = (this.energyJ - energy) / heat;
      t += step > greatestStepK ? greatestStepK : step < -greatestStepK ? -greatestStepK : step;
      if (t < this.coldestK || t > this.hottestK) {
        t = t < this.coldestK ? this.coldestK : this.hottestK;
        // Steam alone runs past the line on its way to the dry state.
        if (share <= 1) this.heldCount++;
        break;
      }
      if (step < closeK && step > -closeK) break;
    }
    if (share > 1) this.settleDry();
    else {
      this.temperatureK = t;
      const vapour = share > 0 ? share * waterKg : 0;
      const leastM3 = leastSteamRatio * volumeM3;
      const spaceM3 = vapour * v[COLUMN_VAPOUR_VOLUME]!;
      this.surplusKg = spaceM3 < leastM3 ? (leastM3 - spaceM3) / v[COLUMN_LIQUID_VOLUME]! : 0;
      this.steamSpaceM3 = spaceM3 > leastM3 ? spaceM3 : leastM3;
      this.vapourKg = vapour;
      this.liquidKg = waterKg - vapour;
      this.waterRatio = (this.liquidKg * v[COLUMN_LIQUID_VOLUME]!) / volumeM3;
      const steamPa = v[COLUMN_PRESSURE]!;
      this.steamPa = steamPa;
      this.vapourJPerKg = v[COLUMN_VAPOUR_ENERGY]! + steamPa * v[COLUMN_VAPOUR_VOLUME]!;
      this.finish();
    }
    this.followBoiling();
  }

  /** All the water is steam: from its dew point on it heats at constant volume. */
  private settleDry(): void {
    const { line, air, airKg, waterKg, volumeM3 } = this;
    const v = line.values;
    const perKg = volumeM3 / waterKg;
    let dew = this.dewK;
    for (let i = 0; i < mostSteps; i++) {
      line.at[0] = dew;
      line.look();
      // Straight in the root of the volume's logarithm: Newton on 1 / volume is tame enough within its greatest step.
      const step =
        ((v[COLUMN_VAPOUR_VOLUME]! - perKg) * v[COLUMN_VAPOUR_VOLUME]!) / (-perKg * line.slopes[COLUMN_VAPOUR_VOLUME]!);
      dew += step > greatestStepK ? greatestStepK : step < -greatestStepK ? -greatestStepK : step;
      if (dew < this.coldestK) dew = this.coldestK;
      if (dew > this.hottestK) dew = this.hottestK;
      if (step < closeK && step > -closeK) break;
    }
    this.dewK = dew;
    line.at[0] = air.at[0] = dew;
    line.look();
    air.look();
    const energy = waterKg * v[COLUMN_VAPOUR_ENERGY]! + airKg * air.values[0]!;
    let over = (this.energyJ - energy) / (waterKg * dryHeatJPerKgK + airKg * air.slopes[0]!);
    if (dew + over > this.hottestAirK || dew + over < this.coldestAirK) {
      over = (over > 0 ? this.hottestAirK : this.coldestAirK) - dew;
      this.heldCount++;
    }
    const t = dew + over;
    this.temperatureK = t;
    air.at[0] = t;
    air.look();
    this.surplusKg = this.liquidKg = this.waterRatio = 0;
    this.vapourKg = waterKg;
    this.steamSpaceM3 = volumeM3;
    const steamPa = ((v[COLUMN_PRESSURE]! * t) / dew) * (v[COLUMN_VAPOUR_VOLUME]! / perKg);
    this.steamPa = steamPa;
    this.vapourJPerKg = v[COLUMN_VAPOUR_ENERGY]! + dryHeatJPerKgK * over + steamPa * perKg;
    this.finish();
  }

  private finish(): void {
    const { air, airKg, vapourKg, temperatureK, line, steamPa, vapourJPerKg } = this;
    this.liquidM3PerKg = line.values[COLUMN_LIQUID_VOLUME]!;
    this.airPa = (airKg * airGas * temperatureK) / this.steamSpaceM3;
    this.pressurePa = steamPa + this.airPa;
    this.liquidJPerKg = line.values[COLUMN_LIQUID_ENERGY]! + this.pressurePa * line.values[COLUMN_LIQUID_VOLUME]!;
    const gasKg = vapourKg + airKg;
    this.gasKgPerM3 = gasKg / this.steamSpaceM3;
    this.airRatio = gasKg > 0 ? airKg / gasKg : 0;
    this.gasJPerKg = (1 - this.airRatio) * vapourJPerKg + this.airRatio * (air.values[0]! + airGas * temperatureK);
  }

  /** A step towards the boiling point of the pressure; leaves the line there. */
  private followBoiling(): void {
    const { line } = this;
    for (let i = 0; i < 3; i++) {
      line.at[0] = this.boilingK;
      line.look();
      const short = this.pressurePa - line.values[COLUMN_PRESSURE]!;
      const step = short / line.slopes[COLUMN_PRESSURE]!;
      const next = this.boilingK + (step > greatestStepK ? greatestStepK : step);
      this.boilingK = next < this.coldestK ? this.coldestK : next > this.hottestK ? this.hottestK : next;
      if (step < closeK && step > -closeK) break;
    }
    line.at[0] = this.boilingK;
    line.look();
  }
}
