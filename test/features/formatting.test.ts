import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parse, parseDocument } from "yaml";
import { formatting } from "../../server/features/formatting.ts";
import { holds } from "../property.ts";
import { edited, open, SOUND } from "./model.ts";

function formatted(text: string, tabSize = 2): string {
  const doc = open("file:///a.sep.yaml", text);
  const model = {
    ...doc,
    shop: undefined,
    recipes: [],
    measurements: undefined,
  };
  return edited(doc, formatting(model, { tabSize }));
}

function editsOf(text: string) {
  const doc = open("file:///a.sep.yaml", text);
  return formatting({ ...doc, shop: undefined, recipes: [], measurements: undefined }, { tabSize: 2 });
}

const SAMPLES = [
  "night-garden/night-garden.sep.yaml",
  "night-garden/night-garden.order.yaml",
  "workshop.shop.yaml",
].map((file): [string, string] => [
  file,
  readFileSync(new URL(`../../samples/${file}`, import.meta.url), "utf8"),
]);

describe("the samples", () => {
  it.each(SAMPLES)("%s stands as it is", (_, text) => {
    expect(editsOf(text)).toEqual([]);
  });

  it.each(SAMPLES)("%s comes back from another indent", (_, text) => {
    const wide = formatted(text, 4);
    expect(wide).not.toBe(text);
    expect(formatted(wide)).toBe(text);
  });
});

describe("what changes", () => {
  it.each([
    ["indents", "a:\n    b:\n       c: 1\n    d: 2\n", "a:\n  b:\n    c: 1\n  d: 2\n"],
    ["lists that are not indented", "a:\n- 1\n- b: 1\n  c: 2\n", "a:\n  - 1\n  - b: 1\n    c: 2\n"],
    ["a list under a comment of what follows it", "a:\n- 1\n# on b\nb: 2\n", "a:\n  - 1\n# on b\nb: 2\n"],
    ["blanks behind a dash", "a:\n  -   b: 1\n      c: 2\n", "a:\n  - b: 1\n    c: 2\n"],
    ["lists in lists", "a:\n  -  - 1\n     - 2\n", "a:\n  - - 1\n    - 2\n"],
    ["blanks around colons", "a:   1\nb : 2\n", "a: 1\nb: 2\n"],
    ["blanks in brackets", "a: {b:  1,c: [ 1,2 ] }\n", "a: { b: 1, c: [1, 2] }\n"],
    ["blanks in empty brackets", "a: { }\nb: [ ]\n", "a: {}\nb: []\n"],
    ["blanks at line ends", "a: 1  \n  \nb: 2\t\n", "a: 1\n\nb: 2\n"],
    ["blank lines in a row", "a: 1\n\n\n\nb: 2\n", "a: 1\n\nb: 2\n"],
    ["blank lines at both ends", "\n\na: 1\n\n\n", "a: 1\n"],
    ["a missing last line break", "a: 1", "a: 1\n"],
    ["blanks before a comment", "a: 1      # one   \n", "a: 1 # one\n"],
    [
      "further lines of a text",
      'a:\n    b: one\n      two\n    c: "x\n      y"\n',
      'a:\n  b: one\n    two\n  c: "x\n    y"\n',
    ],
    [
      "lines of a | text",
      "a:\n    b: |\n            one\n              two\n    c: 1\n",
      "a:\n  b: |\n    one\n      two\n  c: 1\n",
    ],
    [
      "lines of a | text with its own indent",
      "a:\n    b: |2\n        one\n    c: 1\n",
      "a:\n  b: |2\n      one\n  c: 1\n",
    ],
    ["lines in brackets", "a: [1,\n        2,\n  3 ]\n", "a: [1,\n  2,\n  3]\n"],
    ["brackets in brackets", "a: {\n b: [\n 1\n ],\n c: 2\n }\n", "a: {\n  b: [\n    1\n  ],\n  c: 2\n  }\n"],
    ["brackets on a line of their own", "a:\n    {\n    b: 1\n    }\n", "a:\n  {\n    b: 1\n  }\n"],
  ])("%s", (_, text, expected) => {
    expect(formatted(text)).toBe(expected);
  });

  it.each([
    [0, 2],
    [1, 1],
    [3.4, 3],
    [8, 8],
    [12, 8],
    [-3, 1],
    [Number.NaN, 2],
  ])("an odd tab size, %d, is taken for %d", (tabSize, step) => {
    expect(formatted("a:\n   b: 1\n", tabSize)).toBe(`a:\n${" ".repeat(step)}b: 1\n`);
  });

  it("follows the editor's tab size", () => {
    expect(formatted("a:\n  b:\n    - c: 1\n      d: 2\n", 4)).toBe(
      "a:\n    b:\n        - c: 1\n          d: 2\n",
    );
  });
});

