import { spawn, spawnSync, type StdioOptions } from "node:child_process";
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect } from "vitest";
import { endWith } from "../../src/node/endings.js";
import { buildProgram } from "../../src/node/program.js";

export const packageFolder = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const cliPath = join(packageFolder, "dist", "node", "cli.js");

/** Compiles what has changed: nothing, after `npm test` has done it. */
export function buildCli(): void {
  const built = spawnSync(process.execPath, [join(packageFolder, ".ci", "prepare.mjs"), "--build"], {
    encoding: "utf8",
  });
  expect(built.status, built.stdout + built.stderr).toBe(0);
}

/** The four values that suffice, and what a test adds to them. */
export const fourValues = "cylinders: { bore: 17 in, stroke: 24 in }\nboiler: { pressure: 160 psi }\nspeed: 90 rpm\n";

/** A folder of its own in which the built command line is run as a user would. */
export class Workplace {
  readonly folder = mkdtempSync(join(tmpdir(), "fourbeat-cli-"));

  write(name: string, content: string | Buffer): string {
    writeFileSync(join(this.folder, name), content);
    return name;
  }
  run(words: string[], environment: Record<string, string> = {}) {
    const env = { ...process.env, FOURBEAT_DEBUG: "", ...environment };
    const result = spawnSync(process.execPath, [cliPath, ...words], { cwd: this.folder, encoding: "utf8", env });
    return { code: result.status, out: result.stdout, err: result.stderr };
  }
  /** The same with its streams led elsewhere. */
  runInto(stdio: StdioOptions, words: string[]) {
    const result = spawnSync(process.execPath, [cliPath, ...words], { cwd: this.folder, encoding: "utf8", stdio });
    return { code: result.status, out: result.stdout, err: result.stderr };
  }
  /** The same call without a process of its own: for the many refusals that differ only in words. */
  async call(words: string[]) {
    let [out, err] = ["", ""];
    const program = buildProgram((answer) => (out += answer.text));
    const home = process.cwd();
    process.chdir(this.folder);
    try {
      await program.parseAsync(["node", "fourbeat", ...words]);
      return { code: 0, out, err };
    } catch (error) {
      const code = endWith(error, words, program, { out: (text) => (out += text), err: (text) => (err += text) });
      return { code, out, err };
    } finally {
      process.chdir(home);
    }
  }
  start(words: string[]) {
    const child = spawn(process.execPath, [cliPath, ...words], { cwd: this.folder, stdio: ["ignore", "pipe", "pipe"] });
    let err = "";
    child.stderr.on("data", (data: Buffer) => (err += data.toString()));
    const ended = new Promise<{ code: number | null; err: string }>((resolve) =>
      child.on("close", (code) => resolve({ code, err })),
    );
    return { child, ended };
  }
  /** Everything below the folder, by name. */
  files(): string[] {
    return readdirSync(this.folder, { recursive: true, encoding: "utf8" }).sort();
  }
  remove(): void {
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** One clear message, no stack trace, nothing on standard output. */
export function expectRefusal(result: { code: number | null; out: string; err: string }, words: RegExp | string): void {
  expect(result.err).toMatch(words);
  expect(result.code, result.err).toBe(1);
  expect(result.out).toBe("");
  expect(result.err).not.toMatch(/^\s+at |node:internal|Error:/m);
  expect(result.err.trim().split("\n").length).toBeLessThanOrEqual(11);
  for (const line of result.err.trim().split("\n")) expect(line.length).toBeLessThan(500);
}
