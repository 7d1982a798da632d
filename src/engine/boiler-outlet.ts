import type { Boiler } from "../flow/boiler.js";
import { DRY_AIR_GAS_CONSTANT_J_PER_KG_K as airGas } from "../quantities/constants.js";
import {
  COLUMN_HEATED_ENTHALPY,
  COLUMN_HEATED_VOLUME,
  COLUMN_LIQUID_ENERGY,
  COLUMN_LIQUID_VOLUME,
  COLUMN_PRESSURE,
} from "../steam/saturation-line.js";
import type { SmoothTable } from "../steam/smooth-table.js";

/**
 * What a boiler hands to the regulator: steam of the boiler's full pressure, saturated or superheated, with the water that is
 * carried over. Air among the steam goes as steam, for the engine knows of none; what that and the superheater add on the way
 * is told, so that nothing is lost count of.
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
    this.enthalpyJPerKg = dry * v[COLUMN_HEATED_ENTHALPY]! + wet * liquidJPerKg;
    this.densityKgPerM3 = 1 / (dry * v[COLUMN_HEATED_VOLUME]! + wet * v[COLUMN_LIQUID_VOLUME]!);
    this.airRatio = dry * boiler.airRatio;
    this.onTheWayJPerKg = this.enthalpyJPerKg - dry * boiler.gasJPerKg - wet * boiler.liquidJPerKg;
  }
}
