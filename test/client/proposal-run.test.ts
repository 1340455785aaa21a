import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { freeRecipeFile, pixelsAcross, runProposal } from "../../client/proposal-run.ts";
import { artPng, PROGRAM, put } from "../cli/program.ts";
import { namesIn, scratch } from "../output/folders.ts";

const { fresh } = scratch();
const going = () => new AbortController().signal;

describe("a proposal from the editor", () => {
  it("gets a name of its own beside the artwork", () => {
    const taken = new Set([join("a", "moth.sep.yaml"), join("a", "moth-2.sep.yaml")]);
    expect(freeRecipeFile(join("a", "moth.png"), () => false)).toBe(join("a", "moth.sep.yaml"));
    expect(freeRecipeFile(join("a", "moth.png"), (file) => taken.has(file))).toBe(
      join("a", "moth-3.sep.yaml"),
    );
  });

  it("is made by the program, with its notes", async () => {
    const folder = fresh();
    const artwork = put(folder, "art.png", await artPng(40, 20));
    const made = await runProposal(
      PROGRAM,
      { artwork, garments: "black=#17171a", shop: undefined, within: [] },
      going(),
    );
    expect(made.recipe).toBe(join(folder, "art.sep.yaml"));
    expect(made.notes).toEqual([expect.stringMatching(/^the artwork has 20 ppi/)]);
    expect(namesIn(folder)).toContain("art.sep.yaml");
  });

  it("is told beforehand how many pixels lie across what prints, and nothing is written", async () => {
    const folder = fresh();
    const across = (name: string, content: string | Uint8Array) =>
      pixelsAcross(PROGRAM, { artwork: put(folder, name, content), within: [] }, going());
    expect(await across("art.png", await artPng(40, 20))).toBe(40);
    const svg =
      '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect width="9" height="5"/></svg>';
    expect(await across("art.svg", svg)).toBe("drawing");
    expect(await across("bad.png", "no picture")).toBeUndefined();
    expect(namesIn(folder).sort()).toEqual(["art.png", "art.svg", "bad.png"]);
  });

  it("asks for a proposal of this artwork, for these garments, with this shop", async () => {
    const folder = fresh();
    const program = put(
      folder,
      "said.mjs",
      "console.log(JSON.stringify({ recipe: 'r', notes: process.argv.slice(2) }));",
    );
    const artwork = join(folder, "moth.png");
    const asked = async (shop: string | undefined, width?: string) => {
      const { notes } = await runProposal(
        program,
        { artwork, garments: "black=#17171a", shop, width, within: ["--within", folder] },
        going(),
      );
      return notes;
    };
    const always = [
      "propose",
      artwork,
      "--out",
      join(folder, "moth.sep.yaml"),
      "--garments",
      "black=#17171a",
    ];
    const json = ["--format", "json", "--within", folder];
    expect(await asked(undefined)).toEqual([...always, ...json]);
    expect(await asked("a.shop.yaml")).toEqual([...always, "--shop", "a.shop.yaml", ...json]);
    expect(await asked(undefined, "12 in")).toEqual([...always, "--width", "12 in", ...json]);
  });

  it("looks at this artwork alone, as far as the program may read", async () => {
    const folder = fresh();
    const program = put(
      folder,
      "said.mjs",
      "console.log(JSON.stringify({ pixels: process.argv.slice(2) }));",
    );
    const looked = await pixelsAcross(
      program,
      { artwork: "moth.png", within: ["--within", folder] },
      going(),
    );
    expect(looked).toEqual(["propose", "moth.png", "--look", "--format", "json", "--within", folder]);
  });

  it("fails with the last line that was said, letters whole, else with the status; and when it is stopped", async () => {
    const artwork = join(fresh(), "moth.png");
    const ran = (code: string, signal = going()) =>
      runProposal(
        put(fresh(), "end.cjs", code),
        { artwork, garments: "a=#000000", shop: undefined, within: [] },
        signal,
      );
    await expect(
      ran(
        "console.error('first\\n'); process.stderr.write(Buffer.of(0xc3)); setTimeout(() => { process.stderr.write(Buffer.of(0xa9, 10)); process.exitCode = 2; }, 50);",
      ),
    ).rejects.toThrow(/^é$/);
    await expect(ran("process.exitCode = 3;")).rejects.toThrow("the proposal ended with status 3");
    const asNode =
      "console.error('lost'); console.log(JSON.stringify({ notes: [process.env.ELECTRON_RUN_AS_NODE] }));";
    expect((await ran(asNode)).notes).toEqual(["1"]);
    await expect(ran("setTimeout(() => {}, 10_000);", AbortSignal.abort())).rejects.toThrow(/abort/i);
  });

  it("tells in one line why there is none", async () => {
    const artwork = put(fresh(), "art.png", "no picture");
    await expect(
      runProposal(PROGRAM, { artwork, garments: "black=#17171a", shop: undefined, within: [] }, going()),
    ).rejects.toThrow(/^.*art\.png: /);
  });
});
