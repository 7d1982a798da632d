import type { FluidState } from "../steam/fluid-state.js";
import { sideControlIndex } from "./engine-controls.js";
import type { Plant } from "./plant.js";

/** What the regulator draws from, as it stands in this tick: held, or as a living boiler has it. */
export class Supply {
  pressurePa = 0.5;
  densityKgPerM3 = 0.5;
  enthalpyJPerKg = 0.5;
  /** Share of air among the steam. */
  airRatio = 0.5;

  constructor(
    private readonly held: FluidState,
    private readonly plant: Plant | null,
    private readonly side: Float64Array,
  ) {
    this.airRatio = 0;
    this.observe();
  }

  /** Reads the boiler. A boiler that is held stands as the description has it, unless it primes. */
  observe(): void {
    const { held, plant, side } = this;
    if (plant === null || (plant.isHeld && !(side[sideControlIndex.priming]! > 0))) {
      this.pressurePa = held.pressurePa;
      this.densityKgPerM3 = held.densityKgPerM3;
      this.enthalpyJPerKg = held.enthalpyJPerKg;
      this.airRatio = 0;
      return;
    }
    this.pressurePa = plant.outletPa;
    this.densityKgPerM3 = plant.outletKgPerM3;
    this.enthalpyJPerKg = plant.outletJPerKg;
    this.airRatio = plant.outletAirRatio;
  }
}