describe("what stays", () => {
  it.each([
    [
      "comments where they are",
      "# head\n\n# second\na: # on a\n  # above b\n  b: 1 # on b\n  # below b\n# above c\nc: 2\n# tail\n",
    ],
    ["comments in brackets", "a: [\n  1, # one\n  # above\n  2\n  # below\n  ]\n"],
    ["one blank line", "a:\n\n  b: 1\n\n  c: 2\n\n# d\n\nd: 3\n"],
    ["the order of keys", "z: 1\na: 2\n"],
    ["anchors, aliases and tags", "a: &x\n  b: 1\nc: *x\nd: !!str 12\ne: [&y 1, *y]\n*y : 2\n"],
    ["quotes", "a: 'it''s'\nb: \"x\\ty\"\nc: '#fff'\n"],
    ["numbers as written", "a: 1.50\nb: 0x1F\nc: 1e3\nd: +5\n"],
    [
      "long lines in brackets",
      `a: [${Array.from({ length: 200 }, (_, i) => `[${i} mm, ${i} mm]`).join(", ")}]\n`,
    ],
    ["a directive and the sign of a document", "%YAML 1.2\n---\na: 1\n...\n"],
    ["empty values", "a:\nb: { c:, d }\ne:\n  -\n  - 1\n"],
    ["long keys", "? a\n: b\n? [1, 2]\n: c\n"],
    ["what keeps its last lines", "a: |+\n  x\n\n\nb: >-\n  y\n  z\n"],
    ["a # inside of a word", 'a: b#c\nd: "e # f"\n'],
  ])("%s", (_, text) => {
    expect(formatted(text)).toBe(text);
  });

  it("the file's line breaks", () => {
    expect(formatted("a:\r\n    b:  1\r\n\r\n\r\nc: |\r\n  x\r\n")).toBe(
      "a:\r\n  b: 1\r\n\r\nc: |\r\n  x\r\n",
    );
  });

  it("the first line's break, where they differ", () => {
    expect(formatted("a: 1\nb:   2\r\nc: 3\n")).toBe("a: 1\nb: 2\nc: 3\n");
    expect(formatted("a: 1\r\nb:   2\nc: 3\r\n")).toBe("a: 1\r\nb: 2\r\nc: 3\r\n");
  });

  it("a byte order mark", () => {
    expect(formatted("\ufeffa:   1\n")).toBe("\ufeffa: 1\n");
  });

  it.each([
    ["YAML errors", "a: [1,  2\nb:   1\n"],
    ["a key twice", "a:  1\na:   2\n"],
    ["two documents", "a:   1\n---\nb: 2\n"],
    ["an alias to nothing", "a:   *x\n"],
    ["nothing in it", "\n\n"],
    // Laid out anew these would be read differently, or not at all.
    ["long keys of several lines", "? a\n  true\n: null\n  d\n? e\n  42\n"],
    ["a list as a long key", "? - Tigers\n  - Cubs\n:\n  - 2001-07-23\n"],
    ["a long key as a | text", "? |\n  block key\n: - one\n  - two\n"],
    ["a comment under a | text that is all", "|\n \n  \n  literal\n   \n  text\n\n # Comment\n"],
  ])("a file with %s", (_, text) => {
    expect(formatted(text)).toBe(text);
  });

  it("all lines around those that change", () => {
    const [edit, ...more] = editsOf("a: 1\nb:   2\nc: 3\nd:   4\ne: 5\n");
    expect(more).toEqual([]);
    expect(edit).toEqual({
      range: { start: { line: 1, character: 0 }, end: { line: 4, character: 0 } },
      newText: "b: 2\nc: 3\nd: 4\n",
    });
  });
});

