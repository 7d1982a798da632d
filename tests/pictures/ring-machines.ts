import { readFileSync } from "node:fs";
import { join } from "node:path";
import { resolveCutoff } from "../../src/gear/equivalent-eccentric.js";
import { Motion } from "../../src/gear/motion.js";
import { eventsReport, type EventsReport } from "../../src/offline/events-report.js";
import { ownCutoffRatio } from "../../src/offline/run-plan.js";
import type { TurnRingMachine } from "../../src/pictures/turn-ring-content.js";
import { complaintText } from "../../src/preset/complaint.js";
import { loadMachine } from "../../src/preset/machine-file.js";
import { projectFolder } from "../house/source-tree.js";

/** A machine with its report, levels left unknown unless given: nothing has to run. */
export interface RingCase {
  readonly report: EventsReport;
  readonly machine: TurnRingMachine;
}

export function ringCase(
  text: string,
  cutoffRatio: number | null = null,
  levelsDb: readonly (number | null)[] | null = null,
): RingCase {
  const loaded = loadMachine(text, "ring.yaml");
  if (!loaded.ok) throw new Error(loaded.errors.map(complaintText).join("\n"));
  const { description, name, assumed, warnings } = loaded.value;
  const { gear, speedRpm } = description;
  const exhaustsToAir = description.exhaust.condenser === null;
  const report = eventsReport({
    gear,
    cutoffRatio,
    exhaustsToAir,
    speedRpm,
    relativeLevelsDb: levelsDb,
    assumed,
    warnings,
    caution: "Ask the competent person.",
  });
  const motion = new Motion(gear);
  const machine: TurnRingMachine = {
    name,
    speedRpm,
    direction: resolveCutoff(gear, cutoffRatio ?? ownCutoffRatio(gear, speedRpm)).direction,
    crankAnglesDeg: gear.crankAnglesRad.map((_, i) => (motion.crankAngleRad(i + 1, 0) * 180) / Math.PI),
    exhaustsToAir,
  };
  return { report, machine };
}

export function presetText(name: string): string {
  return readFileSync(join(projectFolder, "presets", `${name}.yaml`), "utf8");
}

/** A locomotive with some lines changed or added. */
export function locomotive(lines: string, name = "Trial"): string {
  const own = "boiler: { pressure: 160 psi }\nkind: locomotive\n";
  return `name: ${JSON.stringify(name)}\n${own}${lines}\n`;
}

/** Figures from 0 to 1, the same every time: Park and Miller's minimal standard generator. */
export function* figures(seed: number): Generator<number, never> {
  for (let state = seed; ;) {
    state = (state * 48_271) % 2_147_483_647;
    yield state / 2_147_483_647;
  }
}
