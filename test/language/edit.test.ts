import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { parseDocument } from "../../server/language/document.ts";
import {
  applyChanges,
  insertEntry,
  insertKey,
  removeAt,
  reorderEntries,
  replaceScalar,
} from "../../server/language/edit.ts";
import type { Path } from "../../server/language/finding.ts";
import { holds } from "../property.ts";

const doc = (text: string) => parseDocument("a.sep.yaml", text);
const edited = (text: string, changes: ReturnType<typeof removeAt>) => changes && applyChanges(text, changes);

describe("a key", () => {
  const ORDER = ["a", "b", "c", "d"];
  const insert = (text: string, path: Path, key: string, value = "9") =>
    edited(text, insertKey(doc(text), path, key, value, ORDER));

  it.each([
    ["at the end of a block", "a: 1\nb: 2\n", "d", "a: 1\nb: 2\nd: 9\n"],
    ["where the order says", "a: 1\nd: 2\n", "b", "a: 1\nb: 9\nd: 2\n"],
    ["in front of the first", "# head\nc: 1\n", "a", "# head\na: 9\nc: 1\n"],
    ["behind a line's comment", "a: 1 # one\nd: 2\n", "b", "a: 1 # one\nb: 9\nd: 2\n"],
    ["behind a block", "a:\n  x: 1\n\n# d\nd: 2\n", "b", "a:\n  x: 1\n\nb: 9\n\n# d\nd: 2\n"],
    ["behind a list that is not indented", "a:\n- 1\n- 2\nd: 2\n", "b", "a:\n- 1\n- 2\nb: 9\nd: 2\n"],
    ["behind a text of several lines", "a: |\n  x\n  y\n\nd: 2\n", "b", "a: |\n  x\n  y\n\nb: 9\n\nd: 2\n"],
    ["behind a key without a value", "a:\nd: 2\n", "b", "a:\nb: 9\nd: 2\n"],
    ["where the file lacks its last line break", "a: 1", "b", "a: 1\nb: 9"],
    ["with the file's own line breaks", "a: 1\r\nd: 2\r\n", "b", "a: 1\r\nb: 9\r\nd: 2\r\n"],
    ["in brackets", "{ a: 1, d: 2 }\n", "b", "{ a: 1, b: 9, d: 2 }\n"],
    ["in brackets, in front", "{ b: 1 }\n", "a", "{ a: 9, b: 1 }\n"],
    ["in empty brackets", "{}\n", "a", "{ a: 9 }\n"],
    ["in brackets with a trailing comma", "{ a: 1, }\n", "b", "{ a: 1, b: 9, }\n"],
    [
      "in brackets with a line for each",
      "{\n  a: 1, # one\n  c: 2 # two\n}\n",
      "d",
      "{\n  a: 1, # one\n  c: 2, # two\n  d: 9\n}\n",
    ],
    [
      "in brackets with a line for each, between two",
      "{\n  a: 1, # one\n  c: 2,\n}\n",
      "b",
      "{\n  a: 1, # one\n  b: 9,\n  c: 2,\n}\n",
    ],
  ])("is added %s", (_, text, key, expected) => {
    expect(insert(text, [], key)).toBe(expected);
  });

  it("is added at its block's own indent, inside of a list", () => {
    const text = "list:\n  -   a: 1\n      # c\n      c: 3\n  - a: 2\n";
    expect(insert(text, ["list", 0], "b")).toBe(
      "list:\n  -   a: 1\n      b: 9\n      # c\n      c: 3\n  - a: 2\n",
    );
  });

  it("brings a block of its own along, apart from its neighbours where they are", () => {
    expect(insert("a:\n  x: 1\n\nd: 1\n", [], "b", "\n  y: 2")).toBe("a:\n  x: 1\n\nb:\n  y: 2\n\nd: 1\n");
  });

  it.each([
    ["behind an alias", "a: &x { p: 1 }\nb: *x\n", ["b"]],
    ["in a text", "a: text\n", ["a"]],
    ["where nothing stands", "a: 1\n", ["b"]],
  ])("is not added %s", (_, text, path) => {
    expect(insert(text, path, "c")).toBeUndefined();
  });
});

