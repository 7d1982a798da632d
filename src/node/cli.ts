#!/usr/bin/env node
import { endWith } from "./endings.js";
import { printFault } from "./files.js";
import { buildProgram } from "./program.js";

const program = buildProgram();

// Printing can fail when the work is done, and tells so only by this event.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit(0); // a reader that closes the pipe early (`| head`) has seen enough
  process.exit(endWith(printFault(error), [], program));
});
// What cannot be said anywhere still shows in how the command ends.
process.stderr.on("error", () => (process.exitCode ??= 1));

try {
  await program.parseAsync(process.argv);
} catch (error) {
  process.exitCode = endWith(error, process.argv.slice(2), program);
}
