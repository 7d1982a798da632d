import type { GearDescription } from "../gear/gear-description.js";
import type { FittingsDescription } from "./fittings-description.js";
import type { PumpDescription } from "./direct-acting.js";
import type { PlantDescription } from "./plant-description.js";
import type { RunningDescription } from "./running-description.js";

export interface PipeDescription {
  readonly lengthM: number;
  readonly boreM: number;
}

/** Only the parts named exist; `null` means there is none. */
export interface ExhaustDescription {
  /** One per cylinder of the last stage, from its ports to the junction. */
  readonly passage: PipeDescription | null;
  readonly blastPipe: PipeDescription | null;
  /** The last pipe narrows (cosine) to this bore over its last `contractionM`. */
  readonly nozzle: { readonly boreM: number; readonly contractionM: number } | null;
  readonly smokebox: { readonly volumeM3: number; readonly temperatureK: number } | null;
  readonly chimney: PipeDescription | null;
  /** Instead of an open end. */
  readonly condenser: { readonly pressurePa: number } | null;
}

/** A whole machine in SI units, absolute pressures, radians. What the loader hands to the engine. */
export interface EngineDescription {
  readonly gear: GearDescription;
  readonly workingFluid: "steam" | "air";
  /** Humidity: 0 dry, 1 saturated. */
  readonly ambient: { readonly pressurePa: number; readonly temperatureK: number; readonly humidityRatio: number };
  /** Steam: temperature is saturation plus superheat. Air: as given. */
  readonly boiler: { readonly pressurePa: number; readonly temperatureK: number; readonly superheatK: number };
  readonly exhaust: ExhaustDescription;
  /**
   * Effective areas. valve: chest to exhaust passage, or from what feeds a stage to what it exhausts into, per end. rings: per
   * piston, between its ends (single acting: to the air). regulator: past the regulator when it is shut; left out: tight.
   */
  readonly leaks: { readonly valveM2: number; readonly ringsM2: number; readonly regulatorM2?: number };
  readonly chestVolumeM3: number;
  /** One before each later stage of the gear, in order: what the stage before exhausts into. Left out: there are none. */
  readonly receiverVolumesM3?: readonly number[];
  /** Full open. */
  readonly regulatorAreaM2: number;
  readonly wheelDiameterM: number | null;
  /** Signed: negative runs backwards. */
  readonly speedRpm: number;
  /** No leaks, no heat to metal, no wall loss or friction; see the README. */
  readonly idealised: boolean;
  /** Left out or null: the boiler holds its pressure, whatever is drawn from it. */
  readonly plant?: PlantDescription | null;
  /** Left out or null: the shaft is turned from outside. */
  readonly running?: RunningDescription | null;
  /** Of a pump without a crank, whose valve gear is tripped; left out or null: there is none. */
  readonly pump?: PumpDescription | null;
  /** Left out or null: there are none. */
  readonly fittings?: FittingsDescription | null;
}
