/**
 * Runs the suite and closes with `N passed, N failed`, counted from the run's own report. A test that cannot run
 * on this machine says why in its name and is listed; with PLATEWRIGHT_ALL_TESTS=1 that counts as a failure.
 */
import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";

interface Report {
  readonly success: boolean;
  readonly testResults: readonly {
    readonly name: string;
    readonly status: string;
    readonly message: string;
    readonly assertionResults: readonly { readonly status: string; readonly fullName: string }[];
  }[];
}

const root = fileURLToPath(new URL("..", import.meta.url));
const reportFile = `${root}build/test-report.json`;
mkdirSync(`${root}build`, { recursive: true });
rmSync(reportFile, { force: true });

const vitest = fileURLToPath(new URL("../node_modules/vitest/vitest.mjs", import.meta.url));
const args = ["run", "--config", "test/vitest.config.ts", "--reporter=default", "--reporter=json"];
const run = spawnSync(
  process.execPath,
  [vitest, ...args, `--outputFile.json=${reportFile}`, ...process.argv.slice(2)],
  { cwd: root, stdio: "inherit" },
);

const { testResults, success } = JSON.parse(readFileSync(reportFile, "utf8")) as Report;
const tests = testResults.flatMap(({ assertionResults }) => assertionResults);
const count = (...statuses: string[]) => tests.filter(({ status }) => statuses.includes(status)).length;
// A file that could not even be loaded has no tests of its own to fail.
const unloaded = testResults.filter(
  ({ status, assertionResults }) => status === "failed" && assertionResults.length === 0,
);
const skipped = tests.filter(
  ({ status }) => status === "skipped" || status === "pending" || status === "todo",
);
const mustRunAll = process.env.PLATEWRIGHT_ALL_TESTS === "1";

for (const { fullName } of skipped) console.log(`skipped: ${fullName}`);
for (const { name, message } of unloaded) console.log(`not loaded: ${name}: ${message.split("\n")[0]}`);
if (skipped.length > 0 && mustRunAll) console.log("skipped tests count as failed here");

const failed = count("failed") + unloaded.length + (mustRunAll ? skipped.length : 0);
const tail = skipped.length > 0 && !mustRunAll ? `, ${skipped.length} skipped` : "";
console.log(`${count("passed")} passed, ${failed} failed${tail}`);
process.exit(failed > 0 || !success || run.status !== 0 || tests.length === 0 ? 1 : 0);
