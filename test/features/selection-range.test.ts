import { describe, expect, it } from "vitest";
import { selectionRange } from "../../server/features/selection-range.ts";
import { read, SOUND, textAt } from "./model.ts";

/** What a growing selection takes in, from the inside out. */
function growing(marked: string): (string | undefined)[] {
  const { model, at } = read(marked);
  const texts: (string | undefined)[] = [];
  for (
    let at_: ReturnType<typeof selectionRange> | undefined = selectionRange(model, at);
    at_;
    at_ = at_.parent
  )
    texts.push(textAt(model, at_.range));
  return texts;
}

describe("a selection grows", () => {
  it("from a word in a list to the file", () => {
    const text = "setups:\n  dark: { order: [base, em|ber] }\nlast: 1\n";
    expect(growing(text)).toEqual([
      "ember",
      "[base, ember]",
      "order: [base, ember]",
      "{ order: [base, ember] }",
      "dark: { order: [base, ember] }",
      "setups:\n  dark: { order: [base, ember] }",
      "setups:\n  dark: { order: [base, ember] }\nlast: 1\n",
    ]);
  });

  it("from a key to its value", () => {
    expect(growing("a: { b|c: 12 in, d: 1 }\n").slice(0, 3)).toEqual([
      "bc",
      "bc: 12 in",
      "{ bc: 12 in, d: 1 }",
    ]);
  });

  it("without the blank lines and comments behind a block", () => {
    expect(growing("a:\n  b: |1\n  c: 2\n\n# on d\nd: 3\n").slice(0, 4)).toEqual([
      "1",
      "b: 1",
      "b: 1\n  c: 2",
      "a:\n  b: 1\n  c: 2",
    ]);
  });

  it("each time by something, everywhere in a recipe", () => {
    for (let i = 0; i <= SOUND.length; i++) {
      const texts = growing(`${SOUND.slice(0, i)}|${SOUND.slice(i)}`);
      const lengths = texts.map((text) => text?.length ?? -1);
      expect(lengths, `at ${i}`).toEqual([...new Set(lengths)].sort((a, b) => a - b));
      expect(texts.at(-1)).toBe(SOUND);
    }
  });

  it("to all there is in an empty file", () => {
    expect(growing("")).toEqual([""]);
  });
});
