import type { Command } from "commander";
import type { GearDescription } from "../gear/gear-description.js";
import { checkMachine } from "../offline/check.js";
import { readableQuantity } from "../quantities/readable-quantity.js";
import type { Answerer, CommandAnswer } from "./command-answer.js";
import { flowWords } from "./flow-words.js";
import { fileFault, withRefusals } from "./input-fault.js";
import { readMachineInput, type MachineInput } from "./machine-input.js";
import { columns, shown, shownLines } from "./terminal-text.js";

// As many as fit a line. [common practice]
const resonancesShown = 12;

/** `fourbeat check MACHINE`: what was assumed, what looks odd, and what the numbers come to. */
export function addCheckCommand(program: Command, answer: Answerer): void {
  program
    .command("check")
    .summary("what was assumed, what looks odd, and what the numbers come to")
    .description("Runs a machine at its own speed and prints what was assumed, what looks odd, and what it comes to.")
    .argument("<file>", "machine file")
    .option("--json", "print one JSON object instead of words")
    .addHelpText("after", "\nExample:\n  fourbeat check presets/harrow-tank.yaml")
    .action((file: string, words: { json?: boolean }) =>
      answer(checkAnswer(readMachineInput(file)), words.json === true),
    );
}

function checkAnswer({ machine, path }: MachineInput): CommandAnswer {
  const report = withRefusals(
    (message) => fileFault(path, message),
    () => checkMachine(machine),
  );
  const ends = endNames(machine.description.gear);
  const pressures = report.meanEffectivePressurePa.map((pa, i) => `${ends[i] ?? ""} ${(pa / 1e5).toFixed(2)} bar`);
  const resonances = report.resonancesHz
    .slice(0, resonancesShown)
    .map((hz) => hz.toFixed(0))
    .join(", ");
  const more = report.resonancesHz.length - resonancesShown;
  const figures: [string, string][] = [
    [`${machine.description.workingFluid} used`, flowWords(report.steamKgPerS)],
    ["power", readableQuantity(report.powerW, "power")],
    ["mean effective", pressures.join(", ")],
    ["piston speed", `${report.pistonSpeedMPerS.toFixed(2)} m/s`],
    ["resonances", resonances === "" ? "none" : `${resonances}${more > 0 ? ` and ${more} more` : ""} Hz`],
    [
      "balances",
      `mass ${ratio(report.massResidualRatio)}, energy ${ratio(report.energyResidualRatio)} of a turn's throughput`,
    ],
  ];
  const lines = [
    `${shown(machine.name)} (${machine.kind})`,
    ...figures.map(([name, value]) => `  ${name.padEnd(15)}${value}`),
  ];
  if (report.warnings.length > 0) lines.push("", "Odd:", ...report.warnings.map((warning) => `  ${shown(warning)}`));
  if (report.assumed.length > 0) {
    const rows = report.assumed.map(({ name, value, rule }) => [shown(name), shown(value), shown(rule)]);
    lines.push("", "Assumed, because the file does not say:", columns(["name", "value", "rule"], rows));
  }
  lines.push("", shownLines(report.caution));
  return { json: { ...report }, text: lines.join("\n"), notes: [] };
}

/** Order everywhere: cylinder 1 head, cylinder 1 crank, cylinder 2 head ... */
function endNames({ cylinder, crankAnglesRad }: GearDescription): string[] {
  const ends = cylinder.acting === "double" ? ["head", "crank"] : ["head"];
  return crankAnglesRad.flatMap((_, i) => ends.map((end) => `${i + 1} ${end}`));
}

function ratio(value: number): string {
  return Number.isFinite(value) ? value.toExponential(1) : "-";
}
