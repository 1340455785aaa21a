import { describe, expect, it } from "vitest";
import { fitted, lettering, letteringWidth } from "../../../server/output/films/lettering.ts";

/** Horizontal middle of each outline. */
const middles = (text: string, x = 0, y = 0, size = 10) =>
  lettering(text, x, y, size).outlines.map((outline) => {
    const xs = outline.filter((_, i) => i % 2 === 0);
    return (Math.min(...xs) + Math.max(...xs)) / 2;
  });

describe("letters", () => {
  it("stand one behind the other, each as wide as it is", () => {
    const [i, m] = [letteringWidth("i", 10), letteringWidth("m", 10)];
    expect(m).toBeGreaterThan(1.5 * i);
    expect(letteringWidth("immi", 10)).toBeCloseTo(2 * i + 2 * m, 9);
    expect(letteringWidth("immi", 5)).toBeCloseTo(i + m, 9);
    const [first] = middles("l");
    const all = middles("lml", 3);
    expect(all[0]).toBeCloseTo(first! + 3, 9);
    expect(all.at(-1)).toBeCloseTo(first! + 3 + letteringWidth("lm", 10), 9);
  });

  it("stand on their line, upright", () => {
    const [outline] = lettering("H", 0, 20, 10).outlines;
    const ys = outline!.filter((_, i) => i % 2 === 1);
    expect(Math.max(...ys)).toBeCloseTo(20, 1);
    // Capitals are about 0.7 em high.
    expect(Math.min(...ys)).toBeGreaterThan(12);
    expect(Math.min(...ys)).toBeLessThan(14);
  });

  it("of other scripts are a box, control signs are blanks, and accents are one with their letter", () => {
    expect(lettering("漢", 0, 0, 10).outlines).toHaveLength(2);
    expect(letteringWidth("漢", 10)).toBe(6);
    expect(letteringWidth("a\u200b\nb", 10)).toBeCloseTo(letteringWidth("a  b", 10), 9);
    expect(lettering("\u202e\u0007", 0, 0, 10).outlines).toEqual([]);
    expect(letteringWidth("e\u0301", 10)).toBe(letteringWidth("é", 10));
  });
});

describe("text in a room", () => {
  it("is left as it is where it fits", () => {
    const width = letteringWidth("ember 1/2", 5);
    expect(fitted("ember 1/2", 5, width)).toBe("ember 1/2");
    expect(fitted("ember 1/2", 5, width - 0.01)).not.toBe("ember 1/2");
  });

  it("keeps as many letters as go in with three dots", () => {
    const text = "a long name of a plate";
    for (const room of [5, 12, 20]) {
      const cut = fitted(text, 5, room);
      expect(text.startsWith(cut.slice(0, -1))).toBe(true);
      expect(cut.at(-1)).toBe("…");
      expect(letteringWidth(cut, 5)).toBeLessThanOrEqual(room);
      expect(letteringWidth(`${text.slice(0, cut.length)}…`, 5)).toBeGreaterThan(room);
    }
    expect(fitted(text, 5, 0)).toBe("…");
  });
});
