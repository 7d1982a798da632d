import type { Boiler } from "../flow/boiler.js";
import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K as airGas } from "../quantities/constants.js";
import {
  COLUMN_HEATED_ENTHALPY,
  COLUMN_HEATED_VOLUME,
  COLUMN_LIQUID_ENERGY,
  COLUMN_LIQUID_VOLUME,
  COLUMN_PRESSURE,
  COLUMN_VAPOUR_ENERGY,
  COLUMN_VAPOUR_VOLUME,
} from "../steam/saturation-line.js";
import { UNCOUNTED_AIR_RATIO } from "../steam/steam-air.js";
import type { SmoothTable } from "../steam/smooth-table.js";

/**
 * What a boiler hands to the regulator: steam, saturated or superheated, with the air among it and the water that is carried
 * over. What the superheater adds on the way is told, so that nothing is lost count of.
 */
export class BoilerOutlet {
  /** To be set: 1 carries over as much water as steam. */
  primingRatio = 0.5;
  /** Results. */
  densityKgPerM3 = 0.5;
  enthalpyJPerKg = 0.5;
  airRatio = 0.5;
  onTheWayJPerKg = 0.5;
  /** What is not water carried over. */
  dryRatio = 0.5;

  constructor(
    private readonly boiler: Boiler,
    private readonly line: SmoothTable,
    private readonly workingFluid: "steam" | "air",
  ) {
    this.primingRatio = this.onTheWayJPerKg = 0;
    this.airRatio = this.dryRatio = 1;
  }

  /** Reads the boiler as it has just settled: its line stands at the boiling point of its pressure. */
  observe(): void {
    const { boiler, primingRatio } = this;
    if (this.workingFluid === "air") {
      this.densityKgPerM3 = boiler.pressurePa / (airGas * boiler.temperatureK);
      this.enthalpyJPerKg = boiler.gasJPerKg;
      return;
    }
    const v = this.line.values;
    const wet = boiler.liquidKg > 0 && primingRatio > 0 ? primingRatio / (1 + primingRatio) : 0;
    const dry = 1 - wet;
    const liquidJPerKg = v[COLUMN_LIQUID_ENERGY]! + v[COLUMN_PRESSURE]! * v[COLUMN_LIQUID_VOLUME]!;
    this.dryRatio = dry;
    let gasJPerKg = v[COLUMN_HEATED_ENTHALPY]!;
    let gasM3PerKg = v[COLUMN_HEATED_VOLUME]!;
    if (boiler.airRatio > UNCOUNTED_AIR_RATIO) {
      // Steam of less than the full pressure, as warm as its own boiling point; the superheater adds as much to it.
      const line = v[COLUMN_VAPOUR_ENERGY]! + v[COLUMN_PRESSURE]! * v[COLUMN_VAPOUR_VOLUME]!;
      gasM3PerKg = gasM3PerKg / v[COLUMN_VAPOUR_VOLUME]! / boiler.gasKgPerM3;
      gasJPerKg = boiler.gasJPerKg + (1 - boiler.airRatio) * (gasJPerKg - line);
    }
    this.enthalpyJPerKg = dry * gasJPerKg + wet * liquidJPerKg;
    this.densityKgPerM3 = 1 / (dry * gasM3PerKg + wet * v[COLUMN_LIQUID_VOLUME]!);
    this.airRatio = dry * boiler.airRatio;
    this.onTheWayJPerKg = this.enthalpyJPerKg - dry * boiler.gasJPerKg - wet * boiler.liquidJPerKg;
  }
}
