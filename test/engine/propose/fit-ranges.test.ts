import { describe, expect, it } from "vitest";
import type { Lab } from "../../../server/engine/colour/cielab.ts";
import { LabColumns } from "../../../server/engine/extract/lab-columns.ts";
import { Membership } from "../../../server/engine/extract/membership.ts";
import type { WeightedColour } from "../../../server/engine/propose/colours.ts";
import {
  type FittedRange,
  fitRanges,
  rangeExtraction,
  turnOf,
} from "../../../server/engine/propose/fit-ranges.ts";
import { type Candidate, type Substrate, Trial } from "../../../server/engine/propose/trial.ts";
import { lab } from "../solve/prints.ts";

/** The tones that a range gives to colours. */
function tonesOf(range: FittedRange, labs: readonly Lab[]): number[] {
  const columns = new LabColumns(labs.length);
  for (const [c, { L, a, b }] of labs.entries()) columns.set(c, L, a, b, 100);
  return [...new Membership(rangeExtraction(range)).of(columns, 0, labs.length)].slice(0, labs.length);
}

describe("the ends of a range of hues", () => {
  it.each([
    [100, 20, 80, 120],
    [10, 20, 350, 30],
    [350, 20, 330, 10],
    [0, 0, 0, 0],
    [340, 20, 320, 0],
  ])("%d ± %d is %d to %d", (centre, half, from, to) => {
    expect(turnOf({ centre, half })).toEqual({ from, to });
  });
});

it("a range is an extraction by all that it has", () => {
  const range: FittedRange = {
    hue: { centre: 350, half: 20, fade: 25 },
    chroma: { least: 10, most: 150, fade: 8 },
    lightness: { least: 20, most: 70, fade: 16 },
  };
  const chroma = { by: "chroma", from: 10, to: 150, fade: 8 };
  const lightness = { by: "lightness", from: 20, to: 70, fade: 16 };
  expect(rangeExtraction(range)).toEqual({
    by: "all",
    of: [chroma, lightness, { by: "hue", from: 330, to: 10, fade: 25 }],
  });
  const { hue: _, ...neutral } = range;
  expect(rangeExtraction(neutral)).toEqual({ by: "all", of: [chroma, lightness] });
});

