import { describe, expect, it } from "vitest";
import { formatPath } from "../../server/language/finding.ts";
import { FileError, openProject } from "../../server/language/project.ts";
import { expectOneFinding, filesInMemory, findingsIn, SOUND, soundBut } from "./documents.ts";

const WITH_SHOP = `${SOUND}shop: b.shop.yaml\n`;

describe("a recipe's files", () => {
  it("are all there: nothing to say", async () => {
    expect(await findingsIn(WITH_SHOP, { "b.shop.yaml": "shop: 1\n" })).toEqual([]);
  });

  it("a missing shop is reported at its path", async () => {
    await expectOneFinding(
      `${SOUND}shop: «b.shop.yaml»\n`,
      "missing-file",
      "shop",
      "The shop file cannot be read: b.shop.yaml: there is no such file",
    );
  });

  it("a missing shop may hold the inks: only its absence is told", async () => {
    const text = `${soundBut("ink: ember", "ink: mint")}shop: «b.shop.yaml»\n`;
    await expectOneFinding(text, "missing-file", "shop", /The shop file cannot be read/);
  });

  it("a missing artwork is reported at its path", async () => {
    await expectOneFinding(
      soundBut("file: art.png", "file: «atr.png»"),
      "missing-file",
      "artwork.file",
      'There is no file "atr.png" beside this recipe; plates and proofs need the artwork',
    );
  });

  it("the shop's own errors are told in the shop's file", async () => {
    const found = await findingsIn(WITH_SHOP, { "b.shop.yaml": "shop: 1\npress: { stations: none }\n" });
    expect(found.map((f) => [f.file, f.rule, formatPath(f.path), f.range])).toEqual([
      ["b.shop.yaml", "schema", "press.stations", { start: 27, end: 31 }],
    ]);
  });

  it("the shop's YAML errors are told in the shop's file", async () => {
    const found = await findingsIn(WITH_SHOP, { "b.shop.yaml": "shop: [" });
    expect(new Set(found.map(({ file }) => file))).toEqual(new Set(["b.shop.yaml"]));
  });

  it("a file named as shop is read as one, whatever it is called", async () => {
    const found = await findingsIn(`${SOUND}shop: back-lane.yaml\n`, {
      "back-lane.yaml": "shop: 1\nplates: {}\n",
    });
    expect(found.map((f) => [f.file, formatPath(f.path)])).toEqual([["back-lane.yaml", "plates"]]);
  });

  it("a shop that is no path is told once", async () => {
    await expectOneFinding(`${SOUND}shop: «5»\n`, "schema", "shop", /Must be text/);
    await expectOneFinding(`${SOUND}shop: «""»\n`, "schema", "shop", /Is empty/);
  });

  it("a recipe that cannot be read is the caller's to tell", async () => {
    await expect(openProject("none.sep.yaml", filesInMemory({}))).rejects.toThrow(FileError);
    await expect(openProject("none.sep.yaml", filesInMemory({}))).rejects.toThrow(
      "none.sep.yaml: there is no such file",
    );
  });

  it("a fault of the program is not taken for a missing file", async () => {
    const access = filesInMemory({ "a.sep.yaml": WITH_SHOP, "art.png": "" });
    const broken = {
      ...access,
      readText: (file: string) =>
        file === "a.sep.yaml" ? access.readText(file) : Promise.reject(new TypeError("broken")),
    };
    await expect(openProject("a.sep.yaml", broken)).rejects.toThrow("broken");
  });

  it("a shop file is opened by itself, and names nothing else", async () => {
    const project = await openProject("b.shop.yaml", filesInMemory({ "b.shop.yaml": "shop: 1\n" }));
    expect([project.main.kind, project.shop, project.findings]).toEqual(["shop", undefined, []]);
  });
});
