import { describe, expect, it } from "vitest";
import packageInfo from "../../package.json" with { type: "json" };
import { scratch } from "../output/folders.ts";
import { platewright, put, putJob } from "./program.ts";

const { folder, fresh } = scratch();

describe("the program", () => {
  it("says its version", async () => {
    expect(await platewright(folder, "--version")).toMatchObject({
      status: 0,
      out: `platewright ${packageInfo.version}\n`,
      err: "",
    });
  });

  it.each(["--help", "help"])("lists its commands on %s", async (word) => {
    const { status, out, err } = await platewright(folder, word);
    expect([status, err]).toEqual([0, ""]);
    for (const command of ["check", "plates", "proof"]) expect(out).toContain(`  platewright ${command} `);
    expect(out).toContain("Exit status: 0 done");
  });

  it("without a command says what there is, on stderr", async () => {
    const { status, out, err } = await platewright(folder);
    expect([status, out]).toEqual([2, ""]);
    expect(err).toContain("platewright check PATH");
  });

  it("shows how one command is called", async () => {
    expect(await platewright(folder, "plates", "x.sep.yaml", "--help")).toMatchObject({
      status: 0,
      out: "platewright plates RECIPE --out DIR [--ppi N] [--force]\n  write every plate as an 8-bit grey PNG (black = full ink) and a manifest\n",
    });
  });

  it.each([
    [["plate"], 'there is no command "plate"; did you mean "plates"?'],
    [["xyz"], /^there is no command "xyz"; commands are: check, plates, proof/],
    [["plates"], "recipe is missing"],
    [["plates", "a", "b", "--out", "x"], 'one recipe at a time; "b" is one too many'],
    [["plates", "a"], "--out is missing"],
    [["plates", "a", "--out="], "--out is missing"],
    [["plates", "a", "--out", "x", "--ppi", "many"], '--ppi takes a number from 1 to 2400, not "many"'],
    [["plates", "a", "--out", "x", "--ppi", "0"], '--ppi takes a number from 1 to 2400, not "0"'],
    [["plates", "a", "--out", "x", "--ppi", "2401"], '--ppi takes a number from 1 to 2400, not "2401"'],
    [["plates", "a", "--out", "x", "--ppi="], '--ppi takes a number from 1 to 2400, not ""'],
    [["plates", "a", "--dpi", "5"], "Unknown option '--dpi'"],
    [["plates", "a", "--out"], /^Option '--out <value>' argument missing/],
    [["proof", "a", "--out", "x.png"], "--garment is missing"],
    [
      ["proof", "a", "--garment", "g", "--out", "x.jpg"],
      '--out takes the name of a PNG or PDF file, not "x.jpg"',
    ],
    [["check"], "a recipe, a shop file, an order or a folder is missing"],
    [["check", "a", "--format", "xml"], '--format takes text, json, sarif or github, not "xml"'],
    [["check", "a", "--level", "fatal"], '--level takes error, warning or note, not "fatal"'],
  ])("called wrongly says how: %j", async (args, message) => {
    const { status, out, err } = await platewright(folder, ...args);
    const [first = "", usage, ...rest] = err.split("\n");
    expect([status, out]).toEqual([2, ""]);
    expect(first.startsWith("platewright: ")).toBe(true);
    if (typeof message === "string") expect(first).toBe(`platewright: ${message}`);
    else expect(first.slice(13)).toMatch(message);
    const known = ["check", "plates", "proof"].includes(args[0]!);
    expect(usage).toMatch(known ? new RegExp(`^usage: platewright ${args[0]} `) : /^$/);
    expect(rest.join("")).toBe("");
  });

  it.each([
    ["no file", "none.sep.yaml", "there is no such file"],
    ["a folder", "folder.sep.yaml", "it is a folder"],
    ["a path through a file", "art.png/x.sep.yaml", "a part of this path is a file, not a folder"],
    ["a picture", "art.png", "it is not UTF-8 text; save it as UTF-8"],
    ["a huge file", "huge.sep.yaml", "the file has 2.1 MB; at most 2 MB are read, so split it"],
  ])("names a recipe that cannot be read: %s", async (_, file, reason) => {
    const job = await putJob(fresh());
    put(job, "folder.sep.yaml/x", "");
    put(job, "huge.sep.yaml", "# ".padEnd(2_100_000, "x"));
    for (const args of [
      ["plates", file, "--out", "out"],
      ["check", file === "folder.sep.yaml" ? "none" : file],
    ]) {
      const { status, out, err } = await platewright(job, ...args);
      expect([status, out]).toEqual([2, ""]);
      if (args[1] === file) expect(err).toBe(`${file}: ${reason}\n`);
    }
  });

  it("does not take a shop file for a recipe", async () => {
    put(folder, "a.shop.yaml", "shop: 1\n");
    const { status, err } = await platewright(folder, "plates", "a.shop.yaml", "--out", "out");
    expect(status).toBe(2);
    expect(err).toMatch(/^platewright: a\.shop\.yaml is a shop file; name a recipe/);
  });
});
