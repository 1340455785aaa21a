import { converter } from "culori";
import { describe, expect, it } from "vitest";
import {
  changeColour,
  differenceColour,
  LARGEST_SHOWN,
} from "../../../../client/panel/pixels/colour-scale.ts";

const lch = converter("lch");
const colourOf = (rgb: number) =>
  lch({ mode: "rgb", r: (rgb >> 16) / 255, g: ((rgb >> 8) & 255) / 255, b: (rgb & 255) / 255 });

describe("the scale of a difference", () => {
  const steps = Array.from({ length: 49 }, (_, i) => colourOf(differenceColour((i / 48) * LARGEST_SHOWN)));

  it("falls evenly in lightness, so that the eye can rank it", () => {
    const falls = steps.slice(1).map(({ l }, i) => steps[i]!.l - l);
    const even = (steps[0]!.l - steps.at(-1)!.l) / 48;
    expect(even).toBeGreaterThan(1.2);
    for (const fall of falls) expect(Math.abs(fall - even)).toBeLessThan(1);
  });

  it("keeps one hue", () => {
    const hues = steps.filter(({ c }) => c > 8).map(({ h }) => h!);
    expect(Math.max(...hues) - Math.min(...hues)).toBeLessThan(25);
  });

  it("begins at L* 97 and ends at 20", () => {
    expect(Math.abs(steps[0]!.l - 97)).toBeLessThan(0.4);
    expect(Math.abs(steps.at(-1)!.l - 20)).toBeLessThan(0.4);
  });

  it("is violet, most vivid past the middle", () => {
    for (const i of [36, 42]) {
      const { c, h } = steps[i]!;
      expect(Math.abs(c - 62 * Math.sin(Math.PI * (0.06 + (0.8 * i) / 48)))).toBeLessThan(0.7);
      expect(Math.abs(h! - 285)).toBeLessThan(1);
    }
  });

  it("ends where the label says", () => {
    expect(differenceColour(LARGEST_SHOWN * 3)).toBe(differenceColour(LARGEST_SHOWN));
  });
});

describe("the scale of a change of tone", () => {
  it("is near white where nothing changed, and tells more from less", () => {
    expect(colourOf(changeColour(0)).l).toBeGreaterThan(95);
    expect(changeColour(200) >> 16).toBeGreaterThan(changeColour(200) & 255);
    expect(changeColour(-200) & 255).toBeGreaterThan(changeColour(-200) >> 16);
    expect(colourOf(changeColour(255)).l).toBeCloseTo(colourOf(changeColour(-255)).l, -1);
  });

  // Steps of L* from 97; C*ab 60 · sin ¾πt.
  it.each([
    [0, 97, 0],
    [51, 83.6, 27.2],
    [102, 70.2, 48.5],
  ])("of %i is L* %f and C*ab %f", (change, L, chroma) => {
    const more = colourOf(changeColour(change));
    expect(Math.abs(more.l - L)).toBeLessThan(0.4);
    expect(Math.abs(more.c - chroma)).toBeLessThan(0.8);
    if (chroma > 0) expect(Math.abs(more.h! - 55)).toBeLessThan(1.5);
    // Of the blues sRGB lacks the most vivid.
    expect(Math.abs(colourOf(changeColour(-change)).l - L)).toBeLessThan(1.5);
  });

  it("is pale for a little more and a little less, in the two hues", () => {
    // t = 20 / 255: L* 91.7, C*ab 60 · sin 0.1848 = 11.0.
    for (const [change, hue] of [
      [20, 55],
      [-20, 275],
    ] as const) {
      const seen = colourOf(changeColour(change));
      expect(Math.abs(seen.l - 91.7)).toBeLessThan(0.4);
      expect(Math.abs(seen.c - 11)).toBeLessThan(0.8);
      expect(Math.abs(seen.h! - hue)).toBeLessThan(4);
    }
  });

  it("ends in a colour, for more as for less", () => {
    expect(colourOf(changeColour(255)).l).toBeGreaterThan(25);
    expect(colourOf(changeColour(-255)).l).toBeGreaterThan(25);
  });
});
