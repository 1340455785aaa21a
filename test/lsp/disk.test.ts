import { mkdirSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { describe, expect, it } from "vitest";
import { LARGEST_TEXT } from "../../server/language/document.ts";
import { FileError } from "../../server/language/project.ts";
import { diskKey, diskText, isThere } from "../../server/lsp/disk.ts";
import { scratch } from "../output/folders.ts";

const { fresh } = scratch();
const uriOf = (path: string) => pathToFileURL(path).href;

describe("a file on disk", () => {
  it("is read as UTF-8, under a name of any letters", async () => {
    const path = join(fresh(), "é #1?.sep.yaml");
    writeFileSync(path, "title: Süß 🐞\n");
    expect(await diskText(uriOf(path))).toBe("title: Süß 🐞\n");
    expect(await isThere(uriOf(path))).toBe(true);
  });

  it("is read up to the largest text, and not beyond", async () => {
    const path = join(fresh(), "a.sep.yaml");
    writeFileSync(path, "#".repeat(LARGEST_TEXT));
    expect((await diskText(uriOf(path))).length).toBe(LARGEST_TEXT);
    writeFileSync(path, "#".repeat(LARGEST_TEXT + 1));
    await expect(diskText(uriOf(path))).rejects.toThrow(
      new FileError(path, "the file has 2.0 MB; at most 2 MB are read, so split it"),
    );
  });

  it("has a key that changes with it alone", async () => {
    const path = join(fresh(), "a.sep.yaml");
    writeFileSync(path, "a: 1\n");
    const first = await diskKey(uriOf(path));
    expect(await diskKey(uriOf(path))).toBe(first);
    // Longer, of the same time as before.
    writeFileSync(path, "a: 12\n");
    utimesSync(path, 1, 1);
    expect(await diskKey(uriOf(path))).not.toBe(first);
  });

  it("that is not there, or is none, is told in one line", async () => {
    const folder = fresh();
    const none = join(folder, "none.yaml");
    await expect(diskKey(uriOf(none))).rejects.toThrow(new FileError(none, "there is no such file"));
    await expect(diskText(uriOf(none))).rejects.toThrow(new FileError(none, "there is no such file"));
    expect(await isThere(uriOf(none))).toBe(false);
    mkdirSync(join(folder, "dir"));
    const dir = join(folder, "dir");
    await expect(diskText(uriOf(dir))).rejects.toThrow(new FileError(dir, "it is a folder"));
  });
});

it("what is on no disk is not read, and is missed by nobody", async () => {
  const uri = "untitled:Untitled-1";
  const error = new FileError(uri, "it is on no disk");
  await expect(diskKey(uri)).rejects.toThrow(error);
  await expect(diskText(uri)).rejects.toThrow(error);
  expect(await isThere(uri)).toBe(true);
});
