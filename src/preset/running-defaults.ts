import type {
  GearingDescription,
  LoadDescription,
  RunningDescription,
  TrainDescription,
} from "../engine/running-description.js";
import type { GearDescription } from "../gear/gear-description.js";
import { stagesOf, sweptPerTurnM3 } from "../gear/stages.js";
import { SMALL_BORE_M } from "./cylinder-defaults.js";
import { gearingRatio } from "./gearing-defaults.js";
import { fillGovernor, fillLoad, hasGovernor } from "./load-defaults.js";
import type { GivenMachine, MachineKind } from "./machine-schema.js";
import { assumedQuantity, type Sheet } from "./sheet.js";
import { fillTrain, WEIGHT_N_PER_KG, type TrainBasis } from "./train-defaults.js";
import { WORKING_NAMES, type WorkingEstimate } from "./working-estimate.js";

/** Proportions of what moves and of what it is held against, where the owner does not say. */
export const RUNNING_DEFAULTS = {
  /** Piston to crosshead over the swept volume of an end, kg/m3: 250 kg on 17 x 24 in, 4 g on 10 x 16 mm. [common practice] */
  reciprocatingKgPerM3: 2800,
  /** Friction of an engine alone, 1 lb/in2 of piston. [source: Bourne, A Catechism of the Steam Engine, Q497] */
  frictionPa: 6895,
  /** Friction of a small model. [common practice] */
  modelFrictionPa: 20_000,
  /** Play over bore: 0.4 mm on 17 in, run in and not worn. [common practice] */
  slackBores: 0.001,
  /** Least play that is assumed. [common practice] */
  leastSlackM: 0.00003,
  /** Mass of driven wheels over that which they carry. [common practice: 0.12 to 0.2] */
  wheelAdhesions: 0.15,
  /** Radius of gyration over radius of a spoked wheel with its tyre. [common practice] */
  wheelGyration: 0.75,
  /** Inertia of a marine shaft over that of its cranks, screw or paddles counted. [common practice] */
  marineCranks: 4,
  /** Diameter of a flywheel over the stroke. [common practice: 3.5 to 5] */
  flywheelStrokes: 4,
  /** Energy of the rim over the work of one stroke, for steady drives. [source: Bourne, A Catechism of the Steam Engine, Q21] */
  steadyStrokes: 6,
  /** Energy of the rim over the work of one stroke, least. [source: Bourne, A Catechism of the Steam Engine, Q21] */
  leastStrokes: 2.5,
  /** Brake force over the weight on the driven wheels. [common practice] */
  brakeAdhesions: 0.15,
  /** Brake torque over the load's, of a winding engine. [common practice] */
  hoistBrakeLoads: 2,
} as const;

/** What the running gear is sized by. */
export interface RunningBasis {
  readonly kind: MachineKind;
  readonly gear: GearDescription;
  readonly gaugePa: number;
  readonly speedRpm: number;
  readonly wheelDiameterM: number | null;
  readonly gearing: GearingDescription | null;
  readonly working: WorkingEstimate;
}

const BLOCKS = ["flywheel", "brake", "load", "train", "governor", "gearing"] as const;

/** What an engine on wheels is sized by; null where it has none. */
export function trainBasis(basis: RunningBasis): TrainBasis | null {
  const { kind, gear, gaugePa, wheelDiameterM, gearing } = basis;
  if (wheelDiameterM === null) return null;
  const stages = stagesOf(gear);
  return {
    kind,
    boreM: gear.cylinder.boreM,
    strokeM: gear.cylinder.strokeM,
    // Each stage does about as much work as the first.
    cylinderCount: stages[0]!.cylinderCount * stages.length,
    gaugePa: Math.max(1e4, gaugePa),
    wheelDiameterM,
    gearingRatio: gearingRatio(gearing),
  };
}