describe("an entry", () => {
  const insert = (text: string, index: number) =>
    edited(text, insertEntry(doc(text), ["list"], index, "new"));

  it.each([
    ["in front, in brackets", "list: [a, b]\n", 0, "list: [new, a, b]\n"],
    ["between, in brackets", "list: [a, b]\n", 1, "list: [a, new, b]\n"],
    ["last, in brackets", "list: [ a, b ]\n", 2, "list: [ a, b, new ]\n"],
    ["in empty brackets", "list: []\n", 0, "list: [new]\n"],
    [
      "with a line of its own",
      "list: [\n    a, # a\n    b\n  ]\n",
      2,
      "list: [\n    a, # a\n    b,\n    new\n  ]\n",
    ],
    ["on the line of the one before", "list: [a, b,\n  c]\n", 2, "list: [a, b, new,\n  c]\n"],
    ["in front, in a block", "list:\n  # a\n  - a\n", 0, "list:\n  # a\n  - new\n  - a\n"],
    ["between, in a block", "list:\n- a # a\n- b\n", 1, "list:\n- a # a\n- new\n- b\n"],
    [
      "last, in a block",
      "list:\n  - a\n  - { b: 1 }\n# tail\n",
      9,
      "list:\n  - a\n  - { b: 1 }\n  - new\n# tail\n",
    ],
  ])("is added %s", (_, text, index, expected) => {
    expect(insert(text, index)).toBe(expected);
  });
});

describe("taking out", () => {
  const remove = (text: string, path: Path) => edited(text, removeAt(doc(text), path));

  it.each([
    ["the first of brackets", "l: [a, b, c]\n", ["l", 0], "l: [b, c]\n"],
    ["the middle of brackets", "l: [a, b, c]\n", ["l", 1], "l: [a, c]\n"],
    ["the last of brackets", "l: [ a, b ]\n", ["l", 1], "l: [ a ]\n"],
    ["a key of brackets", "l: { a: [1, 2], b: 2 }\n", ["l", "a"], "l: { b: 2 }\n"],
    [
      "a line of brackets",
      "l: [\n    a,\n    # b\n    b, # two\n    c,\n  ]\n",
      ["l", 1],
      "l: [\n    a,\n    # b\n    c,\n  ]\n",
    ],
    ["the last before a line break", "l: [a,\n    b]\n", ["l", 1], "l: [a,\n    ]\n"],
    [
      "an entry of a block",
      "l:\n  - a\n  # on b\n  - b # b\n  - c\n",
      ["l", 1],
      "l:\n  - a\n  # on b\n  - c\n",
    ],
    [
      "an entry of several lines",
      "l:\n  - a: 1\n    b:\n      - 2\n\n  - c: 1\n",
      ["l", 0],
      "l:\n\n  - c: 1\n",
    ],
    [
      "a key of a block",
      "k:\n  a: 1\n  b:\n    x: 1\n  # c\n  c: 1\n",
      ["k", "b"],
      "k:\n  a: 1\n  # c\n  c: 1\n",
    ],
    ["a key behind a dash", "l:\n  - a: 1\n    b: 2\n", ["l", 0, "a"], "l:\n  - b: 2\n"],
    ["a section between blank lines", "a: 1\n\nb:\n  x: 1\n\nc: 1\n", ["b"], "a: 1\n\nc: 1\n"],
    ["the end of a file without a line break", "a: 1\nb: 2", ["b"], "a: 1"],
    ["with the file's line breaks", "a: 1\r\nb: 2\r\nc: 3\r\n", ["b"], "a: 1\r\nc: 3\r\n"],
    ["the only entry, with its key", "a: 1\nl:\n  - a\n", ["l", 0], "a: 1\n"],
    ["the only key, with its entry", "l: [a, { b: 1 }]\n", ["l", 1, "b"], "l: [a]\n"],
  ] as [string, string, Path, string][])("%s leaves the rest as it stands", (_, text, path, expected) => {
    expect(remove(text, path)).toBe(expected);
  });

  it.each([
    ["an anchor that an alias may need", "l: [&x a, b, *x]\n", ["l", 0]],
    ["an anchor inside of it", "l:\n  - p: &x 1\n  - q: *x\n", ["l", 0]],
    ["behind an alias", "l: &x [a, b]\nm: *x\n", ["m", 0]],
    ["what is not there", "l: [a]\n", ["l", 4]],
  ] as [string, string, Path][])("refuses %s", (_, text, path) => {
    expect(remove(text, path)).toBeUndefined();
  });
});

