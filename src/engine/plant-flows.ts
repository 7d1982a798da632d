import type { Boiler } from "../flow/boiler.js";
import type { PlantLedger } from "./plant-ledger.js";

// The greatest share of what is in the steam space that one draw may take. [common practice]
const greatestDrawRatio = 0.5;

/** Flows of one window on their way into boiler and ledger. Fields, for numbers handed over would take room on the heap. */
export class PlantFlows {
  /** For `gain`: positive into the boiler. */
  waterKg = 0.5;
  airKg = 0.5;
  energyJ = 0.5;
  /** For `drawGas`. */
  askedKg = 0.5;
  /** Steam and air drawn out of the steam space so far. */
  drawnGasKg = 0.5;
  /** Draws of more than there was, and what else the owner holds. */
  heldCount = 0;

  constructor(
    private readonly boiler: Boiler,
    private readonly ledger: PlantLedger,
  ) {
    this.clear();
  }

  /** Begins a window. */
  clear(): void {
    this.waterKg = this.airKg = this.energyJ = this.askedKg = this.drawnGasKg = 0;
  }

  gain(): void {
    const { boiler, ledger, waterKg, airKg, energyJ } = this;
    boiler.gainedWaterKg += waterKg;
    boiler.gainedAirKg += airKg;
    boiler.gainedJ += energyJ;
    ledger.waterKg += waterKg;
    ledger.airKg += airKg;
    ledger.flowJ += energyJ;
  }

  /** Takes `askedKg` of steam and air as they are mixed, or what there is. */
  drawGas(): void {
    const { boiler, askedKg } = this;
    const most = greatestDrawRatio * (boiler.vapourKg + boiler.airKg);
    const gives = askedKg < most ? askedKg : most;
    if (gives < askedKg) this.heldCount++;
    const airKg = gives * boiler.airRatio;
    this.drawnGasKg += gives;
    this.waterKg = boiler.waterKg > 0 ? airKg - gives : 0;
    this.airKg = -airKg;
    this.energyJ = -gives * boiler.gasJPerKg;
    this.gain();
  }

  /** Takes `askedKg` of water. */
  drawWater(): void {
    this.waterKg = -this.askedKg;
    this.airKg = 0;
    this.energyJ = -this.askedKg * this.boiler.liquidJPerKg;
    this.gain();
  }
}
