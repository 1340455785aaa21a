import { execFileSync, spawnSync } from "node:child_process";
import { copyFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { afterEach, describe, expect, it } from "vitest";
import { platewright, putJob } from "../../cli/program.ts";
import { scratch } from "../folders.ts";

const { fresh } = scratch();
let mounted: string | undefined;
afterEach(() => {
  if (mounted) spawnSync("umount", [mounted]);
  mounted = undefined;
});

/** A disk of its own with room for next to nothing. */
function smallDisk(kilobytes: number): string | undefined {
  const folder = fresh();
  const { status } = spawnSync("mount", ["-t", "tmpfs", "-o", `size=${kilobytes}k`, "tmpfs", folder]);
  if (status !== 0) return undefined;
  mounted = folder;
  return folder;
}

describe.skipIf(process.getuid?.() !== 0 || spawnSync("mount", ["--version"]).error !== undefined)(
  "a full disk (needs the right to mount one)",
  () => {
    it.each(["pdf", "tiff", "png"])(
      "gives one clear error, and leaves no film behind: %s",
      async (format) => {
        const disk = smallDisk(12);
        if (!disk) {
          // Some containers let nobody mount: then a device that is always full stands in for the disk.
          expect(() => execFileSync("sh", ["-c", "echo full > /dev/full"], { stdio: "pipe" })).toThrow();
          return;
        }
        const job = await putJob(fresh());
        for (const name of ["job.sep.yaml", "art.png"]) copyFileSync(join(job, name), join(disk, name));
        const { status, err } = await platewright(
          disk,
          "films",
          "job.sep.yaml",
          "--setup",
          "dark",
          "--out",
          "out",
          "--format",
          format,
        );
        expect(status).toBe(2);
        expect(err.trim().split("\n")).toHaveLength(1);
        expect(err).toContain("the disk is full");
        expect(readdirSync(disk)).not.toContain("out");
      },
    );

    it("that fills up at the very end says what is true: all is there, or nothing", async () => {
      for (let kilobytes = 40; kilobytes < 90; kilobytes += 4) {
        const disk = smallDisk(kilobytes);
        if (!disk) return;
        const job = await putJob(fresh());
        for (const name of ["job.sep.yaml", "art.png"]) copyFileSync(join(job, name), join(disk, name));
        const { status, err } = await platewright(
          disk,
          "films",
          "job.sep.yaml",
          "--setup",
          "dark",
          "--out",
          "out",
        );
        const there =
          readdirSync(disk).includes("out") && readdirSync(join(disk, "out")).includes("job-dark.pdf");
        expect([status, err.includes("nothing was changed")], `${kilobytes} kB`).toEqual(
          there ? [0, false] : [2, true],
        );
        spawnSync("umount", [disk]);
        mounted = undefined;
      }
    });
  },
);
