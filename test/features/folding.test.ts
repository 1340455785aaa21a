import { expect, it } from "vitest";
import { foldingRanges } from "../../server/features/folding.ts";
import { read } from "./model.ts";

/** Lines are counted from 0. */
function folds(text: string): string[] {
  return foldingRanges(read(text).model).map(
    ({ startLine, endLine, kind }) => `${startLine}-${endLine}${kind ? ` ${kind}` : ""}`,
  );
}

it("folds blocks from their key to their last line", () => {
  expect(folds("plates:\n  base:\n    ink: white\n    extract: {}\n  ember:\n    ink: ember\n")).toEqual([
    "0-5",
    "1-3",
    "4-5",
  ]);
});

it("leaves blank lines and the next block's comment outside", () => {
  expect(folds("a:\n  b: 1\n\n# on c\nc:\n  d: 1\n")).toEqual(["0-1", "4-5"]);
});

it("leaves them outside in a file with other line breaks too", () => {
  expect(folds("a:\r\n  b: 1\r\n\r\n# on c\r\nc:\r\n  d: 1\r\n")).toEqual(["0-1", "4-5"]);
});

it("folds lists and their entries", () => {
  expect(folds("adjust:\n  - plate: a\n    curve: []\n  - plate: b\n    curve: []\n")).toEqual([
    "0-4",
    "1-2",
    "3-4",
  ]);
});

it("folds brackets over several lines", () => {
  expect(folds("a: [\n    1,\n    2\n  ]\n")).toEqual(["0-3"]);
});

it("folds runs of comments", () => {
  expect(folds("# one\n# two\na: 1\n# alone\nb: 1\n  # three\n  # four\n")).toEqual([
    "0-1 comment",
    "5-6 comment",
  ]);
});

it("folds nothing that stands on one line", () => {
  expect(folds("a: { b: [1, 2] }\nc: 1\n")).toEqual([]);
});

it("folds what can be read of a broken file", () => {
  expect(folds("a:\n  b: 1\n  c: 2\nd: [1\n")).toContain("0-2");
});
