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
