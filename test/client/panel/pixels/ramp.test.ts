import { converter } from "culori";
import { describe, expect, it } from "vitest";
import { changeColour, differenceColour, LARGEST_SHOWN } from "../../../../client/panel/pixels/ramp.ts";

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
});
