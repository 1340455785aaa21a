import fc from "fast-check";
import { expect, it } from "vitest";
import { deepened, knockOut, shareEdges } from "../../server/engine/knockout.ts";
import { holds } from "../property.ts";

function knocked(from: number[], ...where: number[][]): number[] {
  const out = new Uint8Array(from.length).fill(77);
  knockOut(
    Uint8Array.from(from),
    where.map((tones) => Uint8Array.from(tones)),
    out,
  );
  return [...out];
}

it("takes ink out where another plate prints: from · (1 − where)", () => {
  // By hand: 0.8 · (1 − 0.2) = 0.64 of 255 = 163.2.
  expect(knocked([204, 204, 204, 0, 255], [51, 255, 0, 128, 1])).toEqual([163, 0, 204, 0, 254]);
});

it("takes ink out for several plates, rounding once", () => {
  // 200 · (105 / 255) · (155 / 255) = 50.06; 255 · (127 / 255)² = 63.25.
  expect(knocked([200, 255], [150, 128], [100, 128])).toEqual([50, 63]);
  // 3 · (128 / 255)² = 0.756 → 1; 1 · (128 / 255)² = 0.252 → 0, where rounding twice would keep 1.
  expect(knocked([3, 1], [127, 127], [127, 127])).toEqual([1, 0]);
});

it.each([
  // By hand: (0.9 − 0.8) / 0.2 = 0.5.
  [0.9, 0.8, 0.5],
  [0.8, 0.8, 0],
  [0.3, 0.8, 0],
  [1, 0.8, 1],
  [0.3, 0, 0.3],
  [1, 1, 1],
  [0.99, 1, 0],
])("a tone of %s knocks out above %s by %s", (tone, above, by) => {
  expect(deepened(tone, above)).toBeCloseTo(by, 12);
});

it("may write onto the plate itself", () => {
  const tones = Uint8Array.of(204, 10);
  knockOut(tones, [Uint8Array.of(51, 255)], tones);
  expect([...tones]).toEqual([163, 0]);
});

it("never adds ink, and takes nothing where the other plate is blank", () => {
  holds(
    fc.property(fc.nat(255), fc.array(fc.nat(255), { maxLength: 4 }), (from, where) => {
      const seen = knocked([from], ...where.map((tone) => [tone]))[0];
      expect(seen).toBeLessThanOrEqual(from);
      if (where.every((tone) => tone === 0)) expect(seen).toBe(from);
      if (where.includes(255)) expect(seen).toBe(0);
    }),
    1000,
  );
});

it("takes every tone by itself, wherever the plates lie in memory", () => {
  const tone = fc.oneof(fc.constantFrom(0, 0, 0, 0, 255, 255, 255, 255), fc.nat(255));
  const plates = fc.array(fc.tuple(tone, tone), { maxLength: 40 });
  const placed = (tones: number[], offset: number) => {
    const memory = new Uint8Array(offset + tones.length);
    memory.set(tones, offset);
    return memory.subarray(offset);
  };
  holds(
    fc.property(plates, fc.nat(4), fc.nat(4), fc.nat(4), (pairs, a, b, c) => {
      const from = pairs.map(([first]) => first);
      const where = pairs.map(([, second]) => second);
      const out = placed(
        from.map(() => 77),
        c,
      );
      knockOut(placed(from, a), [placed(where, b)], out);
      expect([...out]).toEqual(pairs.map(([first, second]) => Math.round((first * (255 - second)) / 255)));
    }),
    600,
  );
});

it("takes as much of an edge as the other plate covers where both end there, and of a tint its share", () => {
  const left = (from: number[], hole: number[]) => {
    const out = Uint8Array.from(knocked(from, hole));
    shareEdges(Uint8Array.from(from), [Uint8Array.from(hole)], from.length, 1, out);
    return [...out];
  };
  // One outline: by multiplying, 100 · (1 − 100/255) = 61 would stay, a row of stray dots.
  expect(left([0, 100, 255, 255], [0, 100, 255, 255])).toEqual([0, 0, 0, 0]);
  expect(left([0, 120, 255, 255], [0, 100, 255, 255])).toEqual([0, 20, 0, 0]);
  // The hole ends inside of the plate: 255 − 100.
  expect(left([255, 255, 255, 255], [0, 100, 255, 255])).toEqual([255, 155, 0, 0]);
  // And a hole that is a tint takes its share of the edge.
  expect(left([0, 100, 255, 255], [0, 100, 100, 100])).toEqual([0, 61, 155, 155]);
  // Dots of a tint fall beside the edge as well as inside of it: 150 · 155 / 255 = 91.2.
  expect(left([150, 150, 150, 150], [0, 100, 255, 255])).toEqual([150, 91, 0, 0]);
});
