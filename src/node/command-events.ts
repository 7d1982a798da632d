import type { Command } from "commander";
import type { EngineDescription } from "../engine/engine-description.js";
import { resolveCutoff } from "../gear/equivalent-eccentric.js";
import { Motion } from "../gear/motion.js";
import { relativeBeatLevelsDb } from "../offline/beat-levels.js";
import { eventsReport, requireEvents, type EventsReport } from "../offline/events-report.js";
import { eventsText } from "../offline/events-text.js";
import { caution } from "../offline/caution.js";
import { faultWords } from "../offline/reported-faults.js";
import { ownCutoffRatio } from "../offline/run-plan.js";
import { unitsNotes } from "../offline/units-notes.js";
import { turnRing } from "../pictures/turn-ring.js";
import type { Answerer, CommandAnswer } from "./command-answer.js";
import { requireOutputs, writeTextFile } from "./files.js";
import { fileFault, withRefusals } from "./input-fault.js";
import { readMachineInput, type MachineInput } from "./machine-input.js";
import { cutoffOption, requireCutoff, speedOption } from "./option-values.js";
import { shown, shownLines } from "./terminal-text.js";

/** `fourbeat events MACHINE`: the valve-event table and the expected beats. */
export function addEventsCommand(program: Command, answer: Answerer): void {
  program
    .command("events")
    .summary("when the valves open and shut, and when each beat is expected")
    .description("Prints the valve events of every cylinder end and the exhaust beats that follow from them.")
    .argument("<file>", "machine file")
    .option("--cutoff <ratio>", "cut-off in % of the stroke; negative is backward gear (default: full gear)")
    .option(
      "--speed <speed>",
      "at which beats are judged: rpm or Hz, or mph or km/h with wheels (default: the machine's)",
    )
    .option("--svg <file>", "draw the turn ring, events as arcs and beats as strokes, into this file")
    .option("--json", "print one JSON object instead of words")
    .addHelpText(
      "after",
      "\nExample:\n  fourbeat events presets/harrow-tank.yaml --cutoff '30 %' --svg harrow-tank.svg",
    )
    .action((file: string, words: { cutoff?: string; speed?: string; svg?: string; json?: boolean }) => {
      const cutoffRatio = words.cutoff === undefined ? null : cutoffOption(words.cutoff);
      const asJson = words.json === true;
      if (words.svg !== undefined) requireOutputs([{ option: "--svg", path: words.svg }], [file]);
      const input = atSpeed(readMachineInput(file), words.speed);
      const report = reportOf(input, cutoffRatio);
      const drawn: string[] = [];
      if (words.svg !== undefined) {
        writeTextFile(words.svg, drawing(report, input, cutoffRatio), undefined, "--svg");
        drawn.push(`Turn ring: ${shown(words.svg)}`);
      }
      answer(eventsAnswer(report, input, drawn, asJson), asJson);
    });
}

/** The machine as if its file named that speed. */
function atSpeed(input: MachineInput, text: string | undefined): MachineInput {
  if (text === undefined) return input;
  const { machine } = input;
  const { description } = machine;
  const speedRpm = speedOption(text, description.wheelDiameterM, description.gear.cylinder.strokeM);
  return { ...input, machine: { ...machine, description: { ...description, speedRpm } } };
}

function reportOf(input: MachineInput, cutoffRatio: number | null): EventsReport {
  const { machine } = input;
  const { description } = machine;
  const exhaustsToAir = description.exhaust.condenser === null;
  const refusal = (message: string) => fileFault(input.path, message);
  withRefusals(refusal, () => requireEvents(description.gear));
  requireCutoff(description.gear, cutoffRatio);
  return withRefusals(refusal, () =>
    eventsReport({
      gear: description.gear,
      cutoffRatio,
      exhaustsToAir,
      speedRpm: description.speedRpm,
      relativeLevelsDb: exhaustsToAir ? relativeBeatLevelsDb(machine, cutoffRatio) : null,
      ...(exhaustsToAir && description.gear.faults.length > 0
        ? { healthyLevelsDb: relativeBeatLevelsDb(withoutFaults(description), cutoffRatio) }
        : {}),
      assumed: machine.assumed,
      warnings: [...machine.warnings, ...unitsNotes(machine.engineUnits)],
      caution,
    }),
  );
}

function withoutFaults(description: EngineDescription): { readonly description: EngineDescription } {
  return { description: { ...description, gear: { ...description.gear, faults: [] } } };
}

/** The contract's JSON has no place for the picture: programs are told of it beside it. */
function eventsAnswer(
  report: EventsReport,
  { machine, isImperial }: MachineInput,
  drawn: readonly string[],
  asJson: boolean,
): CommandAnswer {
  const table = shownLines(eventsText(report, isImperial ? "imperial" : "metric", machine.description.speedRpm));
  const lines = [`${shown(machine.name)} (${machine.kind})`, table, ...(asJson ? [] : drawn)];
  return { json: { ...report }, text: lines.join("\n"), notes: asJson ? drawn : [] };
}

function drawing(report: EventsReport, { machine }: MachineInput, cutoffRatio: number | null): string {
  const { gear, speedRpm, exhaust } = machine.description;
  const motion = new Motion(gear);
  return turnRing(report, {
    name: machine.name,
    speedRpm,
    direction: resolveCutoff(gear, cutoffRatio ?? ownCutoffRatio(gear, speedRpm)).direction,
    crankAnglesDeg: gear.crankAnglesRad.map((_, i) => (motion.crankAngleRad(i + 1, 0) * 180) / Math.PI),
    exhaustsToAir: exhaust.condenser === null,
    outOfTrue: report.faults.map(faultWords),
  });
}
