import type { Boiler } from "../flow/boiler.js";

/** What has crossed a boiler's outline since `start`: water substance, air and energy in, less out. */
export class PlantLedger {
  waterKg = 0.5;
  airKg = 0.5;
  /** With what flowed; from the fire; to the surroundings; and given to steam on its way out (superheat). */
  flowJ = 0.5;
  fireJ = 0.5;
  lossJ = 0.5;
  onTheWayJ = 0.5;
  private startWaterKg = 0.5;
  private startAirKg = 0.5;
  private startJ = 0.5;

  constructor() {
    this.waterKg = this.airKg = this.flowJ = this.fireJ = this.lossJ = this.onTheWayJ = 0;
  }

  /** Begins to count. */
  start(boiler: Boiler): void {
    this.waterKg = this.airKg = this.flowJ = this.fireJ = this.lossJ = this.onTheWayJ = 0;
    this.startWaterKg = boiler.waterKg;
    this.startAirKg = boiler.airKg;
    this.startJ = boiler.energyJ;
  }

  /** What does not add up, kg, and J. Mass counts water and air together. For tests and reports. */
  massGapKg(boiler: Boiler): number {
    return boiler.waterKg + boiler.airKg - this.startWaterKg - this.startAirKg - this.waterKg - this.airKg;
  }

  energyGapJ(boiler: Boiler): number {
    return boiler.energyJ - this.startJ - this.flowJ - this.fireJ + this.lossJ - this.onTheWayJ;
  }
}
