/** Where the heat of a boiler comes from: only its power and what of it reaches the water count. */
export interface FireDescription {
  /** Heat let loose at fire 100 %, W. */
  readonly powerW: number;
  /** Share of it that reaches the water, 0 to 1. */
  readonly efficiencyRatio: number;
  /** Time in which it follows its control: seconds for gas and electric heat, minutes for coal. */
  readonly responseS: number;
}

/** Spring-loaded safety valve. It lifts at `setPa`, is full open at `fullLiftPa` and shuts at `reseatPa`, all absolute. */
export interface SafetyValveDescription {
  readonly setPa: number;
  readonly fullLiftPa: number;
  readonly reseatPa: number;
  /** Effective area full open. */
  readonly areaM2: number;
}

/** What brings water into the boiler. */
export interface FeedDescription {
  readonly kind: "injector" | "pump";
  /** At feed 100 %. */
  readonly massFlowKgPerS: number;
  /** Of the water as it enters the boiler. */
  readonly temperatureK: number;
}

/** A boiler, or an air receiver, as a vessel that fills and empties. */
export interface PlantDescription {
  readonly volumeM3: number;
  /** Share of the volume that stands under water at the beginning; 0 in an air receiver. */
  readonly waterRatio: number;
  /** Level below which the plates over the fire are no longer covered. */
  readonly lowWaterRatio: number;
  /** Null for an air receiver. */
  readonly fire: FireDescription | null;
  /** Heat lost to the surroundings per kelvin above them, W/K. */
  readonly lossWPerK: number;
  readonly safetyValve: SafetyValveDescription | null;
  readonly feed: FeedDescription | null;
  /** Effective areas full open: of the blower's jets under the chimney, and of the blow-down cock. */
  readonly blowerAreaM2: number;
  readonly blowdownAreaM2: number;
}
