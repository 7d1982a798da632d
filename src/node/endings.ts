import { CommanderError, type Command } from "commander";
import { callFault } from "./call-fault.js";
import { faultText, InputFault, type FaultRow } from "./input-fault.js";
import { StoppedBySignal } from "./stop-signal.js";
import { shown } from "./terminal-text.js";

/** Where words and objects go. */
export interface Streams {
  out(text: string): void;
  err(text: string): void;
}

const standardStreams: Streams = {
  out: (text) => void process.stdout.write(text),
  err: (text) => void process.stderr.write(text),
};

/**
 * Says how a command ended other than well, and gives the exit code: 1 the user's input, 2 our fault, 128 and more a signal.
 *
 * With `--json` among the words the faults also go to standard output as one object. Stack traces are shown only with
 * `FOURBEAT_DEBUG=1`.
 */
export function endWith(
  error: unknown,
  words: readonly string[],
  program: Command,
  streams: Streams = standardStreams,
): number {
  if (error instanceof CommanderError && error.exitCode === 0) return 0;
  const asJson = words.includes("--json");
  if (error instanceof CommanderError && error.code === "commander.help") return 1; // the help itself was the answer
  if (error instanceof StoppedBySignal) {
    say(streams, asJson, error.message, [row(error.message)]);
    return error.exitCode;
  }
  const fault = error instanceof CommanderError ? callFault(error, program, words) : error;
  if (fault instanceof InputFault) {
    say(streams, asJson, faultText(fault), fault.rows);
    return 1;
  }
  const reason = fault instanceof Error ? fault.message : String(fault);
  const message = `fourbeat failed, and the fault is its own: ${shown(reason).replace(/\.$/, "")}.`;
  const details = process.env.FOURBEAT_DEBUG === "1" && fault instanceof Error ? `\n${fault.stack ?? ""}` : "";
  const hint = details === "" ? " FOURBEAT_DEBUG=1 shows where." : "";
  say(streams, asJson, `${message}${hint}${details}`, [row(message)]);
  return 2;
}

function row(message: string): FaultRow {
  return { file: null, line: null, column: null, name: null, message };
}

function say(streams: Streams, asJson: boolean, text: string, rows: readonly FaultRow[]): void {
  streams.err(`${text}\n`);
  if (asJson) streams.out(`${JSON.stringify({ errors: rows })}\n`);
}
