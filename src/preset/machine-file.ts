import type { EngineDescription } from "../engine/engine-description.js";
import type { GearDescription } from "../gear/gear-description.js";
import { lastStageOf } from "../gear/stages.js";
import { refusal, type Assumption, type Loaded } from "./complaint.js";
import { fillCylinders } from "./cylinder-defaults.js";
import { fillEngineUnits, type EngineUnits } from "./engine-units.js";
import { fillExhaust } from "./exhaust-defaults.js";
import { fillFittings } from "./fittings-defaults.js";
import { applyExhaustRules } from "./exhaust-rules.js";
import { readFaults } from "./fault-rules.js";
import { applyGearRules } from "./gear-rules.js";
import { fillGearing, gearingRatio } from "./gearing-defaults.js";
import { applyLeakRules } from "./leak-rules.js";
import { machineSchema, REQUIRED_FIELDS, type GivenMachine, type MachineKind } from "./machine-schema.js";
import { fillPlant } from "./plant-defaults.js";
import { applyPlantRules } from "./plant-rules.js";
import { assumedThrottle, fillPump, isCrankless, strokesWritten } from "./pump-defaults.js";
import { fillRunning, trainBasis, type RunningBasis } from "./running-defaults.js";
import { applyRunningRules } from "./running-rules.js";
import { fillStages, laterCylinderCount, stageBlocks } from "./stage-defaults.js";
import { checkTree } from "./schema-faults.js";
import { assumedWord, Sheet } from "./sheet.js";
import { applySpeedRules, shaftSpeedRpm, SPEED_LIMITS_RPM } from "./speed-rules.js";
import { absolutePressure, fillAmbient, fillBoiler, fillChestAndLeaks } from "./supply-defaults.js";
import { fillValveGear, portAreaM2 } from "./valve-defaults.js";
import { estimateWorking } from "./working-estimate.js";
import { readYamlTree } from "./yaml-tree.js";

export { complaintText, type Assumption, type Complaint, type Loaded } from "./complaint.js";
export type { MachineKind } from "./machine-schema.js";

/** A machine file, read, filled in and found to hang together. */
export interface MachineFile {
  readonly formatVersion: 1;
  /** Free text: escape it wherever it is shown, and use `safeFileStem` where it names a file. */
  readonly name: string;
  readonly kind: MachineKind;
  readonly description: EngineDescription;
  /** How many engines as described there are, and how they keep step. */
  readonly engineUnits: EngineUnits;
  /** Sound pressure of a sample of 1.0; `null`: by the level rule. */
  readonly fullScalePa: number | null;
  /** Every value that was not given, as it would be written, and why that value. */
  readonly assumed: Assumption[];
  /** What is legal but odd. */
  readonly warnings: string[];
}

/**
 * Reads a machine file. Bore, stroke, boiler pressure and speed suffice; every other value not given is assumed and
 * listed. All faults are told at once, by line and column. Never throws.
 *
 * @param text the file's content
 * @param fileName what complaints call the file; it is not opened
 * @example
 * const loaded = loadMachine("boiler: { pressure: 160 psi }\ncylinders: { bore: 17 in, stroke: 24 in }\nspeed: 90 rpm", "a.yaml");
 * loaded.ok && loaded.value.description.gear.cylinder.boreM; // 0.4318
 */
export function loadMachine(text: string, fileName: string): Loaded<MachineFile> {
  const tree = readYamlTree(text, fileName);
  if (!tree.ok) return tree;
  const checked = checkTree(machineSchema, tree.value, fileName);
  if (!checked.ok) return checked;
  const sheet = new Sheet(tree.value, fileName, checked.value.wrong, checked.value.complaints, checked.value.nones);
  const machine = fillMachine(sheet, checked.value.given);
  return sheet.complaints.length > 0 ? refusal(sheet.complaints) : { ok: true, value: machine };
}