/** Fills in everything by which steam, load and inertia decide the speed; null where the shaft is turned from outside. */
export function fillRunning(sheet: Sheet, given: GivenMachine, basis: RunningBasis): RunningDescription | null {
  if (sheet.isNone("motion")) {
    for (const block of BLOCKS) {
      sheet.rule(block, [], given[block] === undefined, () => {
        return "must be left out with motion: none, by which the shaft is turned from outside. Leave out one of the two.";
      });
    }
    return null;
  }
  const { kind, gear, gearing } = basis;
  const { boreM } = gear.cylinder;
  const isSmall = kind === "model" || boreM < SMALL_BORE_M;
  const motion = given.motion ?? {};
  const train = fillTrainBlock(sheet, given, basis);
  const isGoverned = hasGovernor(given, kind);
  const load = fillLoad(sheet, given, basis, train, isGoverned);
  const reciprocatingKg = sheet.take("motion.reciprocatingMass", motion.reciprocatingMass, () =>
    assumedQuantity(
      RUNNING_DEFAULTS.reciprocatingKgPerM3 * meanSweptM3(basis),
      "mass",
      "2.8 g for each cm3 of swept volume",
      ["cylinders.bore", "cylinders.stroke"],
    ),
  );
  const frictionPa = sheet.take("motion.friction", motion.friction, () =>
    isSmall
      ? assumedQuantity(RUNNING_DEFAULTS.modelFrictionPa, "pressureDifference", "usual in small models", [
          "kind",
          "cylinders.bore",
        ])
      : assumedQuantity(RUNNING_DEFAULTS.frictionPa, "pressureDifference", "1 psi of piston", [
          "kind",
          "cylinders.bore",
        ]),
  );
  const slackM = sheet.take("motion.slack", motion.slack, () =>
    assumedQuantity(
      Math.max(RUNNING_DEFAULTS.leastSlackM, RUNNING_DEFAULTS.slackBores * boreM),
      "length",
      `${RUNNING_DEFAULTS.slackBores} of the bore, run in and not worn`,
      ["cylinders.bore"],
    ),
  );
  const shaftKgM2 = fillShaftInertia(sheet, given, basis, train, reciprocatingKg);
  const wheelKgM2 = fillFlywheel(sheet, given, basis, isGoverned);
  return {
    reciprocatingKg,
    inertiaKgM2: shaftKgM2 + wheelKgM2,
    frictionPa,
    slackM,
    brakeTorqueNm: fillBrake(sheet, given, basis, train, load),
    load,
    train,
    governor: fillGovernor(sheet, given, basis, isSmall, load),
    gearing,
  };
}

/** Swept volume of an end, mean over all cylinders. */
function meanSweptM3({ gear, working }: RunningBasis): number {
  const stages = stagesOf(gear);
  if (stages.length === 1) return working.sweptM3;
  const ends = stages.reduce((sum, { endCount }) => sum + endCount, 0);
  return stages.reduce((sum, stage) => sum + sweptPerTurnM3(stage), 0) / ends;
}

function fillTrainBlock(sheet: Sheet, given: GivenMachine, basis: RunningBasis): TrainDescription | null {
  const { kind } = basis;
  const isRunner = kind === "locomotive" || kind === "road";
  const sized = trainBasis(basis);
  const isUsual = isRunner && sized !== null && given.load === undefined;
  const rule = !isRunner ? "it stands still" : sized === null ? "no wheels are named" : "it works a load";
  const part = sheet.block("train", given.train, isUsual, rule, ["kind", "wheels"]);
  if (part === null) return null;
  if (sized === null) {
    if (sheet.isSound("train", "wheels", "wheels.diameter", "speed")) {
      sheet.complain("train", "must have wheels to run on, got none. Add wheels: { diameter: 5 ft }.");
    }
    return null;
  }
  return fillTrain(sheet, given, sized);
}