describe("any recipe", () => {
  const [, night] = SAMPLES[0]!;
  /** What is put somewhere between words, or at the end of a line. Most results are YAML still. */
  const slip = fc.oneof(
    fc.record({
      at: fc.nat(100_000),
      put: fc.constantFrom(" ", "   ", "\n            "),
      where: fc.constant(/[ ,[{]/g),
    }),
    fc.record({
      at: fc.nat(100_000),
      put: fc.constantFrom(
        "  ",
        "\t",
        "\n",
        "\n\n\n",
        "\n# note",
        "  # note",
        "\n      # deep",
        "\n\n   # apart\n",
      ),
      where: fc.constant(/\n/g),
    }),
  );
  const mutated = fc
    .record({
      text: fc.constantFrom(night, SOUND, SAMPLES[1]![1]),
      slips: fc.array(slip, { minLength: 1, maxLength: 5 }),
      crlf: fc.boolean(),
    })
    .map(({ text, slips, crlf }) => {
      const slipped = slips.reduce((now, { at, put, where }) => {
        const gaps = [...now.matchAll(where)];
        const { index, 0: gap } = gaps[at % gaps.length]!;
        return gap === "\n"
          ? now.slice(0, index) + put + now.slice(index)
          : now.slice(0, index + 1) + put + now.slice(index + 1);
      }, text);
      return crlf ? slipped.replaceAll("\n", "\r\n") : slipped;
    });
  const sound = (text: string) => parseDocument(text, { logLevel: "error" }).errors.length === 0;
  const comments = (text: string) => text.match(/#[^\r\n"]*/g)?.map((c) => c.trimEnd()) ?? [];

  it("reads the same after formatting, with every comment, and is laid out for good", () => {
    let changed = 0;
    holds(
      fc.property(mutated, fc.constantFrom(2, 4), (text, tabSize) => {
        const once = formatted(text, tabSize);
        if (!sound(text)) {
          expect(once).toBe(text);
          return;
        }
        if (once !== text) changed++;
        expect(parse(once)).toEqual(parse(text));
        expect(comments(once)).toEqual(comments(text));
        expect(formatted(once, tabSize)).toBe(once);
        expect(once).not.toMatch(/[ \t]\r?$/m);
      }),
      400,
    );
    expect(changed, "how many were laid out anew").toBeGreaterThan(100);
  });

  it("generated with odd blanks is laid out like the same with usual ones", () => {
    const scalar = fc.constantFrom("1", "x", '"q # q"', "'it''s'", "12 in", "-3", "lab(1 2 3)");
    const key = fc.constantFrom("a", "b-c", '"d"', "é");
    type Odd = { usual: (indent: string) => string; odd: (indent: string) => string; flow: boolean };
    const { node } = fc.letrec<{ node: Odd; flow: Odd }>((tie) => ({
      flow: fc.oneof(
        { depthSize: "small" },
        scalar.map((s): Odd => ({ usual: () => s, odd: () => s, flow: true })),
        fc.array(tie("flow"), { minLength: 1, maxLength: 3 }).map(
          (items): Odd => ({
            usual: () => `[${items.map((i) => i.usual("")).join(", ")}]`,
            odd: () => `[ ${items.map((i) => i.odd("")).join(" ,  ")} ]`,
            flow: true,
          }),
        ),
        fc.uniqueArray(fc.tuple(key, tie("flow")), { minLength: 1, maxLength: 3, selector: ([k]) => k }).map(
          (items): Odd => ({
            usual: () => `{ ${items.map(([k, v]) => `${k}: ${v.usual("")}`).join(", ")} }`,
            odd: () => `{${items.map(([k, v]) => `${k}:   ${v.odd("")}`).join(",")}}`,
            flow: true,
          }),
        ),
      ),
      node: fc.oneof(
        { depthSize: "small" },
        tie("flow"),
        fc.array(tie("node"), { minLength: 1, maxLength: 3 }).map(
          (items): Odd => ({
            usual: (indent) =>
              items
                .map((i) =>
                  `\n${indent}-${i.flow ? " " : ""}${i.usual(`${indent}  `)}`.replace(/-\n */, "- "),
                )
                .join(""),
            odd: (indent) =>
              items
                .map(
                  (i) =>
                    `\n${indent}-${i.flow ? "   " : ""}${i.odd(`${indent}    `).replace(/^\n */, "   ")}`,
                )
                .join(""),
            flow: false,
          }),
        ),
        fc.uniqueArray(fc.tuple(key, tie("node")), { minLength: 1, maxLength: 3, selector: ([k]) => k }).map(
          (items): Odd => ({
            usual: (indent) =>
              items.map(([k, v]) => `\n${indent}${k}:${v.flow ? " " : ""}${v.usual(`${indent}  `)}`).join(""),
            odd: (indent) =>
              items
                .map(([k, v]) => `\n${indent}${k}:${v.flow ? "  " : "   "}${v.odd(`${indent}     `)}`)
                .join(""),
            flow: false,
          }),
        ),
      ),
    }));
    holds(
      fc.property(
        fc.uniqueArray(fc.tuple(key, node), { minLength: 1, maxLength: 4, selector: ([k]) => k }),
        (items) => {
          const write = (form: "usual" | "odd") =>
            items
              .map(([k, v]) => `${k}:${v.flow ? " " : ""}${v[form](form === "usual" ? "  " : "   ")}\n`)
              .join("");
          expect(parse(write("odd"))).toEqual(parse(write("usual")));
          expect(formatted(write("odd"))).toBe(write("usual"));
        },
      ),
    );
  });
});