function fillMachine(sheet: Sheet, given: GivenMachine): MachineFile {
  sheet.take("formatVersion", given.formatVersion, () => assumedWord(1, "the only version there is"));
  const name = sheet.take("name", given.name, () => assumedWord("Unnamed engine", "no name given"));
  const hasCrank = !isCrankless(given);
  const kind = sheet.take<MachineKind>("kind", given.kind, () =>
    !hasCrank
      ? assumedWord<MachineKind>("pump", "its pistons trip their valves")
      : given.wheels === undefined
        ? assumedWord<MachineKind>("stationary", "no wheels")
        : assumedWord<MachineKind>("locomotive", "it has wheels", ["wheels"]),
  );
  const workingFluid = sheet.take("workingFluid", given.workingFluid, () =>
    assumedWord<"steam" | "air">("steam", "as most engines"),
  );
  const idealised = sheet.take("idealised", given.idealised, () => assumedWord(false, "a real engine"));
  const ambient = fillAmbient(sheet, given);
  const boiler = fillBoiler(sheet, given, workingFluid, ambient);
  const wheelDiameterM = readWheels(sheet, given);
  const gearing = fillGearing(sheet, given, kind);
  const speedRpm = shaftSpeedRpm(
    sheet,
    "speed",
    hasCrank ? sheet.require("speed", given.speed, { rpm: 60 }, REQUIRED_FIELDS.speed) : strokesWritten(sheet, given),
    wheelDiameterM === null ? null : wheelDiameterM / gearingRatio(gearing),
    SPEED_LIMITS_RPM.least,
  );

  const isOscillating = given.valveGear?.kind === "oscillating";
  const first = fillCylinders(sheet, given, kind, isOscillating, laterCylinderCount(given), hasCrank);
  if (isOscillating && given.cylinders?.connectingRod !== undefined) {
    sheet.warn("cylinders.connectingRod is not used: the piston rod of an oscillating cylinder drives the crank.");
  }
  const { geometry } = first;
  const pistonSpeedMPerS = (2 * geometry.strokeM * Math.abs(speedRpm)) / 60;
  const valveGear = fillValveGear(sheet, given, kind, geometry, pistonSpeedMPerS);
  const later = fillStages(sheet, given, kind, first, pistonSpeedMPerS);
  sheet.rule("valveGear.kind", [], !isOscillating || later.stages.length === 0, () => {
    return "must be eccentric or events beside cylinders of lower pressure, got oscillating. Leave out lowPressure.";
  });
  const iron: Omit<GearDescription, "faults"> = {
    cylinder: geometry,
    crankAnglesRad: [...first.crankAnglesRad, ...later.crankAnglesRad],
    valveGear,
    ...(later.stages.length === 0 ? {} : { laterStages: later.stages }),
  };
  const gear: GearDescription = { ...iron, faults: readFaults(sheet, given, iron) };

  const portM2 = portAreaM2(valveGear);
  const count = first.crankAnglesRad.length;
  const last = lastStageOf(gear);
  const condenserPa = absolutePressure(
    sheet,
    "exhaust.condenser.pressure",
    given.exhaust?.condenser?.pressure,
    ambient.pressurePa,
  );
  const exhaust = fillExhaust(
    sheet,
    given,
    kind,
    last.cylinder,
    last.cylinderCount,
    portAreaM2(last.valveGear),
    condenserPa,
  );
  const rest = fillChestAndLeaks(
    ...([sheet, given, geometry, count, portM2, idealised] as const),
    hasCrank ? null : assumedThrottle(geometry, count, speedRpm),
  );
  const ambientPa = ambient.pressurePa;
  const heldPa = exhaust.condenser?.pressurePa ?? null;
  const working = estimateWorking(kind, gear, workingFluid, boiler, ambientPa, heldPa, speedRpm);
  const plant = fillPlant(sheet, given, { kind, workingFluid, ambient, boiler, exhaust, working });
  const gaugePa = boiler.pressurePa - ambientPa;
  const runningBasis: RunningBasis = { kind, gear, gaugePa, speedRpm, wheelDiameterM, gearing, working };
  const pump = fillPump(sheet, given, geometry, gaugePa);
  const running = hasCrank ? fillRunning(sheet, given, runningBasis) : null;
  const fittings = fillFittings(sheet, given, idealised, {
    ...{ kind, gear, ambientPa, workingFluid, exhaust, wheelDiameterM },
    boilerPa: boiler.pressurePa,
    regulatorAreaM2: rest.regulatorAreaM2,
    train: running?.train ?? null,
    trainBasis: trainBasis(runningBasis),
  });
  if (given.fullScale === undefined && sheet.isSound("fullScale")) {
    sheet.assumed.push({
      name: "fullScale",
      value: "by rule",
      rule: "6 dB over the peak of four settled turns at 7.5 m",
    });
  }

  const description: EngineDescription = {
    gear,
    workingFluid,
    ambient,
    boiler,
    exhaust,
    ...rest,
    ...(later.stages.length === 0 ? {} : { receiverVolumesM3: later.receiverVolumesM3 }),
    wheelDiameterM,
    speedRpm,
    idealised,
    plant,
    running,
    pump,
    fittings,
  };
  applyGearRules(sheet, gear, stageBlocks(given));
  applyExhaustRules(sheet, given, description);
  applyLeakRules(sheet, description);
  applyPlantRules(sheet, description);
  applyRunningRules(sheet, given, description);
  applySpeedRules(sheet, given, kind, description, pistonSpeedMPerS);
  const engineUnits = fillEngineUnits(sheet, given);
  const { assumed, warnings } = sheet;
  return {
    formatVersion: 1,
    name,
    kind,
    description,
    engineUnits,
    fullScalePa: given.fullScale ?? null,
    assumed,
    warnings,
  };
}

function readWheels(sheet: Sheet, given: GivenMachine): number | null {
  if (given.wheels === undefined) return null;
  if (given.wheels.diameter !== undefined) return given.wheels.diameter;
  if (sheet.isSound("wheels.diameter")) sheet.complain("wheels.diameter", "is missing. For example diameter: 5 ft.");
  return null;
}