describe("another order", () => {
  const reorder = (text: string, order: number[]) => edited(text, reorderEntries(doc(text), ["l"], order));

  it("keeps brackets, commas and their comments where they are", () => {
    expect(reorder("l: [ a, bb, # first line\n  c ]\n", [2, 0, 1])).toBe("l: [ c, a, # first line\n  bb ]\n");
  });

  it("moves the comment behind a block's entry with it", () => {
    expect(reorder("l:\n  # top\n  - a # on a\n  - b\n", [1, 0])).toBe("l:\n  # top\n  - b\n  - a # on a\n");
  });

  it("is refused where an alias could come before its anchor", () => {
    expect(reorder("l: [&x a, *x]\n", [1, 0])).toBeUndefined();
  });
});

it("puts a scalar in another's place, quotes and all", () => {
  const text = "a: { b: 'x' } # c\n";
  expect(edited(text, replaceScalar(doc(text), ["a", "b"], "y"))).toBe("a: { b: y } # c\n");
});

describe("any list or block", () => {
  const word = fc.constantFrom<string[]>("a", "bb", '"c c"', "{ x: 1 }", "[1, 2]", "'#'");
  const comment = fc.constantFrom("", "", " # note", " # ], - }");
  const lines = fc.array(fc.record({ word, comment, above: fc.constantFrom("", "", "  # above\n") }), {
    minLength: 2,
    maxLength: 6,
  });
  const eol = fc.constantFrom("\n", "\r\n");
  const indent = fc.constantFrom("", "  ", "    ");

  /** The same entries as a list in block style, in brackets on one line, and in brackets with lines. */
  const written = fc
    .record({
      lines,
      eol,
      indent,
      style: fc.constantFrom("block", "line", "lines"),
      tail: fc.constantFrom("", ","),
    })
    .map(({ lines, eol, indent, style, tail }) => {
      const words = lines.map(({ word }) => word);
      const block = lines
        .map(({ word, comment, above }) => `${above}${indent}- ${word}${comment}\n`)
        .join("");
      const flow = lines
        .map(({ word, comment }, i) => `    ${word}${i < lines.length - 1 ? "," : tail}${comment}\n`)
        .join("");
      const text =
        style === "block"
          ? `head: 1\nl:\n${block}tail: 2\n`
          : style === "line"
            ? `head: 1\nl: [${words.join(", ")}${tail}]\ntail: 2\n`
            : `head: 1\nl: [\n${flow}  ]\ntail: 2\n`;
      return { text: text.replaceAll("\n", eol), words };
    });
  const data = (words: readonly string[]) => ({ head: 1, l: words.map((w) => parse(w)), tail: 2 });

  it("reads with one entry more after adding one", () => {
    holds(
      fc.property(written, fc.nat(6), ({ text, words }, n) => {
        const at = n % (words.length + 1);
        const now = edited(text, insertEntry(doc(text), ["l"], at, "new"))!;
        expect(parse(now)).toEqual(data(words.toSpliced(at, 0, "new")));
        expect(now.split("#").length).toBe(text.split("#").length);
      }),
    );
  });

  it("reads with one entry less after taking one out", () => {
    holds(
      fc.property(written, fc.nat(6), ({ text, words }, n) => {
        const at = n % words.length;
        expect(parse(edited(text, removeAt(doc(text), ["l", at]))!)).toEqual(data(words.toSpliced(at, 1)));
      }),
    );
  });

  it("reads with a key more, and is as before when that is taken out", () => {
    holds(
      fc.property(written, fc.constantFrom(...["aa", "kk", "zz"]), ({ text, words }, key) => {
        const now = edited(
          text,
          insertKey(doc(text), [], key, "{ y: [1] }", ["aa", "head", "kk", "l", "tail", "zz"]),
        )!;
        expect(parse(now)).toEqual({ ...data(words), [key]: { y: [1] } });
        expect(edited(now, removeAt(doc(now), [key]))).toBe(text);
      }),
    );
  });
});
