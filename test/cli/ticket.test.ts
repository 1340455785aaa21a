import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { describe, expect, it } from "vitest";
import { CHROMIUM, launch } from "../client/panel/chromium.ts";
import { scratch } from "../output/folders.ts";
import { platewright, put, putJob } from "./program.ts";

const { fresh } = scratch();
const root = new URL("../..", import.meta.url).pathname;

describe("ticket", () => {
  it("writes one page, the same for the same input, and never over another's", async () => {
    const job = await putJob(fresh());
    const run = (...more: string[]) =>
      platewright(
        job,
        "ticket",
        "job.sep.yaml",
        "--setup",
        "dark",
        "--out",
        "t/dark.html",
        "--date",
        "2026-01-02",
        ...more,
      );
    expect(await run()).toEqual({
      status: 0,
      signal: null,
      out: "job ticket of setup dark\n  t/dark.html\n",
      err: "",
    });
    const first = readFileSync(join(job, "t/dark.html"), "utf8");
    expect((await run()).status).toBe(0);
    expect(readFileSync(join(job, "t/dark.html"), "utf8")).toBe(first);
    put(job, "t/dark.html", "somebody's own");
    expect(await run()).toMatchObject({ status: 2, err: expect.stringContaining("--force") });
    expect(await run("--force")).toMatchObject({ status: 0 });
  });

  it("asks for a setup and a page", async () => {
    const job = await putJob(fresh());
    expect(await platewright(job, "ticket", "job.sep.yaml", "--out", "a.html")).toMatchObject({
      status: 2,
      err: expect.stringContaining("--setup is missing; setups are: dark, quick"),
    });
    expect(
      await platewright(job, "ticket", "job.sep.yaml", "--setup", "dark", "--out", "a.txt"),
    ).toMatchObject({ status: 2 });
  });

  it.skipIf(CHROMIUM === undefined)(
    "of the demo prints on two sheets at most, and asks the network for nothing (needs Chromium)",
    async () => {
      const folder = fresh();
      const out = join(folder, "dark.html");
      await platewright(
        root,
        "ticket",
        "samples/night-garden/night-garden.sep.yaml",
        "--setup",
        "dark",
        "--out",
        out,
      );
      const browser = await launch();
      try {
        // An A4 sheet at 96 ppi.
        const page = await browser.newPage({ viewport: { width: 794, height: 1123 } });
        const asked: string[] = [];
        page.on("request", (request) => asked.push(request.url()));
        await page.goto(pathToFileURL(out).href);
        const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
        expect(pdf.match(/\/Type\s*\/Page\b/g)!.length).toBeLessThanOrEqual(2);
        expect(asked.filter((url) => !url.startsWith("data:"))).toEqual([pathToFileURL(out).href]);
        // Nothing stands beyond the sheet's edge.
        expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(
          true,
        );
      } finally {
        await browser.close();
      }
    },
  );
});
