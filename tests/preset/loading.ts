import { complaintText, loadMachine, type Loaded, type MachineFile } from "../../src/preset/machine-file.js";
import { loadRun, type RunFile } from "../../src/preset/run-file.js";

/** What came of a file that must be right. */
export function loadedValue<T>(loaded: Loaded<T>): T {
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  return loaded.value;
}

/** The run of a text that must be right. */
export function runOf(text: string, machine: MachineFile): RunFile {
  return loadedValue(loadRun(text, "r.yaml", machine));
}

/** The complaints about a run that must be wrong, one per line. */
export function runComplaintsOf(text: string, machine: MachineFile): string[] {
  const loaded = loadRun(text, "r.yaml", machine);
  if (loaded.ok) throw new Error("read without complaint");
  return loaded.errors.map(complaintText);
}

/** The machine of a text that must be right. */
export function machineOf(text: string): MachineFile {
  const loaded = loadMachine(text, "m.yaml");
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  return loaded.value;
}

/** The complaints about a text that must be wrong, one per line. */
export function complaintsOf(text: string): string[] {
  const loaded = loadMachine(text, "m.yaml");
  if (loaded.ok) throw new Error(`read without complaint: ${text.slice(0, 200)}`);
  for (const { line, column, message, name } of loaded.errors) {
    if (!(line >= 1 && column >= 1)) throw new Error(`no place: ${line}:${column}`);
    if (/[\u0000-\u001f]/.test(message + name) || message.length > 330)
      throw new Error(`not one short line: ${message}`);
  }
  return loaded.errors.map(complaintText);
}

/** What a machine assumes for one name, or undefined. */
export function assumedFor(machine: MachineFile, name: string): string | undefined {
  return machine.assumed.find((one) => one.name === name)?.value;
}

/** Every number inside a value. */
export function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  if (typeof value !== "object" || value === null) return [];
  return Object.values(value).flatMap(numbersIn);
}
