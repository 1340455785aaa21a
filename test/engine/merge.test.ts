import fc from "fast-check";
import { expect, it } from "vitest";
import { merge, mergePlates, sourcesOf } from "../../server/engine/merge.ts";
import type { StageNode } from "../../server/engine/stages/stage.ts";
import { holds } from "../property.ts";
import { EMPTY_PLAN, madeOf } from "./stages/run.ts";

function merged(into: number[], ...folded: number[][]): number[] {
  const out = new Uint8Array(into.length).fill(77);
  mergePlates(
    Uint8Array.from(into),
    folded.map((tones) => Uint8Array.from(tones)),
    out,
  );
  return [...out];
}

it("prints what either plate prints: 1 − (1 − a)(1 − b)", () => {
  // By hand: 102 and 51 are 0.4 and 0.2: 1 − 0.6 · 0.8 = 0.52 = 132.6; 128 on 128: 255 − 127² / 255 = 191.7.
  expect(merged([102, 128, 0, 255, 0, 10], [51, 128, 0, 40, 90, 0])).toEqual([133, 192, 0, 255, 90, 10]);
});

it("folds several plates at once", () => {
  // Three times 0.5 of 255 (127.5 → 128): 255 − 127³ / 255² = 223.5.
  expect(merged([128], [128], [128])).toEqual([223]);
  expect(merged([0], [255], [3])).toEqual([255]);
});

it("may write onto the plate that it merges into", () => {
  const into = Uint8Array.of(102, 0);
  mergePlates(into, [Uint8Array.of(51, 9)], into);
  expect([...into]).toEqual([133, 9]);
});

it("rounds the ink of several plates once, to the nearest tone", () => {
  holds(
    fc.property(fc.array(fc.nat(255), { minLength: 2, maxLength: 5 }), ([into, ...folded]) => {
      const exact = 255 * (1 - [into, ...folded].reduce((clear, tone) => clear * (1 - tone / 255), 1));
      const seen = merged([into], ...folded.map((tone) => [tone]))[0];
      // Half a tone, or less than one where rounding would take ink away.
      expect(seen).toBe(Math.max(into, ...folded, Math.round(exact - 1e-9)));
    }),
    1000,
  );
});

it("never loses ink of any of its plates, over all pairs of tones", () => {
  const all = Uint8Array.from({ length: 65_536 }, (_, i) => i >> 8);
  const other = Uint8Array.from({ length: 65_536 }, (_, i) => i & 255);
  const out = new Uint8Array(65_536);
  mergePlates(all, [other], out);
  expect(out.findIndex((tone, i) => tone < all[i] || tone < other[i])).toBe(-1);
});

it("does not mind the order of the plates, nor which of them is the host", () => {
  holds(
    fc.property(
      fc
        .array(fc.nat(255), { minLength: 2, maxLength: 5 })
        .chain((tones) =>
          fc.tuple(fc.constant(tones), fc.shuffledSubarray(tones, { minLength: tones.length })),
        ),
      ([tones, shuffled]) => {
        const columns = (list: number[]) => list.map((tone) => [tone]) as [number[], ...number[][]];
        expect(merged(...columns(shuffled))).toEqual(merged(...columns(tones)));
      },
    ),
    1000,
  );
});

it("sends every plate to the host at the end of its chain", () => {
  const sources = sourcesOf([
    { fold: "rose", into: "ember" },
    { fold: "ash", into: "rose" },
    { fold: "ember", into: "red" },
    { fold: "sky", into: "blue" },
  ]);
  expect(Object.fromEntries(sources)).toEqual({ red: ["ash", "ember", "rose"], blue: ["sky"] });
});

it("finds the same sources in whatever order the merges are listed", () => {
  const list = [
    { fold: "a", into: "b" },
    { fold: "b", into: "c" },
    { fold: "d", into: "c" },
    { fold: "e", into: "f" },
  ];
  holds(
    fc.property(fc.shuffledSubarray(list, { minLength: list.length }), (shuffled) => {
      expect(Object.fromEntries(sourcesOf(shuffled))).toEqual({ c: ["a", "b", "d"], f: ["e"] });
    }),
    30,
  );
});

it("has no sources without merges", () => {
  expect(sourcesOf([]).size).toBe(0);
});

it("throws where merges go round in a circle", () => {
  const circle = [
    { fold: "a", into: "b" },
    { fold: "b", into: "a" },
  ];
  expect(() => sourcesOf(circle)).toThrow(new Error("the plate a is folded into itself"));
});

it("leaves plates that nothing is folded into as the nodes that they were, and folded ones out", () => {
  const source = (plate: number): StageNode => ({ stage: "extract", takes: [], plate });
  const merges = [
    { fold: "rose", into: "red" },
    { fold: "ash", into: "rose" },
  ];
  const plates = merge(new Map(["rose", "red", "ash", "blue"].map((name, plate) => [name, source(plate)])), {
    ...EMPTY_PLAN,
    merges,
  });
  expect([...plates.keys()]).toEqual(["red", "blue"]);
  expect(plates.get("blue")).toEqual(source(3));
  const red = plates.get("red")!;
  // In order of name.
  expect(red).toMatchObject({ stage: "merge", takes: [source(1), source(2), source(0)] });
  const rows = [[51], [102], [0], [9]].map((row) => Uint8Array.from(row));
  expect([...madeOf(red, rows, { width: 1, height: 1, pixelsPerMm: 1 })]).toEqual([133]);
});
