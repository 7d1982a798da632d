import type { TrainDescription } from "../engine/running-description.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { assumedQuantity, assumedWord, type Sheet } from "./sheet.js";

/** Proportions of a train where the owner does not say. */
export const TRAIN_DEFAULTS = {
  /** Least load of an axle for the formula of Davis, whose constant part is one axle's of full size. [common practice: 2 t] */
  davisAxleKg: 2000,
  /** Mean pressure in full gear over the boiler's, both gauge. [common practice: 0.75 to 0.85] */
  startingPressureRatio: 0.85,
  /** Weight on the driven wheels over the greatest pull: adhesion of a fifth. [source: Bourne, A Catechism of the Steam Engine, Q495] */
  weightPulls: 5,
  /** Mass of a locomotive over that on its driven wheels. [common practice: 1.1 to 1.8] */
  engineAdhesions: 1.25,
  /** Mass of a road engine over the swept volume of a cylinder end of all cylinders, kg/m3: 10 t on 8 x 12 in. [common practice] */
  roadKgPerM3: 1e6,
  /** Share of a road engine that stands on its driven wheels. [common practice] */
  roadAdhesionRatio: 0.7,
  /** Train over engine, itself included. [common practice] */
  trainEngines: 5,
  /** Train of a road engine over the engine: itself and one wagon. [common practice] */
  roadTrainEngines: 1.5,
  /** Of a standing wheel on dry rail, between 1/5 clean and 0.33 dry starting. [source: Bourne, A Catechism of the Steam Engine, Q495] */
  gripRatio: 0.25,
  /** Of a driven wheel on a road. [common practice] */
  roadGripRatio: 0.5,
  /** Adhesion that is left to a slipping wheel over that which held. [common practice: 0.5 to 0.7] */
  slipGrips: 0.6,
  /** 85 ft2. [source: W. J. Davis, The Tractive Resistance of Electric Locomotives and Cars, General Electric Review, 1926, area of a locomotive, from memory] */
  frontalM2: 7.9,
  /** Driven wheel below which the line is narrow or a model, and the area less. [common practice] */
  frontalWheelM: 0.7,
  /** Mass on an axle of the train behind. [common practice] */
  axleKg: 8000,
} as const;

/** Weight of a kilogram, for what is assumed. [common practice] */
export const WEIGHT_N_PER_KG = 9.81;

/** What a train is sized by. */
export interface TrainBasis {
  readonly kind: MachineKind;
  readonly boreM: number;
  readonly strokeM: number;
  readonly cylinderCount: number;
  readonly gaugePa: number;
  readonly wheelDiameterM: number;
  readonly gearingRatio: number;
}

/** Greatest pull at the rim of the driven wheels, N: d2 L p / D for two cylinders. */
export function greatestPullN(basis: TrainBasis): number {
  const { boreM, strokeM, cylinderCount, gaugePa, wheelDiameterM, gearingRatio } = basis;
  const meanPa = TRAIN_DEFAULTS.startingPressureRatio * gaugePa;
  return (boreM * boreM * strokeM * meanPa * cylinderCount * gearingRatio) / (2 * wheelDiameterM);
}

const SIZES = ["cylinders.bore", "cylinders.stroke", "cylinders.count", "kind"];

