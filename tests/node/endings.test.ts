import { CommanderError } from "commander";
import { afterEach, describe, expect, it } from "vitest";
import { endWith } from "../../src/node/endings.js";
import { InputFault } from "../../src/node/input-fault.js";
import { buildProgram } from "../../src/node/program.js";
import { StoppedBySignal } from "../../src/node/stop-signal.js";

function end(error: unknown, words: string[] = []) {
  let [out, err] = ["", ""];
  const code = endWith(error, words, buildProgram(), { out: (text) => (out += text), err: (text) => (err += text) });
  return { code, out, err };
}

afterEach(() => delete process.env.FOURBEAT_DEBUG);

describe("how a command ends", () => {
  it("our own failure is 2, in one line, with the stack only when asked", () => {
    expect(end(new Error("bo\u001bom"))).toEqual({
      code: 2,
      out: "",
      err: "fourbeat failed, and the fault is its own: bo\\u{1b}om. FOURBEAT_DEBUG=1 shows where.\n",
    });
    process.env.FOURBEAT_DEBUG = "1";
    expect(end(new Error("boom")).err).toMatch(/\n\s+at /);
  });

  it("the user's input is 1, at most ten lines and a count", () => {
    const row = { file: "a.yaml", line: 2, column: 3, name: "speed", message: "must be a number, got x. Put one." };
    expect(end(new InputFault([row]))).toEqual({
      code: 1,
      out: "",
      err: "a.yaml:2:3 speed must be a number, got x. Put one.\n",
    });
    const many = end(new InputFault(Array(15).fill(row), 7), ["--json"]);
    expect(many.err.trim().split("\n").length).toBe(11);
    expect(many.err).toContain("... and 12 more.");
    expect(JSON.parse(many.out)).toEqual({ errors: Array(15).fill(row) });
  });

  it("a signal is 128 and its number, help is 0", () => {
    expect(end(new StoppedBySignal("SIGINT"))).toMatchObject({ code: 130, err: "Stopped. No file was written.\n" });
    expect(end(new StoppedBySignal("SIGTERM")).code).toBe(143);
    expect(end(new CommanderError(0, "commander.helpDisplayed", ""))).toEqual({ code: 0, out: "", err: "" });
  });

  it("lines of any length are cut, and control characters written out", () => {
    const row = { file: "x/".repeat(300), line: 1, column: 1, name: "name", message: `\u001b${"y".repeat(3000)}` };
    const { err } = end(new InputFault([row]));
    expect(err.length).toBeLessThan(450);
    expect(err).toContain("\\u{1b}");
  });
});
