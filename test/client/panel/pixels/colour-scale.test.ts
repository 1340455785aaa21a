import { converter } from "culori";
import { describe, expect, it } from "vitest";
import {
  changeColour,
  differenceColour,
  scaleEnd,
  ticksOf,
} from "../../../../client/panel/pixels/colour-scale.ts";

const lch = converter("lch");
const colourOf = (rgb: number) =>
  lch({ mode: "rgb", r: (rgb >> 16) / 255, g: ((rgb >> 8) & 255) / 255, b: (rgb & 255) / 255 });

describe("the scale of a difference", () => {
  const steps = Array.from({ length: 49 }, (_, i) => colourOf(differenceColour((i / 48) * 12, 12)));

  it("rises evenly in lightness, so that the eye can rank it and goes to the worst", () => {
    const rises = steps.slice(1).map(({ l }, i) => l - steps[i]!.l);
    const even = (steps.at(-1)!.l - steps[0]!.l) / 48;
    expect(even).toBeGreaterThan(1.2);
    for (const rise of rises) expect(Math.abs(rise - even)).toBeLessThan(1);
  });

  it("goes from a dark violet over red to a light yellow", () => {
    expect(Math.abs(steps[0]!.l - 16)).toBeLessThan(0.6);
    expect(Math.abs(steps.at(-1)!.l - 94)).toBeLessThan(0.6);
    for (const [i, hue] of [
      [0, 300],
      [24, 15],
      [48, 90],
    ] as const)
      expect(Math.abs(((steps[i]!.h! - hue + 540) % 360) - 180)).toBeLessThan(2);
  });

  it("has a colour for each of 255 steps and for none, up to its very end", () => {
    const colours = Array.from({ length: 256 }, (_, i) => differenceColour((12 * i) / 255, 12));
    expect(new Set(colours).size).toBe(256);
  });

  it("ends where the label says, and there at the first that 95 % keep within", () => {
    expect(differenceColour(36, 12)).toBe(differenceColour(12, 12));
    expect(differenceColour(12, 24)).toBe(differenceColour(6, 12));
    expect([0, 6, 6.1, 20.7, 90].map(scaleEnd)).toEqual([6, 6, 12, 24, 48]);
    expect(ticksOf(24)).toEqual([0, 4, 8, 12, 16, 20, 24]);
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
    [204, 43.4, 57.1],
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
