#!/usr/bin/env node
import { endWith } from "./endings.js";
import { buildProgram } from "./program.js";

// A reader that closes the pipe early (`| head`) has seen enough.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});

const program = buildProgram();
try {
  await program.parseAsync(process.argv);
} catch (error) {
  process.exitCode = endWith(error, process.argv.slice(2), program);
}
