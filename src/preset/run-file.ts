import { cutoffFault } from "../gear/equivalent-eccentric.js";
import { refusal, type Complaint, type Loaded } from "./complaint.js";
import { readListener, type ListenerSettings } from "./listener-rules.js";
import type { MachineFile } from "./machine-file.js";
import { applyControlRules } from "./control-rules.js";
import { gearingRatio } from "./gearing-defaults.js";
import { runSchema, type GivenControl, type GivenRun } from "./run-schema.js";
import { checkTree } from "./schema-faults.js";
import { Sheet } from "./sheet.js";
import { MOST_PISTON_SPEED_M_PER_S, shaftSpeedRpm } from "./speed-rules.js";
import { readYamlTree } from "./yaml-tree.js";

/** Settings of one moment. A control that is absent keeps its value. */
export interface ControlPoint {
  /** When the values are reached. */
  readonly atS: number;
  /** How long before that they begin to move; 0 is a step. */
  readonly overS: number;
  /** 0 shut, 1 full open. */
  readonly regulatorRatio?: number;
  /** Share of the stroke, -1 to 1; negative runs backwards. */
  readonly cutoffRatio?: number;
  readonly drainsRatio?: number;
  readonly blowerRatio?: number;
  readonly whistleRatio?: number;
  readonly brakeRatio?: number;
  /** Of the machine file's load or train; 0 to 2. */
  readonly loadRatio?: number;
  readonly fireRatio?: number;
  readonly feedRatio?: number;
  readonly blowdownRatio?: number;
  /** Water carried over with the steam: 0 none, 1 as much as steam. */
  readonly primingRatio?: number;
  /** Rise over distance, positive uphill; takes the place of the train's own. */
  readonly gradientRatio?: number;
  /** Of the train's own grip: below 1 a wet or greasy rail, above it sand. */
  readonly gripRatio?: number;
  /** Turned over by hand or barring gear at this speed, signed; 0 let go. */
  readonly barringRpm?: number;
  /** Signed. */
  readonly speedRpm?: number;
}

/** A run file, read and held against its machine. */
export interface RunFile {
  /** As written: from the run file's own folder. */
  readonly machinePath: string;
  readonly seconds: number;
  readonly seed: number;
  /** `null`: the machine's own, or the level rule. */
  readonly fullScalePa: number | null;
  readonly listener: ListenerSettings;
  /** Cold: water and metal as the air outside, no pressure. Steaming: at working pressure. */
  readonly start: "cold" | "steaming";
  /** Whether fire, feed and what is drawn move the boiler's pressure; otherwise it is held. A receiver of air always lives. */
  readonly boilerLives: boolean;
  /** In order of time. */
  readonly controls: ControlPoint[];
  /** Whether the shaft is turned from outside, as the run or the machine file says; otherwise steam, load and inertia decide. */
  readonly kinematic: boolean;
  readonly warnings: string[];
}

/** Where the machine of a run is, and where the run file says so. */
export interface MachinePath {
  readonly machinePath: string;
  readonly line: number;
  readonly column: number;
}

/** What a run has where its file does not say. [common practice] */
export const RUN_DEFAULTS = { seconds: 10, seed: 1 } as const;

const SHARES = "regulator drains blower whistle brake load fire feed blowdown priming gradient grip".split(
  " ",
) as Share[];
type Share = Exclude<keyof GivenControl, "at" | "over" | "speed" | "cutoff" | "barring">;

/** Reads only which machine a run file is for, so that the machine can be read first. Never throws. */
export function readRunMachinePath(text: string, fileName: string): Loaded<MachinePath> {
  const tree = readYamlTree(text, fileName);
  if (!tree.ok) return tree;
  const raw = tree.value.root.machine;
  const place = tree.value.placeOf(["machine"]);
  if (typeof raw === "string" && raw.trim() !== "") {
    return { ok: true, value: { machinePath: raw.trim(), ...place } };
  }
  const complaint = (message: string): Complaint => ({ file: fileName, ...place, name: "machine", message });
  if (raw !== undefined) return refusal([...tree.value.complaints, complaint("must be the path of a machine file.")]);
  const wayOut = "For example machine: ../presets/oxmoor-mill.yaml.";
  return refusal([...tree.value.complaints, complaint(`is missing. A run needs a machine file. ${wayOut}`)]);
}

/** Reads a run file for a machine that is already loaded. All faults are told at once. Never throws. */
export function loadRun(text: string, fileName: string, machine: MachineFile): Loaded<RunFile> {
  const tree = readYamlTree(text, fileName);
  if (!tree.ok) return tree;
  const checked = checkTree(runSchema, tree.value, fileName);
  if (!checked.ok) return checked;
  const sheet = new Sheet(tree.value, fileName, checked.value.wrong, checked.value.complaints);
  const run = fillRun(sheet, checked.value.given, machine);
  return sheet.complaints.length > 0 ? refusal(sheet.complaints) : { ok: true, value: run };
}

