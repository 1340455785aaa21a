import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { completionContext } from "../../../server/features/completion/context.ts";

/** The context at the `|` in a text, in one line: what is wanted, where, and the word that would be replaced. */
function at(marked: string): string | undefined {
  const offset = marked.indexOf("|");
  const text = marked.replace("|", "");
  const context = completionContext(text, offset);
  if (!context) return undefined;
  const { wants, path, word } = context;
  return `${wants} ${path.join("/")} «${text.slice(word.start, word.end)}»`;
}

describe("in block style", () => {
  it.each([
    ["|", "key  «»"],
    ["pla|", "key  «pla»"],
    ["plates:\n  em|", "key plates «em»"],
    ["plates:\n  ember:\n    |", "key plates/ember «»"],
    ["plates:\n  ember:\n    ink: e|", "value plates/ember/ink «e»"],
    ["plates:\n  ember:\n    ink: |\n    extract: {}\n", "value plates/ember/ink «»"],
    ["plates:\n  ember:\n    ink: a\n\n    # words\n    |", "key plates/ember «»"],
    ["plates:\n  ember:\n    ink: a\n  |", "key plates «»"],
    ["plates:\n  ember:\n    ink: a\n|", "key  «»"],
    ["artwork:\n  width: 12 m|", "value artwork/width «12 m»"],
    ["artwork:\r\n  width: |\r\n", "value artwork/width «»"],
  ])("%j", (text, expected) => {
    expect(at(text)).toBe(expected);
  });
});

describe("in lists", () => {
  it.each([
    ["adjust:\n  - |", "key adjust/0 «»"],
    ["adjust:\n  - plate: a\n  - pl|", "key adjust/1 «pl»"],
    ["adjust:\n- plate: a\n- pl|", "key adjust/1 «pl»"],
    ["adjust:\n  - plate: a\n    cu|", "key adjust/0 «cu»"],
    ["adjust:\n  - plate: a\n    curve: |", "value adjust/0/curve «»"],
    ["adjust:\n  |", "key adjust «»"],
    ["setups:\n  dark:\n    order:\n      - base\n      - |", "key setups/dark/order/1 «»"],
    [
      "plates:\n  a:\n    extract:\n      any:\n        - { hue: [1, 2] }\n        - li|",
      "key plates/a/extract/any/1 «li»",
    ],
  ])("%j", (text, expected) => {
    expect(at(text)).toBe(expected);
  });
});

describe("in brackets", () => {
  it.each([
    ["plates:\n  ember: { in|", "key plates/ember «in»"],
    ["plates:\n  ember: { ink: em|", "value plates/ember/ink «em»"],
    ["plates:\n  ember: { ink: em, |", "key plates/ember «»"],
    ["plates:\n  ember: { ink: em, extract: { hue: [1, |] } }\n", "value plates/ember/extract/hue/1 «»"],
    ["setups:\n  dark:\n    order: [a, b, |c]", "value setups/dark/order/2 «c»"],
    ["setups:\n  dark:\n    order: [\n      a,\n      |", "value setups/dark/order/1 «»"],
    ["traps: [{ plate: a, |", "key traps/0 «»"],
    ["adjust:\n  - { plate: a, region: { polygon: [[1 mm, 2 mm], [|", "value adjust/0/region/polygon/1/0 «»"],
    ['garments: { b: { colour: "#f|" } }', 'value garments/b/colour «"#f"»'],
    ["artwork: { file: x, width: 12|}", "value artwork/width «12»"],
  ])("%j", (text, expected) => {
    expect(at(text)).toBe(expected);
  });

  it("knows what stands beside the cursor", () => {
    const text = "setups: { dark: { order: [base, , ember] } }";
    const context = completionContext(text, text.indexOf(", , ") + 2);
    expect(context?.beside).toEqual(["base", "ember"]);
  });

  it("takes a forgotten bracket above for closed where the lines go back", () => {
    expect(at("a: { b\nplates:\n  x: { |")).toBe("key plates/x «»");
  });
});

it("offers nothing in a comment, also behind a quoted #", () => {
  expect(at("recipe: 1 # wo|")).toBeUndefined();
  expect(at('garments: { b: { colour: "#fff" } } # x|')).toBeUndefined();
  expect(at('garments: { b: { colour: "#f|')).toBeDefined();
});

it("says whether a colon stands behind the word", () => {
  expect(completionContext("plates:\n  a:\n    in|k: x".replace("|", ""), 18)?.hasColon).toBe(true);
  expect(completionContext("plates:\n  a:\n    ink", 18)?.hasColon).toBe(false);
});

it("never throws, and its word holds the cursor, in any text", () => {
  const piece = fc.constantFrom(
    "plates",
    ":",
    " ",
    "\n",
    "  ",
    "- ",
    "{",
    "}",
    "[",
    "]",
    ",",
    '"',
    "'",
    "#",
    "a",
    "12 mm",
    "\t",
    "\r\n",
    "&x",
    "*x",
    "é",
    "💡",
  );
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 60 }), fc.nat(), (pieces, n) => {
      const text = pieces.join("");
      const offset = n % (text.length + 1);
      const context = completionContext(text, offset);
      if (!context) return;
      expect(context.word.start).toBeLessThanOrEqual(offset);
      expect(context.word.end).toBeGreaterThanOrEqual(offset);
      expect(context.word.end).toBeLessThanOrEqual(text.length);
    }),
    { seed: 20_050_101, numRuns: 3000 },
  );
});
