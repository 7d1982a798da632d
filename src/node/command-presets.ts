import { readdirSync } from "node:fs";
import { dirname, isAbsolute, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import type { Command } from "commander";
import { beatsPerTurnOf } from "../offline/beats-per-turn.js";
import type { Answerer, CommandAnswer } from "./command-answer.js";
import { readMachineInput } from "./machine-input.js";
import { columns, shown } from "./terminal-text.js";

/** The folder of the package: `dist/node/` and `src/node/` stand equally deep in it. */
export const packageFolder = dirname(dirname(dirname(fileURLToPath(import.meta.url))));

/** `fourbeat presets`: what ships. */
export function addPresetsCommand(program: Command, answer: Answerer): void {
  program
    .command("presets")
    .summary("the machines that ship")
    .description("Lists the machine files that ship, ready for render, events and check.")
    .option("--json", "print one JSON object instead of words")
    .addHelpText("after", "\nExample:\n  fourbeat presets --json")
    .action((words: { json?: boolean }) => answer(presetsAnswer(), words.json === true));
}

function presetsAnswer(): CommandAnswer {
  const folder = join(packageFolder, "presets");
  const files = readdirSync(folder).filter((name) => name.endsWith(".yaml"));
  const presets = files.sort().map((name) => {
    const path = join(folder, name);
    const { machine } = readMachineInput(path);
    const beatsPerTurn = beatsPerTurnOf(machine.description, null);
    return { file: pathFromHere(path), name: machine.name, kind: machine.kind, beatsPerTurn };
  });
  const rows = presets.map(({ file, name, kind, beatsPerTurn }) => [shown(file), shown(name), kind, `${beatsPerTurn}`]);
  return { json: { presets }, text: columns(["file", "name", "kind", "beats a turn"], rows), notes: [] };
}

/** The path as one would type it: from the current folder when it lies below, else in full. */
export function pathFromHere(path: string): string {
  const short = relative(process.cwd(), path);
  return short.startsWith("..") || isAbsolute(short) ? path : short;
}
