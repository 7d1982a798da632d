import { dirname, isAbsolute, join } from "node:path";
import type { Complaint, Loaded } from "../preset/complaint.js";
import { loadMachine, type MachineFile } from "../preset/machine-file.js";
import { loadRun, readRunMachinePath, type MachinePath, type RunFile } from "../preset/run-file.js";
import { readYamlTree } from "../preset/yaml-tree.js";
import { readTextFile } from "./files.js";
import { fileFault, InputFault } from "./input-fault.js";

/** A machine read from its file. */
export interface MachineInput {
  readonly path: string;
  readonly machine: MachineFile;
  /** Its owner writes inches. */
  readonly isImperial: boolean;
}

/** What `render` was given: a run and its machine, or a bare machine. */
export interface RenderInput {
  readonly path: string;
  readonly machine: MachineFile;
  readonly run: RunFile | null;
  /** Every file that was read, and so must not be written. */
  readonly inputPaths: readonly string[];
}

/** Reads a machine file. @throws InputFault with all that is wrong with it, or with its being a run file */
export function readMachineInput(path: string): MachineInput {
  const text = readTextFile(path);
  if (isRunText(text, path)) {
    throw fileFault(path, "must be a machine file, got a run file. Name the file that its 'machine:' names.");
  }
  return machineOf(text, path);
}

/** Reads a run file and the machine file that it names, or a machine file. @throws InputFault with all that is wrong */
export function readRenderInput(path: string): RenderInput {
  const text = readTextFile(path);
  if (!isRunText(text, path)) return { path, machine: machineOf(text, path).machine, run: null, inputPaths: [path] };
  const named = valueOf(readRunMachinePath(text, path));
  const machinePath = isAbsolute(named.machinePath) ? named.machinePath : join(dirname(path), named.machinePath);
  const { machine } = machineOf(machineText(machinePath, path, named), machinePath);
  return { path, machine, run: valueOf(loadRun(text, path, machine)), inputPaths: [path, machinePath] };
}

/** The machine's text; when there is none, or it is a run's, the run file is told where it says so. */
function machineText(machinePath: string, runPath: string, { line, column }: MachinePath): string {
  const refuse = (what: string): InputFault => {
    const message = `must name a machine file, got ${machinePath}, which ${what}`;
    return new InputFault([{ file: runPath, line, column, name: "machine", message }]);
  };
  let text: string;
  try {
    text = readTextFile(machinePath);
  } catch (error) {
    if (!(error instanceof InputFault)) throw error;
    throw refuse(error.rows[0]?.message ?? "");
  }
  if (isRunText(text, machinePath)) throw refuse("is a run file. Name the file that its 'machine:' names.");
  return text;
}

const ONLY_RUNS_HAVE = ["controls", "listener", "seconds", "seed"];
const ONLY_MACHINES_HAVE = ["boiler", "cylinders", "valveGear"];

/** A run is told from a machine by its key `machine`; one that has forgotten it, by keys that no machine has. */
function isRunText(text: string, path: string): boolean {
  const tree = readYamlTree(text, path);
  if (!tree.ok) return false;
  const { root } = tree.value;
  if ("machine" in root) return true;
  return ONLY_RUNS_HAVE.some((key) => key in root) && !ONLY_MACHINES_HAVE.some((key) => key in root);
}

function machineOf(text: string, path: string): MachineInput {
  const isImperial = /\bbore"?\s*:[^\n]*?[\d½¼¾⅛⅜⅝⅞]\s*(in\b|inch|ft\b|foot|feet|["″'′])/.test(text);
  return { path, machine: valueOf(loadMachine(text, path)), isImperial };
}

function valueOf<Value>(loaded: Loaded<Value>): Value {
  if (loaded.ok) return loaded.value;
  throw new InputFault(loaded.errors.map(faultRow), loaded.moreErrors);
}

function faultRow(complaint: Complaint): InputFault["rows"][number] {
  return { ...complaint, name: complaint.name === "" ? null : complaint.name };
}