function fillRun(sheet: Sheet, given: GivenRun, machine: MachineFile): RunFile {
  if (given.machine === undefined && sheet.isSound("machine")) {
    sheet.complain(
      "machine",
      "is missing. A run needs a machine file. For example machine: ../presets/oxmoor-mill.yaml.",
    );
  }
  const controls: ControlPoint[] = [];
  (given.controls ?? []).forEach((control, index) => {
    if (control !== undefined) controls.push(readControl(sheet, `controls[${index}]`, control, machine));
  });
  const seconds = given.seconds ?? RUN_DEFAULTS.seconds;
  applyOrderRules(sheet, given.controls ?? []);

  const start = given.start ?? "steaming";
  applyControlRules(sheet, given.controls ?? [], start, machine);
  const isDriven = controls.some((control) => control.speedRpm !== undefined);
  const { running, pump } = machine.description;
  const kinematic = !pump && (isDriven || (running ?? null) === null);
  if (kinematic && !isDriven) {
    const rpm = Number(machine.description.speedRpm.toPrecision(6));
    const why = "the machine file says nothing of what moves (motion: none)";
    sheet.warn(`No control gives a speed, and ${why}: the machine's own speed, ${rpm} rpm, is used.`);
  }
  const boilerLives =
    (machine.description.plant ?? null) !== null &&
    (machine.description.workingFluid === "air" || isBoilerMoved(controls, start));
  // A ramp that begins before the end is heard in part.
  const late = controls.filter((control) => control.atS - control.overS >= seconds).length;
  sheet.query(["seconds", "controls"], late > 0, () => {
    return `${late} of the controls ${late === 1 ? "comes" : "come"} no sooner than the end of the run, ${seconds} s.`;
  });
  return {
    machinePath: given.machine ?? "",
    seconds,
    seed: given.seed ?? RUN_DEFAULTS.seed,
    fullScalePa: given.fullScale ?? null,
    listener: readListener(sheet, given.listener, machine),
    start,
    boilerLives,
    controls,
    kinematic,
    warnings: sheet.warnings,
  };
}

function isBoilerMoved(controls: readonly ControlPoint[], start: RunFile["start"]): boolean {
  return (
    start === "cold" ||
    controls.some(({ fireRatio, feedRatio, blowdownRatio }) => (fireRatio ?? feedRatio ?? blowdownRatio) !== undefined)
  );
}

function readControl(sheet: Sheet, name: string, control: GivenControl, machine: MachineFile): ControlPoint {
  if (control.at === undefined && sheet.isSound(`${name}.at`)) {
    sheet.complain(`${name}.at`, "is missing. Say when, for example at: 3 s.");
  }
  const point: { -readonly [K in keyof ControlPoint]: ControlPoint[K] } = {
    atS: control.at ?? 0,
    overS: control.over ?? 0,
  };
  for (const share of SHARES) {
    const value = control[share];
    if (value !== undefined) point[`${share}Ratio`] = value;
  }
  if (control.barring !== undefined) point.barringRpm = control.barring;
  if (control.cutoff !== undefined) {
    point.cutoffRatio = control.cutoff;
    const fault = cutoffFault(machine.description.gear, control.cutoff);
    sheet.rule(`${name}.cutoff`, [], fault === null, () => fault ?? "");
  }
  if (control.speed !== undefined) {
    point.speedRpm = shaftSpeedRpm(sheet, `${name}.speed`, control.speed, drivenDiameterM(machine), 0);
    const pistonMPerS = (machine.description.gear.cylinder.strokeM * Math.abs(point.speedRpm)) / 30;
    sheet.rule(`${name}.speed`, [], pistonMPerS <= MOST_PISTON_SPEED_M_PER_S, () => {
      const shown = Number(pistonMPerS.toPrecision(3));
      return `must keep the mean piston speed within ${MOST_PISTON_SPEED_M_PER_S} m/s, got ${shown} m/s. Check the unit.`;
    });
  }
  return point;
}

/** Wheels that would run as fast with no gearing between. */
function drivenDiameterM({ description }: MachineFile): number | null {
  const { wheelDiameterM, running } = description;
  return wheelDiameterM === null ? null : wheelDiameterM / gearingRatio(running?.gearing);
}

function applyOrderRules(sheet: Sheet, controls: readonly (GivenControl | undefined)[]): void {
  let last = -Infinity;
  controls.forEach((control, index) => {
    if (control?.at === undefined) return;
    if (control.at < last) {
      const got = sheet.got(`controls[${index}].at`, control.at, "time");
      sheet.complain(
        `controls[${index}].at`,
        `must not be before the entry above it, got ${got}. Put the entries in order of time.`,
      );
    }
    last = Math.max(last, control.at);
  });
}
