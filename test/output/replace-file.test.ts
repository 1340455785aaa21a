import {
  chmodSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { replaceFile } from "../../server/output/replace-file.ts";
import { OutputError } from "../../server/output/staging.ts";
import { scratch } from "./folders.ts";

const { fresh } = scratch();

it.skipIf(process.platform === "win32")(
  "a file keeps its rights, and a link that leads to it stays one",
  async () => {
    const folder = fresh();
    const file = join(folder, "a.shop.yaml");
    writeFileSync(file, "old");
    chmodSync(file, 0o640);
    symlinkSync(file, join(folder, "link"));
    await replaceFile(join(folder, "link"), "new");
    expect(readFileSync(file, "utf8")).toBe("new");
    expect(statSync(file).mode & 0o777).toBe(0o640);
    expect(lstatSync(join(folder, "link")).isSymbolicLink()).toBe(true);
    expect(readdirSync(folder).sort()).toEqual(["a.shop.yaml", "link"]);
  },
);

it("what cannot be replaced is told in a line, and nothing is left beside it", async () => {
  const folder = fresh();
  mkdirSync(join(folder, "taken"));
  await expect(replaceFile(join(folder, "taken"), "new")).rejects.toThrow(OutputError);
  await expect(replaceFile(join(folder, "none"), "new")).rejects.toThrow(OutputError);
  expect(readdirSync(folder)).toEqual(["taken"]);
});

it("a file that is not there is made where that is asked for, whole and alone", async () => {
  const folder = fresh();
  await replaceFile(join(folder, "new.yaml"), "text", { make: true });
  expect(readFileSync(join(folder, "new.yaml"), "utf8")).toBe("text");
  expect(readdirSync(folder)).toEqual(["new.yaml"]);
  // As any new file.
  writeFileSync(join(folder, "other"), "");
  expect(statSync(join(folder, "new.yaml")).mode).toBe(statSync(join(folder, "other")).mode);
  await replaceFile(join(folder, "new.yaml"), "more", { make: true });
  expect(readFileSync(join(folder, "new.yaml"), "utf8")).toBe("more");
});

it("no folder is made for it", async () => {
  const folder = fresh();
  await expect(replaceFile(join(folder, "none", "a.yaml"), "text", { make: true })).rejects.toThrow(
    OutputError,
  );
  expect(readdirSync(folder)).toEqual([]);
});
