import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import type { EngineDescription } from "../engine/engine-description.js";
import { ControlTrack } from "../machine/control-track.js";
import { Machine } from "../machine/machine.js";
import { settle } from "../machine/settle.js";
import { driveOf, steadyPlan } from "../offline/run-plan.js";
import { complaintText } from "../preset/complaint.js";
import { loadMachine } from "../preset/machine-file.js";
import { block, cost, rateHz, type Row } from "./bench-cost.js";

const machineFile = join(dirname(dirname(dirname(fileURLToPath(import.meta.url)))), "presets", "harrow-tank.yaml");

function locomotive(): EngineDescription {
  const loaded = loadMachine(readFileSync(machineFile, "utf8"), machineFile);
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  return loaded.value.description;
}

/** The two-cylinder locomotive: gas and iron alone, and all of it with every stem. */
export function locomotiveNs(
  speedRpm: number,
  cutoffRatio: number | null,
): { readonly engine: number; readonly whole: number } {
  const description = locomotive();
  const plan = steadyPlan(description, speedRpm, 1, cutoffRatio, 3600);
  const machine = new Machine(
    description,
    { sampleRateHz: rateHz, fidelity: 4, seed: 1, distanceM: 7.5 },
    driveOf(plan),
  );
  settle(machine, speedRpm, 0);
  const stems = machine.stemNames.map(() => new Float64Array(block));
  const blocks = 30;
  // Short runs first: a long one that begins cold can stay half compiled.
  for (let i = 0; i < 400; i++) machine.process(stems, 1024);
  const whole = cost(blocks * block, () => {
    for (let i = 0; i < blocks; i++) machine.process(stems, block);
  });
  const engine = cost(blocks * block, () => machine.runSilent((blocks * block) / 4));
  return { engine, whole };
}

/** The locomotive with its voices and without: standing cold, where all are at rest, and at work with every cock open. */
export function voicesNs(): Row[] {
  const description = locomotive();
  const open = (value: number) => new ControlTrack(value, []);
  const make = (hasVoices: boolean, isWorking: boolean) => {
    const plan = steadyPlan(description, isWorking ? 120 : 0, isWorking ? 1 : 0, 0.3, 3600);
    const side = isWorking
      ? { drains: open(1), whistle: open(1), blower: open(1), fire: open(1), feed: open(1) }
      : { fire: open(0) };
    const settings = { sampleRateHz: rateHz, fidelity: 4, seed: 1, distanceM: 7.5, hasVoices } as const;
    const machine = new Machine(
      description,
      { ...settings, boilerLives: true, startsCold: !isWorking },
      driveOf({ ...plan, side }),
    );
    settle(machine, isWorking ? 120 : 0, 0);
    const stems = machine.stemNames.map(() => new Float64Array(block));
    for (let i = 0; i < 400; i++) machine.process(stems, 1024);
    return { machine, stems };
  };
  const blocks = 10;
  const costOf = ({ machine, stems }: ReturnType<typeof make>) =>
    cost(blocks * block, () => {
      for (let i = 0; i < blocks; i++) machine.process(stems, block);
    });
  const [alone, resting] = [costOf(make(false, false)), costOf(make(true, false))];
  return [
    { name: "standing cold, without voices", nsPerSample: alone },
    { name: "the same with all voices at rest", nsPerSample: resting },
    { name: "at work without voices", nsPerSample: costOf(make(false, true)) },
    {
      name: "the same with drains, whistle, blower, fire, feed and all the rest",
      nsPerSample: costOf(make(true, true)),
    },
  ];
}
