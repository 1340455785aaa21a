import { spawn } from "node:child_process";
import { readdirSync, rmSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { LEDGER_NAME } from "../../../server/output/ledger.ts";
import { ended, PROGRAM, platewright, putJob, started } from "../../cli/program.ts";
import { contentOf, scratch } from "../folders.ts";

const { fresh } = scratch();
const SMALL_DISK = fileURLToPath(new URL("small-disk.cjs", import.meta.url));

const filmsTo = (format: string) => [
  "films",
  "job.sep.yaml",
  "--setup",
  "dark",
  "--out",
  "out",
  "--format",
  format,
  "--date",
  "2026-01-02",
];

/** Films of a job onto a disk with so much room. */
function onDisk(folder: string, bytes: number, format = "pdf") {
  const env = {
    ...process.env,
    NODE_OPTIONS: `--require "${SMALL_DISK}"`,
    PLATEWRIGHT_DISK_BYTES: String(bytes),
  };
  return ended(started(folder, filmsTo(format), { env }));
}

describe("a disk that is full", () => {
  it.each(["pdf", "tiff", "png"])("gives one clear error, and leaves no film behind: %s", async (format) => {
    const folder = await putJob(fresh());
    const { status, err } = await onDisk(folder, 1000, format);
    expect([status, err]).toEqual([2, "out: cannot write: the disk is full; nothing was changed\n"]);
    expect(readdirSync(folder).sort()).toEqual(["art.png", "job.sep.yaml"]);
  });

  it("at any moment leaves all films or, where it says so, everything as it was", async () => {
    const folder = await putJob(fresh());
    await platewright(folder, ...filmsTo("tiff"));
    const out = join(folder, "out");
    const whole = contentOf(out);
    const ledger = statSync(join(out, LEDGER_NAME)).size;
    const films = readdirSync(out).reduce((sum, name) => sum + statSync(join(out, name)).size, -ledger);
    // The ledger is written before the films are put in their places, and once more behind them.
    for (const [room, made] of [
      [films - 1, false],
      [films + ledger - 1, false],
      [films + ledger, true],
      [films + 2 * ledger - 1, true],
    ] as const) {
      rmSync(out, { recursive: true, force: true });
      const { status, err } = await onDisk(folder, room, "tiff");
      const said = made ? [0, ""] : [2, "out: cannot write: the disk is full; nothing was changed\n"];
      expect([status, err], `${room} bytes`).toEqual(said);
      expect(contentOf(out), `${room} bytes`).toEqual(made ? whole : {});
    }
  });
});

// The kernel's own refusal half-way through a file, of any user and in any container.
it.skipIf(process.platform === "win32").each(["pdf", "tiff", "png"])(
  "films larger than their user may write give one clear error, and none is left behind: %s (needs ulimit)",
  async (format) => {
    const folder = await putJob(fresh());
    // In blocks of 512 or 1024 bytes, as the shell has it: less than any film.
    const command = 'ulimit -f 4 && exec "$0" "$@"';
    const child = spawn("sh", ["-c", command, process.execPath, PROGRAM, ...filmsTo(format)], {
      cwd: folder,
      stdio: ["ignore", "pipe", "pipe"],
    });
    const { status, err } = await ended(child);
    expect([status, err]).toEqual([
      2,
      "out: cannot write: the file is larger than the disk, or a limit set for this user, allows; nothing was changed\n",
    ]);
    expect(readdirSync(folder).sort()).toEqual(["art.png", "job.sep.yaml"]);
  },
);
