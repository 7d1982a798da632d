// Prints the one line `N passed, M failed` from the report that the test runner wrote, and leaves with 1 on failure.
import { readFileSync } from "node:fs";

const [reportFile] = process.argv.slice(2);

function readReport() {
  try {
    return JSON.parse(readFileSync(reportFile, "utf8"));
  } catch {
    // No report: the runner did not get as far as running a test.
    return { numPassedTests: 0, numFailedTests: 0, numPendingTests: 0, numTodoTests: 0, testResults: [] };
  }
}

const report = readReport();
// A file that cannot be loaded, or whose set-up fails, has no failed test of its own but is a failure all the same.
const brokenFiles = report.testResults.filter(
  (file) => file.status === "failed" && !file.assertionResults.some((one) => one.status === "failed"),
);
const passed = report.numPassedTests;
const failed = report.numFailedTests + brokenFiles.length;
const skipped = report.numPendingTests + report.numTodoTests;
console.log(`${passed} passed, ${failed} failed${skipped > 0 ? `, ${skipped} skipped` : ""}`);
process.exit(failed > 0 || passed === 0 ? 1 : 0);
