import { createRequire } from "node:module";
import { Command } from "commander";
import { addCheckCommand } from "./command-check.js";
import { addEventsCommand } from "./command-events.js";
import { addPresetsCommand } from "./command-presets.js";
import { addRenderCommand } from "./command-render.js";
import { printAnswer, type Answerer } from "./command-answer.js";

/** Version of the package, as its own file says. */
export function packageVersion(): string {
  return (createRequire(import.meta.url)("../../package.json") as { version: string }).version;
}

/**
 * The `fourbeat` command line. Faults are thrown, not printed: see `endings.ts`.
 *
 * @param answer takes what a command has to say
 */
export function buildProgram(answer: Answerer = printAnswer): Command {
  const program = new Command("fourbeat")
    .description("The sound of reciprocating steam machines, from a short description of the machine.")
    .version(packageVersion())
    .showSuggestionAfterError(false)
    .configureOutput({ outputError: () => undefined })
    .exitOverride()
    .addHelpText("after", "\nExample:\n  fourbeat presets\n  fourbeat render presets/harrow-tank.yaml");
  addRenderCommand(program, answer);
  addEventsCommand(program, answer);
  addCheckCommand(program, answer);
  addPresetsCommand(program, answer);
  return program;
}
