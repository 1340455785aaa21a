import { spawnSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

/** Cpu seconds and findings of each hostile text, read and checked in a process of little memory. */
function measured(
  kind: "recipe" | "readings",
  length: number,
): Record<string, { cpu: number; findings: number; longest: number }> {
  const program = fileURLToPath(new URL("measure-texts.ts", import.meta.url));
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ["--max-old-space-size=300", "--import", "tsx", program, kind, String(length)],
    { encoding: "utf8", maxBuffer: 1 << 26 },
  );
  expect(status, stderr).toBe(0);
  return JSON.parse(stdout);
}

/** Shares of a second are start and chance. */
const NOTHING = 0.4;

describe.each(["recipe", "readings"] as const)("hostile texts, as %s", (kind) => {
  it("of up to 2 MB are answered, with few findings in short words, in a memory of 300 MB", () => {
    for (const [name, { findings, longest }] of Object.entries(measured(kind, 1_900_000))) {
      expect(findings, name).toBeLessThanOrEqual(1001);
      expect(longest, name).toBeLessThan(5000);
    }
  }, 400_000);

  it("of twice the length take no four times the work", () => {
    const [once, twice] = [measured(kind, 200_000), measured(kind, 400_000)];
    const faster = Object.keys(once).filter(
      (name) => twice[name]!.cpu > NOTHING && twice[name]!.cpu > 3.2 * Math.max(once[name]!.cpu, NOTHING / 4),
    );
    expect(faster).toEqual([]);
  }, 400_000);
});
