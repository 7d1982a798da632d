import type { OscillatingGear } from "../../src/gear/gear-description.js";
import type { EventsRequest } from "../../src/offline/events-report.js";
import { eccentric, machine } from "../gear/machines.js";

export const CAUTION = "Not evidence that an engine is safe to run.";
/** Two cylinders at quarter turns in full gear at 90 rpm, unless told otherwise. */
export const request = (changes: Partial<EventsRequest> = {}): EventsRequest => ({
  gear: machine(eccentric(), { cranksDeg: [0, 90] }),
  cutoffRatio: null,
  exhaustsToAir: true,
  speedRpm: 90,
  relativeLevelsDb: null,
  assumed: [],
  warnings: [],
  caution: CAUTION,
  ...changes,
});
export const oscillating: OscillatingGear = {
  kind: "oscillating",
  portDiameterM: 2e-3,
  portRadiusM: 0.012,
  pivotDistanceM: 0.04,
};
export const toy = machine(oscillating, {
  cylinder: { boreM: 0.011, strokeM: 0.018, acting: "single", pistonRodM: 0.003, clearanceRatio: 0.1 },
});
