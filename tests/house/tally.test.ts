import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { projectFolder } from "./source-tree.js";

describe("the one line that sums up a test run", () => {
  let folder = "";
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "fourbeat-tally-"));
  });
  afterAll(() => {
    rmSync(folder, { recursive: true, force: true });
  });

  function tally(report: string | null): { line: string; status: number | null } {
    const file = join(folder, "report.json");
    rmSync(file, { force: true });
    if (report !== null) writeFileSync(file, report);
    const result = spawnSync(process.execPath, [join(projectFolder, ".ci", "tally.mjs"), file], { encoding: "utf8" });
    return { line: result.stdout, status: result.status };
  }

  function report(passed: number, failed: number, pending: number, files: readonly object[] = []): string {
    return JSON.stringify({
      numPassedTests: passed,
      numFailedTests: failed,
      numPendingTests: pending,
      numTodoTests: 0,
      testResults: files,
    });
  }

  test("counts what passed", () => {
    expect(tally(report(12, 0, 0))).toEqual({ line: "12 passed, 0 failed\n", status: 0 });
  });

  test("fails when a test failed", () => {
    const file = { status: "failed", assertionResults: [{ status: "failed" }] };
    expect(tally(report(11, 1, 0, [file]))).toEqual({ line: "11 passed, 1 failed\n", status: 1 });
  });

  test("says what was skipped", () => {
    expect(tally(report(11, 0, 2))).toEqual({ line: "11 passed, 0 failed, 2 skipped\n", status: 0 });
  });

  test("counts a file that could not be loaded as a failure", () => {
    const file = { status: "failed", assertionResults: [] };
    expect(tally(report(11, 0, 0, [file]))).toEqual({ line: "11 passed, 1 failed\n", status: 1 });
  });

  test.each([
    ["there is no report", null],
    ["the report is cut short", `{"numPassedTests": 4`],
    ["no test ran", report(0, 0, 0)],
  ])("fails when %s", (_what, text) => {
    expect(tally(text)).toEqual({ line: "0 passed, 0 failed\n", status: 1 });
  });
});
