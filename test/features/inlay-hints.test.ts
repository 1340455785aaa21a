import { describe, expect, it } from "vitest";
import { inlayHints } from "../../server/features/inlay-hints.ts";
import type { Measurements } from "../../server/render/measurements.ts";
import { type Beside, edited, read, soundBut } from "./model.ts";

const ALL = { coverage: true, screens: true, resolution: true };
const NONE = { coverage: false, screens: false, resolution: false };
const WHOLE = { start: { line: 0, character: 0 }, end: { line: 9999, character: 0 } };

const measured = (
  coverage: Record<string, number>,
  artworkPpi: number | undefined = 301.4,
): Measurements => ({
  artworkPpi,
  plates: new Map(
    Object.entries(coverage).map(([name, share]) => [
      name,
      { coverage: share, histogram: [], thumbnail: "" },
    ]),
  ),
});

/** The text with its hints in it, each between ‹›. */
function shown(text: string, beside: Beside, settings = ALL, range = WHOLE): string {
  const { model } = read(text, beside);
  return edited(
    model,
    inlayHints(model, range, settings).map(({ position, label }) => ({
      range: { start: position, end: position },
      newText: `‹${label}›`,
    })),
  );
}

const TEXT = soundBut("{ ink: white", "\n    { ink: white");

describe("hints", () => {
  it("stand behind what they tell of", () => {
    expect(shown(TEXT, { measurements: measured({ base: 0.4567, ember: 0 }) })).toBe(
      TEXT.replace("width: 2 in", "width: 2 in‹301 ppi›")
        .replace("base:", "base:‹45.7 %›")
        .replace("ember: { ink", "ember:‹0.0 %› { ink")
        .replace("dark:", "dark:‹2 screens, 3 stations›"),
    );
  });

  it("tell screens alone before there is a picture", () => {
    expect(shown(TEXT, {})).toBe(TEXT.replace("dark:", "dark:‹2 screens, 3 stations›"));
  });

  it("count a folded plate as no screen, and a second print as one more", () => {
    const text = `${soundBut("[base, flash, ember]", "[base, flash, base]")}merges:\n  - { fold: ember, into: base }\n`;
    expect(shown(text, {})).toContain("dark:‹2 screens, 3 stations›");
    expect(shown(text.replace("flash, base]", "flash, ember]"), {})).toContain("dark:‹1 screen, 3 stations›");
  });

  it("know no resolution of a drawing", () => {
    expect(shown(TEXT, { measurements: { artworkPpi: undefined, plates: new Map() } })).not.toContain("ppi");
  });

  it("forget plates that the text no longer has", () => {
    expect(shown(TEXT, { measurements: measured({ rose: 0.5 }) }, { ...NONE, coverage: true })).toBe(TEXT);
  });

  it.each(["coverage", "screens", "resolution"] as const)("of %s can be switched off", (kind) => {
    const beside = { measurements: measured({ base: 0.5 }) };
    const marks = { coverage: "%›", screens: "screens", resolution: "ppi" };
    expect(shown(TEXT, beside)).toContain(marks[kind]);
    expect(shown(TEXT, beside, { ...ALL, [kind]: false })).not.toContain(marks[kind]);
  });

  it("stay inside of the range that is asked for", () => {
    const top = { start: { line: 0, character: 0 }, end: { line: 3, character: 0 } };
    expect(shown(TEXT, { measurements: measured({ base: 0.5 }) }, ALL, top)).toBe(
      TEXT.replace("width: 2 in", "width: 2 in‹301 ppi›"),
    );
  });

  it("compare with the press's stations", () => {
    const { model } = read(TEXT, { shop: "shop: 1\npress: { stations: 10 }\n" });
    expect(inlayHints(model, WHOLE, ALL).map(({ tooltip }) => tooltip)).toEqual([
      "the press has 10 stations",
    ]);
  });

  it("do not belong in a shop file", () => {
    expect(shown("shop: 1\nsetups: { a: { order: [b] } }\n", { kind: "shop" })).not.toContain("‹");
  });

  it.each(["setups:\n  dark:\n", "setups: { dark: { order: 3 } }\n", "setups: [1]\n", ""])(
    "are none in a half-written %j",
    (text) => {
      expect(inlayHints(read(text).model, WHOLE, ALL)).toEqual([]);
    },
  );
});
