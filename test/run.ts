/**
 * Runs suites and closes with `N passed, N failed`, counted from the runs' own reports. A test that cannot run on this
 * machine says why in its name and is listed; with PLATEWRIGHT_ALL_TESTS=1 that counts as a failure. The first argument
 * names the suites: `project` (if none is named), `editor`, or `all`; what follows goes to vitest.
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

interface Counts {
  readonly passed: number;
  readonly failed: number;
  readonly skipped: number;
}

/** Each suite's configuration. */
const SUITES = { project: "test/vitest.config.ts", editor: "test/editor/vitest.config.ts" };

const root = fileURLToPath(new URL("..", import.meta.url));
const mustRunAll = process.env.PLATEWRIGHT_ALL_TESTS === "1";
const [first = "project", ...rest] = process.argv.slice(2);
const named = first === "all" || first in SUITES;
const suites = first === "all" ? Object.keys(SUITES) : [named ? first : "project"];
const args = named ? rest : process.argv.slice(2);

const counts = suites.map((name) => run(name as keyof typeof SUITES));
const sum = (key: keyof Counts) => counts.reduce((total, one) => total + one[key], 0);
const skipped = sum("skipped");
const tail = skipped > 0 && !mustRunAll ? `, ${skipped} skipped` : "";
console.log(`${sum("passed")} passed, ${sum("failed")} failed${tail}`);
process.exit(sum("failed") > 0 || counts.some(({ passed }) => passed === 0) ? 1 : 0);

/** Runs one suite and lists what was not run. A run that broke down counts as a failure, if nothing else failed. */
function run(name: keyof typeof SUITES): Counts {
  const reportFile = `${root}build/${name}-tests.json`;
  mkdirSync(`${root}build`, { recursive: true });
  rmSync(reportFile, { force: true });
  const vitest = fileURLToPath(new URL("../node_modules/vitest/vitest.mjs", import.meta.url));
  const reporters = ["--reporter=default", "--reporter=json", `--outputFile.json=${reportFile}`];
  const { status } = spawnSync(
    process.execPath,
    [vitest, "run", "--config", SUITES[name], ...reporters, ...args],
    { cwd: root, stdio: "inherit" },
  );
  const report = read(reportFile);
  if (!report) {
    console.log(`not run: the ${name} suite`);
    return { passed: 0, failed: 1, skipped: 0 };
  }
  const { testResults, success } = report;
  const tests = testResults.flatMap(({ assertionResults }) => assertionResults);
  const withStatus = (...statuses: string[]) => tests.filter(({ status }) => statuses.includes(status));
  // A file that could not even be loaded has no tests of its own to fail.
  const unloaded = testResults.filter(
    ({ status, assertionResults }) => status === "failed" && assertionResults.length === 0,
  );
  const skipped = withStatus("skipped", "pending", "todo");
  for (const { fullName } of skipped) console.log(`skipped: ${fullName}`);
  for (const { name, message } of unloaded) console.log(`not loaded: ${name}: ${message.split("\n")[0]}`);
  if (skipped.length > 0 && mustRunAll) console.log("skipped tests count as failed here");

  const failed = withStatus("failed").length + unloaded.length + (mustRunAll ? skipped.length : 0);
  const broken = !success || status !== 0;
  return {
    passed: withStatus("passed").length,
    failed: failed === 0 && broken ? 1 : failed,
    skipped: skipped.length,
  };
}

/** Undefined where the run ended before it could report. */
function read(file: string): Report | undefined {
  try {
    return JSON.parse(readFileSync(file, "utf8"));
  } catch {
    return undefined;
  }
}
