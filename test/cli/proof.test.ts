import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import sharp from "sharp";
import { beforeAll, describe, expect, it } from "vitest";
import { namesIn, scratch } from "../output/folders.ts";
import { platewright, put, putJob, RECIPE } from "./program.ts";

const { fresh } = scratch();
let job = "";
beforeAll(async () => {
  job = await putJob(fresh());
});

const proof = (out: string, ...args: string[]) =>
  platewright(job, "proof", "job.sep.yaml", "--out", out, "--ppi", "40", ...args);

async function pixel(file: string, x: number, y: number): Promise<number[]> {
  const { data, info } = await sharp(join(job, file)).raw().toBuffer({ resolveWithObject: true });
  return [...data.subarray((y * info.width + x) * info.channels, (y * info.width + x) * info.channels + 3)];
}

describe("proof", () => {
  it("shows each garment with what prints on it", async () => {
    for (const [garment, colour] of [
      ["black", [0x17, 0x17, 0x1a]],
      ["brick", [0x8c, 0x2f, 0x2b]],
    ] as const) {
      const file = `on-${garment}.png`;
      const { status, out, err } = await proof(file, "--garment", garment, "--setup", "dark");
      expect([status, err]).toEqual([0, ""]);
      expect(out).toMatch(
        new RegExp(
          `^${garment} \\(setup dark\\): mean ΔE00 \\d+\\.\\d\\d, 95th percentile \\d+\\.\\d\\d; 40 × 20 pixels at 40 ppi\\n  ${file}\\n$`,
        ),
      );
      expect(await pixel(file, 3, 0)).toEqual(colour.map((v) => expect.closeTo(v, -0.5)));
      expect((await pixel(file, 30, 10)).every((v) => v > 235)).toBe(true);
    }
    expect(namesIn(job).filter((name) => name.endsWith(".part"))).toEqual([]);
  });

  it("stops after the station asked for", async () => {
    const { out } = await proof("bare.png", "--garment", "black", "--after", "0");
    expect(out).toContain("black (setup dark) after station 0 of 3: ");
    expect(await pixel("bare.png", 5, 10)).toEqual(await pixel("bare.png", 5, 0));
    await proof("base.png", "--garment", "black", "--after", "1");
    expect((await pixel("base.png", 5, 10)).every((v) => v > 235)).toBe(true);
    await proof("all.png", "--garment", "black", "--after", "3");
    await proof("whole.png", "--garment", "black");
    expect(readFileSync(join(job, "all.png")).equals(readFileSync(join(job, "whole.png")))).toBe(true);
  });

  it("asks for the setup where a garment is in several", async () => {
    const { status, err } = await proof("x.png", "--garment", "brick");
    expect(status).toBe(2);
    expect(err).toMatch(
      /^platewright: "brick" is in several setups; choose one with --setup: dark, quick\nusage: platewright proof /,
    );
    await proof("quick.png", "--garment", "brick", "--setup", "quick");
    // No underbase: the white half is bare garment.
    expect(await pixel("quick.png", 30, 10)).toEqual(await pixel("quick.png", 30, 0));
  });

  it.each([
    [["--garment", "blak"], 'there is no garment "blak"; did you mean "black"?'],
    [["--garment", "turquoise"], 'there is no garment "turquoise"; garments are: black, brick, spare'],
    [["--garment", "black", "--setup", "quick"], 'no setup "quick" prints on "black"; these do: dark'],
    [["--garment", "spare"], 'no setup prints on "spare"; add it to a setup\'s garments'],
    [["--garment", "black", "--after", "4"], '--after takes a number from 0 to 3, not "4"'],
    [["--garment", "black", "--after", "-1"], /--after/],
    [["--garment", "black", "--after", "1.5"], '--after takes a whole number; setup "dark" has 3 stations'],
  ])("says what is wrong with %j, and writes nothing", async (args, message) => {
    const { status, out, err } = await proof("none/x.png", ...args);
    expect([status, out, existsSync(join(job, "none"))]).toEqual([2, "", false]);
    const [first] = err.split("\n");
    if (typeof message === "string") expect(first).toBe(`platewright: ${message}`);
    else expect(first).toMatch(message);
  });

  it("refuses a foreign file, and overwrites its own", async () => {
    put(job, "mine.png", "mine");
    expect((await proof("mine.png", "--garment", "black")).err).toMatch(/^mine\.png: there is a file that/);
    expect(readFileSync(join(job, "mine.png"), "utf8")).toBe("mine");
    expect((await proof("mine.png", "--garment", "black", "--force")).status).toBe(0);
    expect((await proof("mine.png", "--garment", "black", "--after", "1")).status).toBe(0);
  });

  it("gives the same bytes twice", async () => {
    await proof("one.png", "--garment", "black");
    await proof("deep/two.png", "--garment", "black");
    expect(readFileSync(join(job, "one.png")).equals(readFileSync(join(job, "deep/two.png")))).toBe(true);
  });

  it("writes nothing from a recipe with errors", async () => {
    put(job, "bad.sep.yaml", RECIPE.replace("recipe: 1", "recipe: 2"));
    const run = await platewright(job, "proof", "bad.sep.yaml", "--garment", "black", "--out", "none/x.png");
    expect(run).toMatchObject({
      status: 1,
      out: "",
      err: "bad.sep.yaml:1:9: error: recipe: This file says version 2; this Platewright reads version 1 [schema]\n",
    });
    expect(existsSync(join(job, "none"))).toBe(false);
  });
});
