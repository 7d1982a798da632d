import type { EngineDescription } from "../engine/engine-description.js";

/** A point on a machine, m: x forward along its running direction, y to the left, z up, from rail or floor under its middle. */
export interface MachinePoint {
  readonly xM: number;
  readonly yM: number;
  readonly zM: number;
}

/** Where the parts of a machine that sound stand. */
export interface SourcePlaces {
  readonly chimney: MachinePoint;
  readonly cylinders: MachinePoint;
  /** Rods, crossheads, gearing. */
  readonly motion: MachinePoint;
  readonly boiler: MachinePoint;
  /** Fire door and grate. */
  readonly fire: MachinePoint;
  /** Whistle and safety valve. */
  readonly boilerTop: MachinePoint;
  readonly wheels: MachinePoint;
  /** Injector or feed pump. */
  readonly feed: MachinePoint;
  /** Where a driver stands, ears at that height. */
  readonly footplate: MachinePoint;
}

/** Ears of one who stands, above what he stands on. [common practice: ISO 1996-2 and lineside microphones take 1.5 m] */
export const STANDING_EAR_M = 1.5;

// Shape of a locomotive, by its driving wheel and its cylinders; all of this file [common practice: proportions of
// two-cylinder locomotives with the cylinders under the smokebox and the cab at the back; model and road engines keep them].
const loadingGaugeM = 4.0;
const chimneyOverWheelRatio = 2.6;
const boilerLengthStrokes = 9;
const standingChimneyM = 2;
const sittingBehindM = 0.8;
const sittingEarM = 1;

/**
 * Plausible places from the sizes of a description: a machine on wheels is laid out as a locomotive, with the chimney in
 * front and the footplate behind; one without stands on a floor beside its boiler, whose exhaust goes up through the roof.
 * Everything lies in the middle plane, for a stem is the sum over the cylinders of both sides.
 * [common practice: proportions as named above each figure]
 */
export function sourcePlaces(description: EngineDescription): SourcePlaces {
  const { wheelDiameterM } = description;
  return wheelDiameterM === null ? stationaryPlaces(description) : wheeledPlaces(description, wheelDiameterM);
}

function wheeledPlaces(description: EngineDescription, wheelM: number): SourcePlaces {
  const { strokeM } = description.gear.cylinder;
  const chimneyM = Math.min(loadingGaugeM, chimneyOverWheelRatio * wheelM);
  const halfBoilerM = 0.5 * boilerLengthStrokes * strokeM;
  const boilerM = 0.6 * chimneyM;
  const floorM = 0.36 * chimneyM;
  const isFullSize = chimneyM > standingChimneyM;
  return {
    chimney: { xM: halfBoilerM, yM: 0, zM: chimneyM },
    cylinders: { xM: 0.95 * halfBoilerM, yM: 0, zM: 0.55 * wheelM },
    motion: { xM: 0.35 * halfBoilerM, yM: 0, zM: 0.5 * wheelM },
    boiler: { xM: 0, yM: 0, zM: boilerM },
    fire: { xM: -0.9 * halfBoilerM, yM: 0, zM: floorM },
    boilerTop: { xM: -0.6 * halfBoilerM, yM: 0, zM: 0.92 * chimneyM },
    wheels: { xM: 0, yM: 0, zM: 0.1 * wheelM },
    feed: { xM: -0.9 * halfBoilerM, yM: -0.3 * chimneyM, zM: 0.25 * chimneyM },
    // Behind an engine too small to stand on the driver sits.
    footplate: isFullSize
      ? { xM: -1.25 * halfBoilerM, yM: 0, zM: floorM + STANDING_EAR_M }
      : { xM: -halfBoilerM - sittingBehindM, yM: 0, zM: sittingEarM },
  };
}

function stationaryPlaces(description: EngineDescription): SourcePlaces {
  const { strokeM } = description.gear.cylinder;
  const { passage, blastPipe, chimney } = description.exhaust;
  // An engine of a metre's stroke has its shaft at chest height over the floor and stands six strokes long; a model on a
  // table is taken from the table's top.
  const shaftM = Math.min(1.2, 1.5 * strokeM);
  const halfM = 3 * strokeM;
  const pipeM = (passage?.lengthM ?? 0) + (blastPipe?.lengthM ?? 0) + (chimney?.lengthM ?? 0);
  const boilerM = 2.5 * shaftM;
  return {
    chimney: { xM: halfM, yM: 0, zM: shaftM + pipeM },
    cylinders: { xM: 0.8 * halfM, yM: 0, zM: shaftM },
    motion: { xM: 0, yM: 0, zM: shaftM },
    boiler: { xM: 2 * halfM, yM: 0, zM: 0.5 * boilerM },
    fire: { xM: 1.8 * halfM, yM: 0, zM: 0.25 * boilerM },
    boilerTop: { xM: 2 * halfM, yM: 0, zM: boilerM },
    wheels: { xM: -0.8 * halfM, yM: 0, zM: shaftM },
    feed: { xM: 1.8 * halfM, yM: halfM, zM: 0.25 * boilerM },
    footplate: { xM: 0.2 * halfM, yM: -Math.max(1, strokeM), zM: Math.max(STANDING_EAR_M, shaftM) },
  };
}

/** Which part every stem sounds from. A stem not listed sounds from the motion; one that is null surrounds the listener. */
export const stemParts: Readonly<Record<string, keyof SourcePlaces | null>> = {
  "exhaust-pulse": "chimney",
  "exhaust-noise": "chimney",
  "exhaust-jet": "chimney",
  inlet: "cylinders",
  leaks: "chimney",
  blower: "chimney",
  drains: "cylinders",
  relief: "cylinders",
  snifting: "cylinders",
  glands: "cylinders",
  "valve-clatter": "cylinders",
  cooling: "cylinders",
  knocks: "motion",
  gearing: "motion",
  wheels: "wheels",
  "safety-valve": "boilerTop",
  whistle: "boilerTop",
  simmer: "boiler",
  fire: "fire",
  feed: "feed",
  "blow-down": "wheels",
  condenser: "cylinders",
  pump: "cylinders",
  background: null,
};
