/**
 * Switches off one rule after another and runs the tests of the rules: each must be missed by one of them. Run by
 * `npm run rules-off`, or with the ids of rules. Takes some minutes.
 */
import { spawnSync } from "node:child_process";
import { ALL_RULES } from "../../server/rules/all.ts";

const asked = process.argv.slice(2);
const missed: string[] = [];
for (const { id } of ALL_RULES) {
  if (asked.length > 0 && !asked.includes(id)) continue;
  const run = spawnSync(
    process.execPath,
    [
      "node_modules/vitest/vitest.mjs",
      "run",
      "--config",
      "test/vitest.config.ts",
      "--bail",
      "1",
      "test/rules",
    ],
    { env: { ...process.env, PLATEWRIGHT_RULE_OFF: id, NO_COLOR: "1" }, encoding: "utf8" },
  );
  const failed = run.status !== 0 && /\b\d+ failed/.test(run.stdout);
  console.log(`${failed ? "missed by a test" : "NOT MISSED"}: ${id}`);
  if (!failed) missed.push(id);
}
console.log(missed.length === 0 ? "every rule is missed when it is off" : `not missed: ${missed.join(", ")}`);
process.exitCode = missed.length === 0 ? 0 : 1;
