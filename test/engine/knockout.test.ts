import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  deepened,
  deepTable,
  knockOut,
  knockout,
  shareEdges,
  widenHole,
} from "../../server/engine/knockout.ts";
import type { KnockoutPlan } from "../../server/engine/plan.ts";
import { reachOf, type StageNode } from "../../server/engine/stages/stage.ts";
import { holds } from "../property.ts";
import { EMPTY_PLAN, madeOf } from "./stages/run.ts";

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
  const byte = Math.round(255 * tone);
  expect(Math.abs(deepTable(above)[byte]! - 255 * deepened(byte / 255, above))).toBeLessThanOrEqual(0.5);
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
  expect(left([0, 254, 255, 255], [0, 254, 255, 255])).toEqual([0, 0, 0, 0]);
  expect(left([0, 120, 255, 255], [0, 100, 255, 255])).toEqual([0, 20, 0, 0]);
  expect(left([0, 100, 255, 255], [0, 200, 255, 255])).toEqual([0, 0, 0, 0]);
  // The hole ends inside of the plate: 255 − 100.
  expect(left([255, 255, 255, 255], [0, 100, 255, 255])).toEqual([255, 155, 0, 0]);
  // And a hole that is a tint takes its share of the edge.
  expect(left([0, 100, 255, 255], [0, 100, 100, 100])).toEqual([0, 61, 155, 155]);
  // 200 · 55 / 255 = 43.1.
  expect(left([0, 200, 255, 255], [0, 200, 200, 200])).toEqual([0, 43, 55, 55]);
  // Dots of a tint fall beside the edge as well as inside of it: 150 · 155 / 255 = 91.2.
  expect(left([150, 150, 150, 150], [0, 100, 255, 255])).toEqual([150, 91, 0, 0]);
});

describe("the stage", () => {
  const source = (plate: number): StageNode => ({ stage: "extract", takes: [], plate });
  const stage = (...knockouts: KnockoutPlan[]) =>
    knockout(new Map(["base", "black", "blue"].map((name, plate) => [name, source(plate)])), {
      ...EMPTY_PLAN,
      knockouts,
    });
  /** The base of one row at a pixel to a millimetre, knocked out by the others. */
  const base = (rows: readonly (readonly number[])[], ...knockouts: KnockoutPlan[]) => [
    ...madeOf(
      stage(...knockouts).get("base")!,
      rows.map((row) => Uint8Array.from(row)),
      { width: rows[0]!.length, height: 1, pixelsPerMm: 1 },
    ),
  ];
  const by = (where: string, rest: Partial<KnockoutPlan> = {}) => ({
    from: "base",
    where,
    choke: 0,
    ...rest,
  });

  it("leaves a plate that nothing knocks out as the node that it was", () => {
    const plates = stage(by("black"));
    expect([plates.get("black"), plates.get("blue")]).toEqual([source(1), source(2)]);
    expect(plates.get("base")!.takes).toEqual([source(0), source(1)]);
    // Where another ends at its edge is looked at in the pixels around.
    expect(reachOf(plates.get("base")!, 10)).toBe(1);
    expect(reachOf(stage(by("black", { above: 0.5 })).get("base")!, 10)).toBe(1);
  });

  it("knocks out by all that are named, of each what lies above its tone", () => {
    const rows = [
      [255, 255, 255, 200],
      [0, 255, 128, 51],
      [0, 0, 51, 51],
    ];
    expect(base(rows, by("black"))).toEqual([255, 0, 127, 160]);
    // 127 · 204 / 255; 160 · 204 / 255, both rounded once: 101.6 and 128.
    expect(base(rows, by("black"), by("blue"))).toEqual([255, 0, 102, 128]);
    // (128 − 51) / (255 − 51) = 0.377 is knocked out.
    expect(base(rows, by("black", { above: 0.2 }))).toEqual([255, 0, 159, 200]);
    expect(base(rows, by("black", { above: 1 }))).toEqual([255, 0, 255, 200]);
  });

  it("draws a hole's edge in where the plate stands beside it, and nowhere else", () => {
    const black = [0, 0, 255, 255, 255, 255, 255, 0, 0];
    const choked = (left: number) => {
      const rows = [Array.from({ length: 9 }, (_, x) => (x < 2 ? left : 255)), black];
      const tall = rows.map((row) => Uint8Array.from([...row, ...row, ...row]));
      const made = madeOf(stage(by("black", { choke: 1 })).get("base")!, tall, {
        width: 9,
        height: 3,
        pixelsPerMm: 1,
      });
      return [...made.subarray(9, 18)];
    };
    expect(choked(255)).toEqual([255, 255, 255, 0, 0, 0, 255, 255, 255]);
    expect(choked(0)).toEqual([0, 0, 0, 0, 0, 0, 255, 255, 255]);
    // The spread of what is left: 20 pixels and one for its brush, one each for the edges that it shares with the hole
    // and for what is solid; and one for the edges that the choked hole shares.
    expect(reachOf(stage(by("black", { choke: 2, above: 0.5 })).get("base")!, 10)).toBe(21 + 3);
  });

  it("has a name for each thing that is done, which keys tell apart", () => {
    const names = (node: StageNode): string[] => [node.stage, ...node.takes.flatMap(names)];
    const hole = stage(by("black", { choke: 1, above: 0.5 })).get("base")!;
    const deep = ["deep", "extract"];
    expect(names(hole)).toEqual([
      ...["knockout", "extract", "hole", ...deep, "choke", ...deep],
      ...["spread", "solid", "knockout", "extract", ...deep],
    ]);
    expect(hole.takes[1]!.takes[0]).toMatchObject({ part: [0.5] });
  });
});

it("leaves a choked hole whole where nothing is near, and no less than choked", () => {
  const out = new Uint8Array(5);
  const [whole, choked, near] = [
    [255, 255, 255, 100, 200],
    [0, 255, 0, 0, 120],
    [0, 255, 155, 0, 255],
  ].map((row) => Uint8Array.from(row));
  widenHole(whole!, choked!, near!, out);
  expect([...out]).toEqual([255, 255, 100, 100, 120]);
});
