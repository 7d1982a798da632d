import { readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { EngineDescription } from "../../src/engine/engine-description.js";
import type { Fault, GearDescription } from "../../src/gear/gear-description.js";
import { eventsReport, type EventsReport } from "../../src/offline/events-report.js";
import { openRender } from "../../src/offline/units-render.js";
import type { BeatRow, RenderRequest, RenderSummary } from "../../src/offline/render-request.js";
import { complaintText, loadMachine, type MachineFile } from "../../src/preset/machine-file.js";
import { loadRun, readRunMachinePath, type RunFile } from "../../src/preset/run-file.js";

const projectFolder = fileURLToPath(new URL("../..", import.meta.url));

/** The machines that ship. */
export const presetNames = [
  "bench-slide",
  "brand-four",
  "corrie-winder",
  "fenner-road",
  "corve-bottle",
  "corrie-triple",
  "hall-exhibit",
  "harrow-tank",
  "lingmere-condensing",
  "merle-paddle",
  "moss-donkey",
  "oxmoor-mill",
  "pocket-wobbler",
  "stell-mineral",
  "tarn-duplex",
  "tarnside-compound",
] as const;
export type PresetName = (typeof presetNames)[number];

/** The runs that ship. */
export const runNames = [
  "fellgate-out-of-step",
  "corrie-winds",
  "corve-bottle",
  "harrow-away",
  "harrow-journey",
  "harrow-passes",
  "mill-day",
  "oxmoor-run-up",
  "stell-climb",
  "tarn-fills",
  "wobbler-steamed",
] as const;

/** The machine of a text, which must be right. */
export function machineOfText(text: string): MachineFile {
  const loaded = loadMachine(text, "m.yaml");
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  return loaded.value;
}

/** A machine that ships. */
export function preset(name: PresetName): MachineFile {
  return machineOfText(readFileSync(join(projectFolder, "presets", `${name}.yaml`), "utf8"));
}

/** The run of a text, which must be right. */
export function runOfText(text: string, machine: MachineFile): RunFile {
  const loaded = loadRun(`machine: m.yaml\n${text}`, "r.yaml", machine);
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  return loaded.value;
}

/** A run that ships, with its machine. */
export function shippedRun(name: string): { machine: MachineFile; run: RunFile } {
  const text = readFileSync(join(projectFolder, "render", `${name}.yaml`), "utf8");
  const path = readRunMachinePath(text, "r.yaml");
  if (!path.ok) throw new Error(name);
  const machine = machineOfText(readFileSync(join(projectFolder, "render", path.value.machinePath), "utf8"));
  const loaded = loadRun(text, "r.yaml", machine);
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  return { machine, run: loaded.value };
}

/** The machine with some of its description changed. */
export function changed(machine: MachineFile, changes: Partial<EngineDescription>): MachineFile {
  return { ...machine, description: { ...machine.description, ...changes } };
}

/** The machine's exhaust alone: nothing that hangs on it, moves in it or feeds it is heard. */
export function exhaustOnly(machine: MachineFile): MachineFile {
  return changed(machine, { plant: null, running: null, fittings: null });
}

/** The machine with some of its gear changed. */
export function withGear(machine: MachineFile, changes: Partial<GearDescription>): MachineFile {
  return changed(machine, { gear: { ...machine.description.gear, ...changes } });
}

export function withFaults(machine: MachineFile, ...faults: Fault[]): MachineFile {
  return withGear(machine, { faults });
}

export function withoutLeaks(machine: MachineFile): MachineFile {
  return changed(machine, { leaks: { valveM2: 0, ringsM2: 0 } });
}

/** A bare machine at 48 kHz against 20 Pa, for as long as asked. */
export function request(machine: MachineFile, changes: Partial<RenderRequest> = {}): RenderRequest {
  return {
    machine,
    ...{ run: null, seconds: null, turns: null, loop: false, speedRpm: null, cutoffRatio: null, regulatorRatio: null },
    ...{ rateHz: 48_000, seed: null, fullScalePa: 20, fidelity: 4 },
    ...changes,
  };
}

export interface Rendered {
  readonly mix: Float64Array;
  readonly stems: readonly Float64Array[];
  readonly stemNames: readonly string[];
  readonly beats: readonly BeatRow[];
  readonly summary: RenderSummary;
  readonly fullScalePa: number;
  readonly rateHz: number;
}

/** A whole render, kept. */
export function rendered(asked: RenderRequest): Rendered {
  const render = openRender(asked);
  const mix = new Float64Array(render.totalFrames);
  const stems = render.stemNames.map(() => new Float64Array(render.totalFrames));
  let at = 0;
  for (let block = render.next(); block !== null; block = render.next()) {
    mix.set(block.mix.subarray(0, block.frameCount), at);
    for (let s = 0; s < stems.length; s++) stems[s].set(block.stems[s].subarray(0, block.frameCount), at);
    at += block.frameCount;
  }
  const { fullScalePa, stemNames } = render;
  return { mix, stems, stemNames, beats: render.beats(), summary: render.summary(), fullScalePa, rateHz: asked.rateHz };
}

export type PulseTable = ReadonlyMap<string, Float64Array>;

/** The pulse record of a render, column by column. */
export function pulsesOf(asked: RenderRequest): PulseTable {
  const render = openRender(asked);
  const columns = render.pulseNames.map(() => new Float64Array(render.totalFrames));
  render.onPulse = (index, row) => columns.forEach((column, c) => (column[index] = row[c]));
  while (render.next() !== null);
  return new Map(render.pulseNames.map((name, c) => [name, columns[c]]));
}

/** What the valve gear alone says. */
export function eventsOf(machine: MachineFile, cutoffRatio: number | null = null, speedRpm?: number): EventsReport {
  const { gear, exhaust } = machine.description;
  return eventsReport({
    ...{ gear, cutoffRatio, exhaustsToAir: exhaust.condenser === null },
    ...{ speedRpm: speedRpm ?? machine.description.speedRpm, relativeLevelsDb: null },
    ...{ assumed: [], warnings: [], caution: "" },
  });
}

export const wrapped180 = (deg: number): number => deg - 360 * Math.round(deg / 360);
export const rmsOf = (samples: Float64Array): number =>
  Math.sqrt(samples.reduce((sum, x) => sum + x * x, 0) / samples.length);
export const decibels = (ratio: number): number => 20 * Math.log10(ratio);
export const greatestOf = (samples: Float64Array): number =>
  samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
