import { expect, it } from "vitest";
import { OutputError, saying } from "../../server/output/staging.ts";

const failing = (error: object) => saying("out/a.png", () => Promise.reject(error));
const coded = (code: string) => Object.assign(new Error(code), { code });

it.each([
  ["EACCES", /permission/],
  ["EPERM", /permission/],
  ["EROFS", /read-only/],
  ["ENOSPC", /full/],
  ["EDQUOT", /quota/],
  ["EFBIG", /larger than/],
  ["ENOTDIR", /a file, not a folder/],
  ["EEXIST", /a file of that name/],
  ["EISDIR", /a folder of that name/],
  ["ENAMETOOLONG", /too long/],
  // What has no words yet.
  ["EIO", /EIO/],
])("what cannot be written for %s is told in one line", async (code, words) => {
  const failed = failing(coded(code));
  await expect(failed).rejects.toThrow(OutputError);
  await expect(failed).rejects.toThrow(/^out\/a\.png: cannot write: .*; nothing was changed$/);
  await expect(failed).rejects.toThrow(words);
});

it("what is no fault of the disk is passed on as it is, and so is what was told already", async () => {
  for (const error of [
    new TypeError("a mistake"),
    new OutputError("told"),
    Object.assign(new OutputError("told"), { code: "EIO" }),
  ])
    await expect(failing(error)).rejects.toBe(error);
  expect(await saying("out", async () => 7)).toBe(7);
});