describe("ranges fitted to a picture", () => {
  const SUBSTRATE: Substrate = {
    conditions: { garment: lab(96, 0, 2), n: 1, compensated: true, smallestDot: 0 },
    screen: { method: "am", rulingLpi: 45, angle: 22.5, dot: "round" },
    base: undefined,
    wetInk: 3,
    lightFirst: false,
    covered: 1,
  };
  const ink = (name: string, colour: Lab, opacity = 0.9): Candidate => ({ name, film: { colour, opacity } });
  const INKS = [
    ink("red", lab(50, 62, 38)),
    ink("blue", lab(40, 8, -50)),
    ink("grey", lab(55, 0, 0)),
    ink("black", lab(8, 0, 0), 0.97),
  ];
  const paper = lab(96, 0, 2);
  const mixed = (solid: Lab, tone: number): Lab => ({
    L: paper.L + tone * (solid.L - paper.L),
    a: paper.a + tone * (solid.a - paper.a),
    b: paper.b + tone * (solid.b - paper.b),
  });
  const solids = [lab(50, 62, 38), lab(40, 8, -50), lab(55, 0, 0), lab(8, 0, 0)];
  /** Each ink's ramp to the paper, of which the colours of one stand in a row. */
  const colours: WeightedColour[] = solids.flatMap((solid) =>
    [0.25, 0.5, 0.75, 1].map((tone) => ({ lab: mixed(solid, tone), weight: 1 / 17 })),
  );
  colours.push({ lab: paper, weight: 1 / 17 });

  const trial = Trial.start(SUBSTRATE, colours).with(INKS, 30);
  const ranges = fitRanges(trial);
  const labs = colours.map(({ lab }) => lab);
  const tones = INKS.map((one) => tonesOf(ranges.get(one)!, labs));
  /** Mean ΔE of a print with these tones of each ink, the square counted a little. */
  const missOf = (made: readonly (readonly number[])[]) => {
    const print = trial.printer();
    return colours.reduce((sum, { weight }, c) => {
      const d = print(
        c,
        Float64Array.from(made, (of) => of[c]!),
      );
      return sum + weight * (d + 0.05 * d * d);
    }, 0);
  };

  it("are one for each ink, of whole numbers within their scales", () => {
    expect([...ranges.keys()]).toEqual(INKS);
    for (const { hue, chroma, lightness } of ranges.values()) {
      for (const { least, most, fade } of [chroma, lightness]) {
        expect([least, most, fade].every(Number.isInteger)).toBe(true);
        expect(least).toBeLessThanOrEqual(most);
        expect(least).toBeGreaterThanOrEqual(0);
        expect(fade).toBeGreaterThanOrEqual(2);
        expect(fade).toBeLessThanOrEqual(90);
      }
      expect(chroma.most).toBeLessThanOrEqual(150);
      expect(lightness.most).toBeLessThanOrEqual(100);
      if (hue) expect([hue.centre, hue.half, hue.fade].every(Number.isInteger)).toBe(true);
    }
  });

  it("have no hue for neutral inks and for darks", () => {
    expect(INKS.map((one) => ranges.get(one)!.hue !== undefined)).toEqual([true, true, false, false]);
    const [red, blue] = INKS.slice(0, 2).map((one) => ranges.get(one)!.hue!.centre);
    // Hues of the inks: 31.5° and 279°.
    expect(Math.abs(red! - 31.5)).toBeLessThan(20);
    expect(Math.abs(blue! - 279)).toBeLessThan(20);
  });

  it("print each ink on its own colours and leave the others alone", () => {
    for (const [i, of] of tones.entries()) {
      const own = of.slice(4 * i, 4 * i + 4);
      expect(own[3]).toBeGreaterThan(0.6);
      expect(of[16]).toBeLessThan(0.05);
      for (const [c, tone] of of.entries())
        if (c !== 16 && Math.floor(c / 4) !== i && c % 4 === 3 && i < 2) expect(tone).toBeLessThan(0.1);
    }
  });

  it("come to where no end moved by two brings the print nearer", () => {
    const least = missOf(tones);
    expect(least).toBeLessThan(6);
    let gains = 0;
    for (const [i, one] of INKS.entries()) {
      const range = ranges.get(one)!;
      for (const part of ["hue", "chroma", "lightness"] as const)
        for (const key of Object.keys(range[part] ?? {}))
          for (const by of [2, -2]) {
            const to = (range[part] as Record<string, number>)[key]! + by;
            if (to < (key === "fade" || key === "half" ? 2 : 0) || (part === "lightness" && to > 100))
              continue;
            const moved = { ...range, [part]: { ...range[part], [key]: to } } as FittedRange;
            if (moved.chroma.least > moved.chroma.most || moved.lightness.least > moved.lightness.most)
              continue;
            if (missOf(tones.with(i, tonesOf(moved, labs))) < least - 0.02) gains++;
          }
    }
    expect(gains).toBe(0);
  });

  it("do not shrink to nothing for what is rare", () => {
    const rare = [...colours.slice(4), { lab: solids[0]!, weight: 0.004 }];
    const found = fitRanges(Trial.start(SUBSTRATE, rare).with(INKS, 30)).get(INKS[0]!)!;
    expect(tonesOf(found, solids)[0]).toBeGreaterThan(0.5);
  });

  it("do not leave a plate empty that nothing needs", () => {
    const grey = ink("pale", lab(80, 0, 0));
    const few = [...colours.slice(0, 4), colours[16]!];
    const found = fitRanges(Trial.start(SUBSTRATE, few).with([INKS[0]!, grey], 30)).get(grey)!;
    // A hundredth of the print at least: on paper, which it harms least.
    const [paper] = tonesOf(found, [few[4]!.lab]);
    expect(few[4]!.weight * paper!).toBeGreaterThan(0.008);
  });

  it("begin at the ink's own colour where it prints nothing yet", () => {
    const trial = Trial.start(SUBSTRATE, colours).with(INKS, 30, []);
    expect(trial.tone(3, 0)).toBe(0);
    const { hue, chroma, lightness } = fitRanges(trial).get(INKS[0]!)!;
    for (const v of [hue!.centre, chroma.least, lightness.least, lightness.most])
      expect(v).toBe(Math.round(v));
  });

  it("of red inks go round past 0°", () => {
    const red = ink("red", lab(50, 60, 8));
    const reds = [-14, -8, -4, 4, 12].map((b) => ({ lab: lab(55, 55, b), weight: 0.1 }));
    const others = [lab(50, 0, 50), lab(50, -40, 0), lab(50, 0, -50), lab(90, 0, 0)];
    const all = [...reds, ...others.map((lab) => ({ lab, weight: 0.125 }))];
    const range = fitRanges(Trial.start(SUBSTRATE, all).with([red], 30)).get(red)!;
    const { from, to } = turnOf(range.hue!);
    expect(from).toBeGreaterThan(to);
    const tones = tonesOf(
      range,
      all.map(({ lab }) => lab),
    );
    expect(Math.min(...tones.slice(0, 5))).toBeGreaterThan(0.5);
    expect(Math.max(...tones.slice(5))).toBeLessThan(0.1);
  });

  it("keep ink from lying too wet", () => {
    // All over one another, three solids are far over the 250 % that are free.
    const brown = lab(12, 2, 0);
    const found = fitRanges(Trial.start(SUBSTRATE, [{ lab: brown, weight: 1 }]).with(INKS, 30));
    const sum = INKS.reduce((sum, one) => sum + tonesOf(found.get(one)!, [brown])[0]!, 0);
    expect(sum).toBeLessThanOrEqual(2.6);
  });
});
