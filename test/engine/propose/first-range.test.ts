import { describe, expect, it } from "vitest";
import type { Lab } from "../../../server/engine/colour/cielab.ts";
import { firstRange } from "../../../server/engine/propose/first-range.ts";
import { lab } from "../solve/prints.ts";

/** The range that an ink begins with, where a trial prints it at these colours with these tones. */
function begun(own: Lab, ...printed: [lab: Lab, weight: number, tone: number][]) {
  const ink = { name: "", film: { colour: own, opacity: 0.8 } };
  const trial = {
    colours: printed.map(([lab, weight]) => ({ lab, weight })),
    tone: (c: number, i: number) => (i === 3 ? printed[c]![2] : 9),
  };
  return firstRange(ink, trial, 3);
}

describe("the range that a fit begins with", () => {
  const red = lab(50, 60, 10);

  it("lies around the mean of what gets most of the ink", () => {
    // Weights 0.4 and 0.2: L* 53.3, a* 36.7, b* 10, so C*ab 38.0, hab 15.3°. What gets 0.3 or less does not count.
    const range = begun(
      red,
      [lab(60, 40, 0), 0.5, 0.8],
      [lab(40, 30, 30), 0.25, 0.8],
      [lab(90, -50, 20), 0.9, 0.3],
    );
    expect(range).toEqual({
      hue: { centre: 15, half: 20, fade: 25 },
      chroma: { least: 23, most: 150, fade: 19 },
      lightness: { least: 28, most: 78, fade: 16 },
    });
  });

  it("is of what gets a little, where nothing gets more", () => {
    const { lightness } = begun(red, [lab(60, 40, 0), 0.5, 0.2], [lab(40, 40, 0), 0.5, 0.1]);
    // (2 · 60 + 40) / 3 = 53.3.
    expect([lightness.least, lightness.most]).toEqual([28, 78]);
  });

  it("is the ink's own where nothing gets any", () => {
    expect(begun(lab(50, 60, 0), [lab(60, 40, 20), 0.5, 0])).toEqual({
      hue: { centre: 0, half: 20, fade: 25 },
      chroma: { least: 36, most: 150, fade: 30 },
      lightness: { least: 25, most: 75, fade: 16 },
    });
  });

  it("is of no more chroma than the ink's, and of hardly any has a fade still", () => {
    expect(begun(lab(50, 12, 0), [lab(50, 40, 0), 1, 1]).chroma).toEqual({ least: 7, most: 150, fade: 6 });
    expect(begun(lab(50, 12, 0), [lab(50, 5, 0), 1, 1]).chroma).toEqual({ least: 3, most: 150, fade: 4 });
  });

  it("stays within L* 0 to 100", () => {
    expect(begun(red, [lab(90, 40, 0), 1, 1]).lightness).toEqual({ least: 65, most: 100, fade: 16 });
    expect(begun(red, [lab(12, 40, 0), 1, 1]).lightness).toEqual({ least: 0, most: 37, fade: 16 });
  });

  it("has the ink's hue where the mean's is 0", () => {
    expect(begun(red, [lab(50, 40, 0), 1, 1]).hue!.centre).toBe(9);
  });

  it("of neutral inks has no hue, and of darks begins at black", () => {
    const printed: [Lab, number, number] = [lab(60, 5, 0), 1, 1];
    expect(begun(lab(55, 9.9, 0), printed)).toEqual({
      chroma: { least: 0, most: 8, fade: 16 },
      lightness: { least: 35, most: 85, fade: 16 },
    });
    expect(begun(lab(55, 10, 0), printed).hue).toBeDefined();
    expect(begun(lab(24.9, 30, 0), printed)).toEqual({
      chroma: { least: 0, most: 150, fade: 16 },
      lightness: { least: 0, most: 12, fade: 36 },
    });
    expect(begun(lab(25, 30, 0), printed).hue).toBeDefined();
  });
});
