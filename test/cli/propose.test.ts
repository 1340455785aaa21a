import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { namesIn, scratch } from "../output/folders.ts";
import { artPng, platewright, put } from "./program.ts";

const { fresh } = scratch();

async function artFolder(): Promise<string> {
  const folder = fresh();
  put(folder, "art/lantern.png", await artPng(400, 300));
  return folder;
}

describe("propose", () => {
  it("writes a recipe that check has nothing to say to, and tells what it chose", async () => {
    const folder = await artFolder();
    const made = await platewright(folder, "propose", "art/lantern.png", "--out", "jobs/lantern.sep.yaml");
    expect(made).toMatchObject({ status: 0, err: "" });
    expect(made.out).toMatch(
      /^art\/lantern\.png: flat art, 2\.5 in wide\n3 screens\nblack \(setup dark\): mean ΔE00 [\d.]+, 95th percentile [\d.]+\n {2}jobs\/lantern\.sep\.yaml\n$/,
    );
    const text = readFileSync(join(folder, "jobs/lantern.sep.yaml"), "utf8");
    expect(text).toContain("title: Lantern\n");
    expect(text).toContain("artwork: { file: ../art/lantern.png, width: 2.5 in, flat: { colours: [");
    expect(await platewright(folder, "check", "jobs/lantern.sep.yaml")).toMatchObject({ status: 0 });
  });

  it("tells the curve of plates against ΔE00 where there is one", async () => {
    const folder = await artFolder();
    const { status, out } = await platewright(
      ...[folder, "propose", "art/lantern.png", "--out", "a.sep.yaml", "--style", "solve", "--plates", "2"],
    );
    expect(status).toBe(0);
    expect(out).toMatch(
      /\nplates {2}mean ΔE00 {2}95 % within .*\n +0 +[\d.]+ +[\d.]+\n( +\d+ +[\d.]+ +[\d.]+( {2}chosen)?\n)+/,
    );
    expect(out).toContain("chosen");
    expect(readFileSync(join(folder, "a.sep.yaml"), "utf8")).toMatch(
      /# Plates beside the underbase and mean ΔE00/,
    );
  });

  it("takes garments with names and without, and a width", async () => {
    const folder = await artFolder();
    const { status } = await platewright(
      ...[folder, "propose", "art/lantern.png", "--out", "a.sep.yaml"],
      ...["--garments", "coal=#17171a,#f4f3ef,lab(40 50 30)", "--width", "2 in"],
    );
    expect(status).toBe(0);
    const text = readFileSync(join(folder, "a.sep.yaml"), "utf8");
    expect(text).toMatch(
      / {2}coal: \{ colour: "#17171a" \}\n {2}white: \{ .* \}\n {2}red: \{ colour: lab\(40 50 30\) \}/,
    );
    expect(text).toContain("width: 2 in");
  });

  it("replaces what it wrote itself, and nothing else", async () => {
    const folder = await artFolder();
    const args = ["propose", "art/lantern.png", "--out", "a.sep.yaml"] as const;
    expect((await platewright(folder, ...args)).status).toBe(0);
    expect((await platewright(folder, ...args)).status).toBe(0);
    put(folder, "a.sep.yaml", "# my own work\n");
    const refused = await platewright(folder, ...args);
    expect(refused.status).toBe(2);
    expect(refused.err).toContain("a.sep.yaml: there is a file that Platewright did not write");
    expect(readFileSync(join(folder, "a.sep.yaml"), "utf8")).toBe("# my own work\n");
    expect((await platewright(folder, ...args, "--force")).status).toBe(0);
  });

  it("says the same as JSON for programs", async () => {
    const folder = fresh();
    put(folder, "art.png", await artPng());
    const { status, out, err } = await platewright(
      folder,
      "propose",
      "art.png",
      "--out",
      "a.sep.yaml",
      "--format",
      "json",
    );
    const said = JSON.parse(out);
    expect([status, err, said.recipe, said.kind]).toEqual([0, "", "a.sep.yaml", "flat"]);
    expect(said.notes).toEqual([expect.stringMatching(/^the artwork has 20 ppi/)]);
    expect(said.proofs).toEqual([expect.objectContaining({ garment: "black", mean: expect.any(Number) })]);
    expect(said).not.toHaveProperty("text");
  });

  it.each([
    [["propose", "nothing.png", "--out", "a.sep.yaml"], /^nothing\.png: there is no such file/],
    [["propose", "art/lantern.png"], /--out is missing/],
    [["propose", "art/lantern.png", "--out", "a.yaml"], /--out takes the name of a recipe/],
    [
      ["propose", "art/lantern.png", "--out", "a.sep.yaml", "--garments", "blackish"],
      /--garments: .*blackish.* is not a colour/,
    ],
    [["propose", "art/lantern.png", "--out", "a.sep.yaml", "--garments", "a=#000,a=#fff"], /names "a" twice/],
    [
      ["propose", "art/lantern.png", "--out", "a.sep.yaml", "--plates", "0"],
      /--plates takes a number from 1 to 12/,
    ],
    [
      ["propose", "art/lantern.png", "--out", "a.sep.yaml", "--style", "fast"],
      /--style takes ranges or solve/,
    ],
    [["propose", "art/lantern.png", "--out", "a.sep.yaml", "--width", "12"], /--width: /],
    [
      ["propose", "art/lantern.png", "--out", "a.sep.yaml", "--shop", "no.shop.yaml"],
      /no\.shop\.yaml: .*there is no such file/,
    ],
  ])("refuses %j in one line, and writes nothing", async (args, said) => {
    const folder = await artFolder();
    const { status, err, out } = await platewright(folder, ...args);
    expect(status).toBe(args.includes("--shop") ? 1 : 2);
    expect(err).toMatch(said);
    expect(out).toBe("");
    expect(namesIn(folder)).toEqual(["art/", "art/lantern.png"]);
  });

  it("--look says how many pixels lie across what prints, and writes nothing", async () => {
    const folder = await artFolder();
    put(folder, "clear.svg", '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>');
    const looked = await platewright(folder, "propose", "art/lantern.png", "--look");
    expect(looked).toMatchObject({ status: 0, err: "" });
    expect(looked.out).toMatch(/^art\/lantern\.png: \d+ pixels across what prints\n$/);
    const { status, err } = await platewright(folder, "propose", "clear.svg", "--look");
    expect([status, err]).toEqual([
      1,
      "clear.svg: the artwork is clear all over; there is nothing to print\n",
    ]);
    expect(namesIn(folder)).toEqual(["art/", "art/lantern.png", "clear.svg"]);
  });

  it("tells what cannot be printed well on stderr", async () => {
    const folder = fresh();
    put(folder, "small.png", await artPng(40, 20));
    const { status, err } = await platewright(folder, "propose", "small.png", "--out", "a.sep.yaml");
    expect(status).toBe(0);
    expect(err).toMatch(/^small\.png: note: the artwork has 20 ppi at 2 in wide, under 150: .*\n$/);
  });
});