/** Masses of an engine that runs on wheels: as given, or by what it can pull. */
export function fillEngineMasses(
  sheet: Sheet,
  given: GivenMachine,
  basis: TrainBasis,
): Pick<TrainDescription, "engineKg" | "adhesionKg"> {
  const { engine, adhesion } = given.train ?? {};
  if (basis.kind === "road") {
    const sweptM3 = basis.cylinderCount * (Math.PI / 4) * basis.boreM * basis.boreM * basis.strokeM;
    const engineKg = sheet.take("train.engine", engine, () =>
      assumedQuantity(TRAIN_DEFAULTS.roadKgPerM3 * sweptM3, "mass", "1 t for each litre of swept volume", SIZES),
    );
    const adhesionKg = sheet.take("train.adhesion", adhesion, () => {
      const share = TRAIN_DEFAULTS.roadAdhesionRatio;
      return assumedQuantity(share * engineKg, "mass", `${share} of the engine`, ["train.engine"]);
    });
    return { engineKg, adhesionKg };
  }
  const times = TRAIN_DEFAULTS.engineAdhesions;
  const adhesionKg = sheet.take("train.adhesion", adhesion, () =>
    engine === undefined
      ? assumedQuantity(
          (TRAIN_DEFAULTS.weightPulls * greatestPullN(basis)) / WEIGHT_N_PER_KG,
          "mass",
          `${TRAIN_DEFAULTS.weightPulls} times the greatest pull`,
          [...SIZES, "boiler.pressure", "wheels", "gearing"],
        )
      : assumedQuantity(engine / times, "mass", `the engine over ${times}`, ["train.engine"]),
  );
  const engineKg = sheet.take("train.engine", engine, () =>
    assumedQuantity(times * adhesionKg, "mass", `${times} times what the driven wheels carry`, ["train.adhesion"]),
  );
  return { engineKg, adhesionKg };
}

/** Fills in `train`, whose block is there. */
export function fillTrain(sheet: Sheet, given: GivenMachine, basis: TrainBasis): TrainDescription {
  const part = given.train ?? {};
  const isRoad = basis.kind === "road";
  const masses = fillEngineMasses(sheet, given, basis);
  const times = isRoad ? TRAIN_DEFAULTS.roadTrainEngines : TRAIN_DEFAULTS.trainEngines;
  const trainKg = sheet.take("train.mass", part.mass, () =>
    assumedQuantity(times * masses.engineKg, "mass", `${times} times the engine`, ["train.engine", "kind"]),
  );
  const gradientRatio = sheet.take("train.gradient", part.gradient, () => assumedQuantity(0, "ratio", "level"));
  const adhesionRatio = sheet.take("train.grip", part.grip, () =>
    isRoad
      ? assumedQuantity(TRAIN_DEFAULTS.roadGripRatio, "ratio", "on a hard road", ["kind"])
      : assumedQuantity(TRAIN_DEFAULTS.gripRatio, "ratio", "dry rail", ["kind"]),
  );
  const slipRatio = sheet.take("train.slipGrip", part.slipGrip, () => {
    const share = TRAIN_DEFAULTS.slipGrips;
    return assumedQuantity(share * adhesionRatio, "ratio", `${share} of what holds`, ["train.grip"]);
  });
  const frontalM2 = sheet.take("train.frontal", part.frontal, () => {
    const scale = Math.min(1, basis.wheelDiameterM / TRAIN_DEFAULTS.frontalWheelM);
    return assumedQuantity(TRAIN_DEFAULTS.frontalM2 * scale * scale, "area", "85 ft2, less with wheels under 0.7 m", [
      "wheels",
    ]);
  });
  const axleCount = sheet.take("train.axles", part.axles, () => {
    const count = Math.min(5000, Math.max(2, Math.ceil(trainKg / TRAIN_DEFAULTS.axleKg)));
    return assumedWord(count, "one for each 8 t", ["train.mass"]);
  });
  const resistance = sheet.take("train.resistance", part.resistance, () =>
    trainKg < TRAIN_DEFAULTS.davisAxleKg * axleCount
      ? assumedWord<TrainDescription["resistance"]>("clark", "by weight alone: axles so light are not Davis's", [
          "train.mass",
          "train.axles",
        ])
      : assumedWord<TrainDescription["resistance"]>("davis", "the newer of the two formulas", [
          "train.mass",
          "train.axles",
        ]),
  );
  return { trainKg, ...masses, gradientRatio, adhesionRatio, slipRatio, resistance, frontalM2, axleCount };
}
