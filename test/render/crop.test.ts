import { describe, expect, it } from "vitest";
import { cropBox, cutAreas, cutGiven, cutOut } from "../../server/render/crop.ts";
import { random } from "../property.ts";

describe("the pixels of a rectangle", () => {
  it("are all that it touches, at least one, and never beyond the picture", () => {
    const next = random(5);
    for (let i = 0; i < 400; i++) {
      const [width, height] = [1 + Math.floor(next() * 40), 1 + Math.floor(next() * 30)];
      const perMm = 0.5 + next() * 4;
      const rect = {
        x: next() * 50 - 20,
        y: next() * 40 - 15,
        width: 0.1 + next() * 20,
        height: 0.1 + next() * 15,
      };
      const margin = Math.floor(next() * 6);
      const { inner, outer } = cropBox(rect, margin, perMm, width, height);
      const touched = (from: number, size: number, count: number) =>
        Array.from({ length: count }, (_, k) => k).filter(
          (k) => (k + 1) / perMm > from + 1e-9 && k / perMm < from + size - 1e-9,
        );
      for (const [lower, upper, of, count] of [
        [inner.x0, inner.x1, touched(rect.x, rect.width, width), width],
        [inner.y0, inner.y1, touched(rect.y, rect.height, height), height],
      ] as const) {
        expect(lower).toBeGreaterThanOrEqual(0);
        expect(upper).toBeLessThanOrEqual(count);
        expect(upper).toBeGreaterThan(lower);
        if (of.length > 0) expect([lower, upper - 1]).toEqual([of[0], of.at(-1)]);
      }
      expect(outer).toEqual({
        x0: Math.max(0, inner.x0 - margin),
        y0: Math.max(0, inner.y0 - margin),
        x1: Math.min(width, inner.x1 + margin),
        y1: Math.min(height, inner.y1 + margin),
      });
    }
  });

  it("are cut out byte for byte, whatever a pixel's bytes", () => {
    const next = random(6);
    for (const channels of [1, 3, 4]) {
      const [width, height] = [9, 7];
      const data = Uint8Array.from({ length: width * height * channels }, () => Math.floor(next() * 256));
      const box = { x0: 2, y0: 1, x1: 8, y1: 6 };
      const cut = cutOut(data, channels, width, box);
      expect(cut.length).toBe(6 * 5 * channels);
      for (let y = 0; y < 5; y++)
        for (let x = 0; x < 6; x++)
          for (let c = 0; c < channels; c++)
            expect(cut[(y * 6 + x) * channels + c]).toBe(data[((y + 1) * width + x + 2) * channels + c]);
    }
  });
});

describe("what a picture carries with its pixels", () => {
  // 3 × 2 pixels, of which the lower two on the right are cut out.
  const rect = { x0: 1, y0: 1, x1: 3, y1: 2 };
  const bytes = (from: number) => Uint8Array.from({ length: 6 }, (_, i) => from + i);

  it("of areas is cut as the picture is; their colours stay", () => {
    const colours = Uint8Array.of(1, 2, 3, 255);
    const areas = { colours, first: bytes(10), second: bytes(20), share: bytes(200) };
    const cut = cutAreas(areas, 3, rect);
    expect(cut.colours).toBe(colours);
    expect([cut.first, cut.second, cut.share].map((one) => [...one])).toEqual([
      [14, 15],
      [24, 25],
      [204, 205],
    ]);
  });

  it("of plates from files is cut plate by plate", () => {
    const given = new Map([
      ["a", bytes(10)],
      ["b", bytes(20)],
    ]);
    expect([...cutGiven(given, 3, rect)].map(([name, tones]) => [name, ...tones])).toEqual([
      ["a", 14, 15],
      ["b", 24, 25],
    ]);
  });
});