function fillShaftInertia(
  sheet: Sheet,
  given: GivenMachine,
  basis: RunningBasis,
  train: TrainDescription | null,
  reciprocatingKg: number,
): number {
  return sheet.take("motion.inertia", given.motion?.inertia, () => {
    const crankM = basis.gear.cylinder.strokeM / 2;
    const cranksKgM2 = basis.gear.crankAnglesRad.length * reciprocatingKg * crankM * crankM;
    const from = ["motion.reciprocatingMass", "cylinders.stroke", "cylinders.count", "kind"];
    if (train !== null && basis.wheelDiameterM !== null) {
      const ratio = gearingRatio(basis.gearing);
      const radiusM = (RUNNING_DEFAULTS.wheelGyration * basis.wheelDiameterM) / 2;
      const wheelsKgM2 = (RUNNING_DEFAULTS.wheelAdhesions * train.adhesionKg * radiusM * radiusM) / (ratio * ratio);
      const rule = "cranks, and driven wheels of 0.15 of what they carry";
      return assumedQuantity(cranksKgM2 + wheelsKgM2, "inertia", rule, [
        ...from,
        "train.adhesion",
        "wheels",
        "gearing",
      ]);
    }
    const times = basis.kind === "marine" ? RUNNING_DEFAULTS.marineCranks : 1;
    const rule =
      basis.kind === "marine"
        ? `${times} times what reciprocates, at the crank: cranks and screw`
        : "cranks as heavy as what reciprocates";
    return assumedQuantity(times * cranksKgM2, "inertia", rule, from);
  });
}

function fillFlywheel(sheet: Sheet, given: GivenMachine, basis: RunningBasis, isGoverned: boolean): number {
  const { kind, working } = basis;
  const isCounted = given.motion?.inertia !== undefined;
  const isUsual = kind !== "locomotive" && kind !== "marine" && !isCounted;
  const rule = isCounted ? "motion.inertia counts all that turns" : "its kind usually has none";
  const part = sheet.block("flywheel", given.flywheel, isUsual, rule, ["kind", "motion.inertia"]);
  if (part === null) return 0;
  const diameterM = sheet.take("flywheel.diameter", part.diameter, () => {
    const times = RUNNING_DEFAULTS.flywheelStrokes;
    const diameter = times * basis.gear.cylinder.strokeM;
    return assumedQuantity(diameter, "length", `${times} times the stroke`, ["cylinders.stroke"]);
  });
  const massKg = sheet.take("flywheel.mass", part.mass, () => {
    const strokes = isGoverned ? RUNNING_DEFAULTS.steadyStrokes : RUNNING_DEFAULTS.leastStrokes;
    const rimMPerS = (Math.PI * diameterM * Math.abs(basis.speedRpm)) / 60;
    const rule = `its rim holds the work of ${strokes} strokes`;
    return assumedQuantity((2 * strokes * working.strokeWorkJ) / (rimMPerS * rimMPerS), "mass", rule, [
      ...WORKING_NAMES,
      "flywheel.diameter",
      "governor",
    ]);
  });
  return (massKg * diameterM * diameterM) / 4;
}

function fillBrake(
  sheet: Sheet,
  given: GivenMachine,
  basis: RunningBasis,
  train: TrainDescription | null,
  load: LoadDescription | null,
): number {
  const isHoist = load?.law === "hoist";
  const from = ["kind", "train", "load"];
  const part = sheet.block("brake", given.brake, train !== null || isHoist, "its kind usually has none", from);
  if (part === null) return 0;
  return sheet.take("brake.torque", part.torque, () => {
    if (train !== null && basis.wheelDiameterM !== null) {
      const share = RUNNING_DEFAULTS.brakeAdhesions;
      const forceN = share * train.adhesionKg * WEIGHT_N_PER_KG;
      const torqueNm = (forceN * basis.wheelDiameterM) / 2 / gearingRatio(basis.gearing);
      const rule = `${share} of the weight on the driven wheels`;
      return assumedQuantity(torqueNm, "torque", rule, ["train.adhesion", "wheels", "gearing"]);
    }
    const times = RUNNING_DEFAULTS.hoistBrakeLoads;
    const torqueNm = times * (load?.torqueNm ?? basis.working.torqueNm);
    return assumedQuantity(torqueNm, "torque", `${times} times the load`, ["load.torque", ...WORKING_NAMES]);
  });
}
