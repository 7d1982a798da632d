import type { Boiler } from "../flow/boiler.js";
import { saturationTemperatureK } from "../steam/if97.js";
import type { VoiceRecord } from "./voice-record.js";

/** What a boiler is told of the machine it stands in. */
export interface PlantMaking {
  readonly ambient: { readonly pressurePa: number; readonly temperatureK: number };
  readonly superheatK: number;
  readonly workingFluid: "steam" | "air";
  /** Of one `process`. */
  readonly stepS: number;
  /** In steam, absolute. */
  readonly pressurePa: number;
  /** Of the air in a charged receiver; ambient where not given. */
  readonly airK?: number;
  readonly voice: VoiceRecord;
  /** In the order of `sideControls`; read, never written. */
  readonly side: Float64Array;
}

/** Fills a boiler as a run finds it: cold at a temperature, or (null) in steam; a receiver with air, charged or not. */
export function fillBoiler(
  boiler: Boiler,
  { workingFluid, ambient, pressurePa, airK }: PlantMaking,
  coldK: number | null,
  waterRatio: number,
): void {
  if (workingFluid === "air") {
    if (coldK !== null) boiler.resetToAir(ambient.pressurePa, ambient.temperatureK);
    else boiler.resetToAir(pressurePa, airK ?? ambient.temperatureK);
  } else if (coldK !== null) boiler.resetToWater(waterRatio, coldK, ambient.pressurePa);
  else boiler.resetToWater(waterRatio, saturationTemperatureK(pressurePa), 0);
}
