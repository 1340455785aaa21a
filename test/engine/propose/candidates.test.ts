import { describe, expect, it } from "vitest";
import { deltaE00 } from "../../../server/engine/colour/ciede2000.ts";
import { chromaOf, hueOf, type Lab, labFromBytes } from "../../../server/engine/colour/cielab.ts";
import { colourOf } from "../../../server/engine/print/ink-film.ts";
import { defaultOpacity, freeCandidates, mixedInk } from "../../../server/engine/propose/candidates.ts";

const lab = (L: number, a: number, b: number): Lab => ({ L, a, b });
const far = (p: Lab, q: Lab) => deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
const inksFor = (...labs: Lab[]) =>
  freeCandidates(
    labs.map((one) => ({ lab: one, weight: 1 / labs.length })),
    false,
  ).map(({ film }) => colourOf(film));

describe("an ink to be mixed", () => {
  it("covers as its kind usually does: darks most, then whites, then colours", () => {
    expect(defaultOpacity(lab(25, 40, 0))).toBe(0.97);
    expect(defaultOpacity(lab(26, 0, 0))).toBe(0.75);
    expect(defaultOpacity(lab(92, 5, 5))).toBe(0.93);
    expect(defaultOpacity(lab(91, 0, 0))).toBe(0.75);
    expect(defaultOpacity(lab(95, 0, 8))).toBe(0.75);
  });

  it("is of a colour that eight bits of sRGB hold", () => {
    const { name, film } = mixedInk(lab(60, 90, -90));
    expect(name).toBe("");
    const { L, a, b } = colourOf(film);
    expect(chromaOf(a, b)).toBeLessThan(chromaOf(90, 90));
    expect(mixedInk({ L, a, b }).film).toEqual(film);
    // What a hex holds stays.
    expect(colourOf(mixedInk(labFromBytes(17, 120, 200)).film)).toEqual(labFromBytes(17, 120, 200));
  });
});

describe("inks worth a try", () => {
  it("are five greys for a picture without colour", () => {
    const greys = freeCandidates([{ lab: lab(50, 40, 0), weight: 1 }], true).map(({ film }) =>
      colourOf(film),
    );
    expect(greys.map(({ L }) => Math.round(L))).toEqual([6, 30, 48, 66, 82]);
    for (const { a, b } of greys) expect(chromaOf(a, b)).toBeLessThan(0.1);
  });

  it("are a picture's colours and the same more vivid, all apart", () => {
    const colours = [lab(50, 30, 10), lab(60, -25, 20), lab(70, 5, 35), lab(40, 5, -30)];
    const inks = inksFor(...colours);
    for (const [i, ink] of inks.entries())
      for (const other of inks.slice(i + 1)) expect(far(ink, other)).toBeGreaterThanOrEqual(5);
    for (const colour of colours) {
      expect(Math.min(...inks.map((ink) => far(ink, colour)))).toBeLessThan(5);
      // Further from the middle by a third of a half, more vivid by a half.
      const { L, a, b } = colour;
      const vivid = lab(55 + (L - 55) * 1.25, a * 1.5, b * 1.5);
      expect(Math.min(...inks.map((ink) => far(ink, vivid)))).toBeLessThan(5);
    }
  });

  it("begin with the most vivid of each twelfth of the hues, stretched by 1.15 and 1.5", () => {
    const dull = lab(80, 0, 40);
    const vivid = lab(80, 0, 50);
    const [own, more] = inksFor(dull, vivid).slice(5);
    expect(far(own!, lab(55 + 25 * 1.075, 0, 57.5))).toBeLessThan(0.5);
    expect(far(more!, lab(55 + 25 * 1.25, 0, 75))).toBeLessThan(0.5);
    // Near-greys have no hue to begin with; then come the colours themselves.
    const [grey] = inksFor(lab(55, 9, 0)).slice(5);
    expect(far(grey!, lab(55, 9, 0))).toBeLessThan(0.5);
    // Hues just under a whole turn are the twelfth's before it.
    const turn = inksFor(lab(55, 30, -1), lab(55, 31, 12)).slice(5);
    expect(Math.min(...turn.map((ink) => Math.abs(hueOf(ink.a, ink.b) - 358)))).toBeLessThan(1.5);
  });

  it("stay printable: neither white nor black is stretched out of reach", () => {
    for (const { L } of inksFor(lab(98, 0, 12), lab(2, 0, 12))) {
      expect(L).toBeLessThan(98);
      expect(L).toBeGreaterThan(2);
    }
  });

  it("are of frequent colours before rare ones that are a little farther off", () => {
    // Too dull to be among the most vivid.
    const [first, far, near] = [lab(38, 8, 0), lab(93, 0, 8), lab(74, 8, 0)];
    const weighted = (rare: number) =>
      freeCandidates(
        [
          { lab: first, weight: 0.5 },
          { lab: far, weight: rare },
          { lab: near, weight: 0.5 - rare },
        ],
        false,
      )
        .slice(5)
        .map(({ film }) => colourOf(film));
    const place = (inks: Lab[], of: Lab) =>
      inks.findIndex((ink) => Math.abs(ink.L - of.L) + Math.abs(ink.a - of.a) < 2);
    expect(place(weighted(0.001), near)).toBeLessThan(place(weighted(0.001), far));
    expect(place(weighted(0.4), far)).toBeLessThan(place(weighted(0.4), near));
  });

  it("are of at most 26 of its colours, which lie far apart", () => {
    const colours = Array.from({ length: 40 }, (_, i) =>
      lab(20 + 10 * (i % 8), 9 * Math.cos(i), 9 * Math.sin(i)),
    );
    // Too dull to be among the most vivid: each gives three at most, beside five greys.
    expect(inksFor(...colours).length).toBeLessThanOrEqual(5 + 3 * 26);
    // The same colour again is none of its own.
    expect(inksFor(colours[0]!, colours[0]!)).toEqual(inksFor(colours[0]!));
  });
});
