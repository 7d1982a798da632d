import type { Command } from "commander";
import { relativeBeatLevelsDb } from "../offline/beat-levels.js";
import { eventsReport } from "../offline/events-report.js";
import { eventsText } from "../offline/events-text.js";
import { caution } from "../offline/caution.js";
import type { Answerer, CommandAnswer } from "./command-answer.js";
import { fileFault, optionFault, withRefusals, type InputFault } from "./input-fault.js";
import { readMachineInput, type MachineInput } from "./machine-input.js";
import { cutoffOption } from "./option-values.js";
import { shown, shownLines } from "./terminal-text.js";

/** `fourbeat events MACHINE`: the valve-event table and the expected beats. */
export function addEventsCommand(program: Command, answer: Answerer): void {
  program
    .command("events")
    .summary("when the valves open and shut, and when each beat is expected")
    .description("Prints the valve events of every cylinder end and the exhaust beats that follow from them.")
    .argument("<file>", "machine file")
    .option("--cutoff <ratio>", "cut-off in % of the stroke; negative is backward gear (default: full gear)")
    .option("--json", "print one JSON object instead of words")
    .addHelpText("after", "\nExample:\n  fourbeat events presets/harrow-tank.yaml --cutoff '30 %'")
    .action((file: string, words: { cutoff?: string; json?: boolean }) => {
      const cutoffRatio = words.cutoff === undefined ? null : cutoffOption(words.cutoff);
      answer(eventsAnswer(readMachineInput(file), cutoffRatio), words.json === true);
    });
}

function eventsAnswer(input: MachineInput, cutoffRatio: number | null): CommandAnswer {
  const { machine } = input;
  const { description } = machine;
  const exhaustsToAir = description.exhaust.condenser === null;
  // A cut-off that only the machine can judge is still the option's fault.
  const faultOf = (message: string): InputFault =>
    cutoffRatio === null ? fileFault(input.path, message) : optionFault("--cutoff", message);
  const report = withRefusals(faultOf, () =>
    eventsReport({
      gear: description.gear,
      cutoffRatio,
      exhaustsToAir,
      speedRpm: description.speedRpm,
      relativeLevelsDb: exhaustsToAir ? relativeBeatLevelsDb(machine, cutoffRatio) : null,
      assumed: machine.assumed,
      warnings: machine.warnings,
      caution,
    }),
  );
  const units = input.isImperial ? "imperial" : "metric";
  const text = `${shown(machine.name)} (${machine.kind})\n${shownLines(eventsText(report, units, description.speedRpm))}`;
  return { json: { ...report }, text, notes: [] };
}
