import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isScalar } from "yaml";
import { BlockCache } from "../../server/language/blocks.ts";
import { parseDocument, rangeAt, rangeOf, type SourceDocument } from "../../server/language/document.ts";
import type { Path } from "../../server/language/finding.ts";
import { symbolsOf } from "../../server/language/symbols.ts";
import { validate } from "../../server/language/validate.ts";
import { visitDocument } from "../../server/language/visit.ts";
import { runs } from "../property.ts";
import { SOUND } from "./documents.ts";
import NIGHT_GARDEN from "./night-garden.ts";

/** All that the rest of the program takes from a document. */
function seen(doc: SourceDocument): unknown {
  const places: unknown[] = [];
  visitDocument(doc, (path: Path, key, node) => {
    const [k, v] = [rangeOf(doc, key), rangeOf(doc, node)];
    // A block's end runs on over blank lines, differently in a piece: what is written in it ends all the same.
    places.push([path, k, isScalar(node) ? [v, node.value] : v?.start]);
  });
  const symbols = symbolsOf(doc);
  const findings = [...doc.findings, ...validate(doc)];
  return { value: doc.value, places, symbols, findings };
}

const whole = (text: string) => parseDocument("a.sep.yaml", text, "recipe");

it("reads the demo piece by piece as it does in one", () => {
  expect(new BlockCache().compose(NIGHT_GARDEN)).toBeDefined();
  expect(seen(parseDocument("a.sep.yaml", NIGHT_GARDEN, "recipe", new BlockCache()))).toEqual(
    seen(whole(NIGHT_GARDEN)),
  );
});

describe("leaves to the whole reader", () => {
  it.each([
    ["carriage returns", "a: 1\r\nb: 2\r\n"],
    ["several documents", "a: 1\n---\nb: 2\n"],
    ["a list at the top", "- a\n- b\n"],
    ["a line that is no key", "a: 1\nb\n"],
    ["a tab as indent", "a:\n\tb: 1\n"],
    ["the same key twice in a section", "a:\n  b: 1\n  c: 2\n  b: 3\n"],
    ["the same section twice", "a: 1\nb: 2\na: 3\n"],
    ["a bracket that is not closed", "a: [1\nb: 2\n"],
    ["a tag that nobody knows", "a: 1\nb: !ink 2\n"],
    ["nothing", ""],
  ])("%s", (_, text) => {
    expect(new BlockCache().compose(text)).toBeUndefined();
    expect(seen(parseDocument("a.sep.yaml", text, "recipe", new BlockCache()))).toEqual(seen(whole(text)));
  });
});

it.each([
  ["comments everywhere", "# one\na:\n  # two\n  b: 1 # three\n  # four\n  c: 2\n# five\nd: 3\n# six"],
  ["anchors in one piece and their aliases in another", "a:\n  b: &x { k: [1, 2] }\n  c: *x\nd: *x\n"],
  ["an alias of nothing", "a:\n  b: *nope\nc: 1\n"],
  ["long texts", "a: |\n  b: c\n  d: e\nf:\n  g: >-\n    h: i\n    j\n  k: 1\n"],
  ["lists as sections", "a:\n- b\n- c: 1\nd:\n  - e\n"],
  ["deep indents", "a:\n      b:\n         c: 1\n      d: 2\n"],
  ["sections without anything", "a:\nb:\n  c:\n  d:\ne: 1"],
])("reads %s alike", (_, text) => {
  expect(seen(parseDocument("a.sep.yaml", text, "recipe", new BlockCache()))).toEqual(seen(whole(text)));
});

it("moves with the text: one cache, many edits, and always what the whole text says", () => {
  const pieces = [
    "\n",
    "  ",
    "#",
    ": ",
    "a",
    "{",
    "}",
    "[",
    ", 7",
    '"',
    "- ",
    "&x ",
    "*x",
    "ember",
    "\n  new: { ink: ember }\n",
    "\n# c\n",
  ];
  const edit = fc.record({
    at: fc.double({ min: 0, max: 1, noNaN: true }),
    cut: fc.integer({ min: 0, max: 12 }),
    put: fc.constantFrom("", ...pieces),
  });
  fc.assert(
    fc.property(
      fc.constantFrom(SOUND, NIGHT_GARDEN),
      fc.array(edit, { minLength: 1, maxLength: 8 }),
      (start, edits) => {
        const blocks = new BlockCache();
        let text = start;
        for (const { at, cut, put } of edits) {
          const offset = Math.floor(at * text.length);
          const before = text;
          text = text.slice(0, offset) + put + text.slice(offset + cut);
          expect(seen(parseDocument("a.sep.yaml", text, "recipe", blocks))).toEqual(seen(whole(text)));
          // And back again: pieces that were kept must not have taken on another's place.
          if (put === "#") text = before;
        }
      },
    ),
    { seed: 20_050_101, numRuns: runs(60, 5000) },
  );
});

it("marks the place where a finding stands after lines were put above it", () => {
  const blocks = new BlockCache();
  parseDocument("a.sep.yaml", SOUND, "recipe", blocks);
  const moved = parseDocument(
    "a.sep.yaml",
    SOUND.replace("inks:", "# a line\n# another\ninks:"),
    "recipe",
    blocks,
  );
  const { start, end } = rangeAt(moved, ["plates", "ember", "ink"]);
  expect(moved.text.slice(start, end)).toBe("ember");
});
