import type { Command, CommanderError } from "commander";
import { InputFault, optionFault } from "./input-fault.js";
import { nearestWord } from "../preset/near-word.js";

/** A call that the command line could not make sense of, in our own words and with the nearest right one. */
export function callFault(error: CommanderError, program: Command, words: readonly string[]): InputFault {
  const quoted = /'([^']*)'/.exec(error.message)?.[1] ?? "";
  const command = program.commands.find((candidate) => words.includes(candidate.name()));
  const help =
    command === undefined ? "'fourbeat --help' lists the commands." : `'fourbeat ${command.name()} --help' lists them.`;
  const near = (list: readonly string[]): string => {
    const word = nearestWord(quoted, list);
    return word === null ? help : `Nearest: ${word}.`;
  };
  const name = quoted.split(/[ ,]/)[0] ?? quoted;
  switch (error.code) {
    case "commander.unknownCommand":
      return optionFault(quoted, `${quoted} is not a known command. ${near(program.commands.map((c) => c.name()))}`);
    case "commander.unknownOption": {
      const options = (command ?? program).options.flatMap((option) => [option.long, option.short]);
      return optionFault(quoted, `${quoted} is not a known option. ${near([...options.filter(isWord), "--help"])}`);
    }
    case "commander.optionMissingArgument":
      return optionFault(longNameOf(quoted), `${longNameOf(quoted)} must have a value after it, got none. ${help}`);
    case "commander.missingArgument":
      return optionFault(
        name,
        `${command?.name() ?? "the command"} must be given a ${name}, got none. ${exampleOf(command)}`,
      );
    case "commander.excessArguments":
      return optionFault(
        "file",
        `${command?.name() ?? "fourbeat"} must be given one file, got more. Quote a name that has blanks.`,
      );
    default:
      return optionFault(name, error.message.replace(/^error: /, ""));
  }
}

function isWord(word: string | undefined): word is string {
  return word !== undefined;
}

/** `-o, --output <file>` -> `--output`. */
function longNameOf(flags: string): string {
  return /--[a-z-]+/.exec(flags)?.[0] ?? flags;
}

function exampleOf(command: Command | undefined): string {
  return command === undefined ? "" : `For example fourbeat ${command.name()} presets/harrow-tank.yaml.`;
}
