import fc from "fast-check";
import { expect, it } from "vitest";
import { RegionMask } from "../../../server/engine/adjust/region.ts";
import type { Point, Region } from "../../../server/engine/plan.ts";
import { holds } from "../../property.ts";

/** The weights of a picture of `size` × `size` pixels, taken everywhere, not only in the box. */
function weights(region: Region, size: number, pixelsPerMm = 1): number[][] {
  const mask = new RegionMask(region, { width: size, height: size }, pixelsPerMm);
  return Array.from({ length: size }, (_, y) => Array.from({ length: size }, (_, x) => mask.weight(x, y)));
}

const area = (rows: readonly (readonly number[])[]) => rows.flat().reduce((sum, weight) => sum + weight, 0);

const rectangle = (from: Point, to: Point, feather = 0): Region => ({
  shape: "rectangle",
  from,
  to,
  feather,
});
const polygon = (points: readonly Point[], feather = 0): Region => ({ shape: "polygon", points, feather });
const ellipse = (centre: Point, radii: Point, feather = 0): Region => ({
  shape: "ellipse",
  centre,
  radii,
  feather,
});

it("takes a rectangle's pixels whole and its neighbours' not at all", () => {
  expect(weights(rectangle([1, 1], [3, 2]), 4)).toEqual([
    [0, 0, 0, 0],
    [0, 1, 1, 0],
    [0, 0, 0, 0],
    [0, 0, 0, 0],
  ]);
});

it("takes a pixel by half where an edge runs through its centre", () => {
  expect(weights(rectangle([1.5, 0], [3, 4]), 4)[1]).toEqual([0, 0.5, 1, 0]);
});

it("takes a pixel by the share of it that an edge without feather covers", () => {
  expect(weights(rectangle([1.25, 0], [2.75, 4]), 4)[1]).toEqual([0, 0.75, 0.75, 0]);
});

it("takes a rectangle's corners in any order", () => {
  const seen = [
    rectangle([2, 3], [11, 7]),
    rectangle([11, 7], [2, 3]),
    rectangle([2, 7], [11, 3]),
    rectangle([11, 3], [2, 7]),
  ].map((region) => weights(region, 14));
  expect(area(seen[0])).toBe(9 * 4);
  for (const other of seen) expect(other).toEqual(seen[0]);
});

it("turns millimetres into pixels", () => {
  // 2.5–7.5 mm at 4 px/mm are pixels 10–30.
  const seen = weights(rectangle([2.5, 2.5], [7.5, 7.5]), 40, 4);
  expect(area(seen)).toBe(20 * 20);
  expect([seen[10][9], seen[10][10], seen[29][29], seen[30][29]]).toEqual([0, 1, 1, 0]);
});

// Closed formulas: triangle by the shoelace formula, ellipse πab; within 1 %.
it("covers a triangle's area", () => {
  // ½ · |20·(90 − 60) + 100·(60 − 10) + 45·(10 − 90)| = ½ · |600 + 5000 − 3600| = 1000
  const triangle = polygon([
    [20, 10],
    [100, 90],
    [45, 60],
  ]);
  expect(area(weights(triangle, 110)) / 1000).toBeCloseTo(1, 2);
});

it("covers an ellipse's area", () => {
  expect(area(weights(ellipse([50, 40], [35, 20]), 100)) / (Math.PI * 35 * 20)).toBeCloseTo(1, 2);
  expect(area(weights(ellipse([12, 12], [10, 5]), 100, 4)) / (Math.PI * 40 * 20)).toBeCloseTo(1, 2);
});

it("covers the same area whatever the feather, half of which lies on each side", () => {
  // Of a rectangle, up to its corners: a quarter circle's worth less, under 1 % here.
  expect(area(weights(rectangle([20, 20], [80, 80], 6), 100)) / 3600).toBeCloseTo(1, 2);
});

it("leaves out what a self-crossing outline goes round twice (even-odd)", () => {
  // A five-pointed star drawn in one go: its middle is a hole.
  const star = polygon(
    [0, 2, 4, 1, 3].map((k) => {
      const turn = (2 * Math.PI * k) / 5;
      return [50 + 45 * Math.sin(turn), 50 - 45 * Math.cos(turn)];
    }),
  );
  const seen = weights(star, 100);
  expect(seen[50][50]).toBe(0);
  // Up the spike at the top.
  expect(seen[20][50]).toBe(1);
  // Between two spikes.
  expect(seen[88][50]).toBe(0);
});

it("takes both halves of a figure of eight", () => {
  const eight = polygon([
    [2, 2],
    [18, 18],
    [18, 2],
    [2, 18],
  ]);
  const seen = weights(eight, 20);
  expect([seen[10][4], seen[10][16], seen[4][10], seen[16][10]]).toEqual([1, 1, 0, 0]);
});

it("takes an outline drawn in either direction, from any corner", () => {
  const points: Point[] = [
    [3, 2],
    [25, 6],
    [19, 24],
    [8, 14],
  ];
  const wanted = weights(polygon(points), 30).flat();
  for (const other of [[...points].reverse(), [...points.slice(2), ...points.slice(0, 2)]]) {
    for (const [i, weight] of weights(polygon(other), 30).flat().entries()) {
      expect(weight).toBeCloseTo(wanted[i], 12);
    }
  }
});

it("takes a polygon of a rectangle's corners as that rectangle, feather inside and out", () => {
  const corners: Point[] = [
    [8, 6],
    [24, 6],
    [24, 20],
    [8, 20],
  ];
  const wanted = weights(rectangle([8, 6], [24, 20], 5), 32).flat();
  for (const [i, weight] of weights(polygon(corners, 5), 32).flat().entries()) {
    expect(weight).toBeCloseTo(wanted[i], 9);
  }
});

it("takes an ellipse of equal radii as a circle, feather inside and out", () => {
  const seen = weights(ellipse([20, 20], [10, 10], 8), 40);
  for (const [y, row] of seen.entries()) {
    for (const [x, weight] of row.entries()) {
      // The smooth step of the true distance to the circle, over 4 px on each side.
      const t = Math.min(1, Math.max(0, 0.5 - (Math.hypot(x - 19.5, y - 19.5) - 10) / 8));
      expect(weight, `${x}, ${y}`).toBeCloseTo(t * t * (3 - 2 * t), 9);
    }
  }
});

it("weighs half on a feathered edge and fades alike on both sides of it", () => {
  for (const region of [
    rectangle([20.5, 0.5], [60, 60], 10),
    polygon(
      [
        [20.5, 0],
        [60, 0],
        [60, 60],
        [20.5, 60],
      ],
      10,
    ),
    ellipse([40.5, 30.5], [20, 20], 10),
  ]) {
    const row = weights(region, 64)[30];
    // The edge runs through the centre of pixel 20.
    expect(row[20]).toBeCloseTo(0.5, 12);
    for (let d = 1; d < 5; d++) expect(row[20 - d] + row[20 + d]).toBeCloseTo(1, 12);
    expect([row[15], row[25]]).toEqual([0, 1]);
    // A quarter of the fade inside: smooth step of 0.75 = 0.84375.
    expect(row[23] - row[22]).toBeGreaterThan(0);
  }
});

it("fades by the smooth step", () => {
  // Feather 8: at 2 px inside of the edge t = 0.75, 0.75² · (3 − 1.5) = 0.84375; at 2 px outside 0.15625.
  const row = weights(rectangle([20.5, 0], [60, 60], 8), 64)[30];
  expect([row[18], row[22]]).toEqual([0.15625, 0.84375]);
});

it("takes the feather in millimetres", () => {
  // Feather 2 mm at 4 px/mm is 8 px, the case above; the edge at 5.125 mm is at 20.5 px.
  const row = weights(rectangle([5.125, 0], [15, 15], 2), 64, 4)[30];
  expect([row[18], row[22]]).toEqual([0.15625, 0.84375]);
});

it("fades a flat ellipse out within half the feather, also beyond its tips", () => {
  const seen = weights(ellipse([100, 100], [50, 2], 40), 200);
  // Half the feather is 20 px: past x = 170 and y = 122 nothing is left.
  const beyond = seen.flatMap((row, y) => row.filter((_, x) => x > 170 || x < 29 || y > 122 || y < 77));
  expect(beyond.length).toBeGreaterThan(30_000);
  expect(beyond.filter((weight) => weight !== 0)).toEqual([]);
});

it("weighs a flat ellipse no more inside than a feathered edge that near allows", () => {
  // No pixel is farther than 2 px from the edge: t ≤ 0.5 + 2 / 40, smooth step of 0.55 = 0.57475.
  const seen = weights(ellipse([100.5, 100.5], [50, 2], 40), 200);
  expect(Math.max(...seen.flat())).toBeLessThanOrEqual(0.57476);
});

it("takes nothing where a shape has no extent", () => {
  expect(area(weights(ellipse([10, 10], [0, 0]), 20))).toBeLessThan(0.5);
  expect(
    weights(rectangle([3, 3], [3, 3]), 8)
      .flat()
      .every((weight) => weight === 0),
  ).toBe(true);
});

it("weighs a part of a print as the whole print there, and has its box in the part's own pixels", () => {
  const shapes = [rectangle([4.3, 6.2], [14.1, 16.7], 3), ellipse([11, 9], [8, 3], 2)];
  for (const region of shapes) {
    const whole = new RegionMask(region, { width: 30, height: 30 }, 1.5);
    const part = new RegionMask(region, { width: 12, height: 10, origin: { x: 7, y: 9 } }, 1.5);
    for (let y = 0; y < 10; y++)
      for (let x = 0; x < 12; x++) expect(part.weight(x, y)).toBe(whole.weight(x + 7, y + 9));
    const { x0, y0, x1, y1 } = whole.box;
    const within = (v: number, most: number) => Math.min(most, Math.max(0, v));
    expect(part.box).toEqual({
      x0: within(x0 - 7, 12),
      y0: within(y0 - 9, 10),
      x1: within(x1 - 7, 12),
      y1: within(y1 - 9, 10),
    });
  }
  // One that ends and one that begins within the part.
  const ends = (from: Point, to: Point) =>
    new RegionMask(rectangle(from, to), { width: 12, height: 10, origin: { x: 7, y: 9 } }, 1).box;
  expect(ends([0, 0], [10, 14])).toEqual({ x0: 0, y0: 0, x1: 4, y1: 6 });
  expect(ends([10, 14], [40, 40])).toEqual({ x0: 2, y0: 4, x1: 12, y1: 10 });
});

const place = fc.tuple(
  fc.integer({ min: -10, max: 50 }),
  fc.integer({ min: -10, max: 50 }),
) as fc.Arbitrary<Point>;
const feathers = fc.double({ min: 0, max: 25, noNaN: true });
const regions: fc.Arbitrary<Region> = fc.oneof(
  fc.tuple(place, place, feathers).map(([from, to, feather]) => rectangle(from, to, feather)),
  fc
    .tuple(fc.array(place, { minLength: 3, maxLength: 8 }), feathers)
    .map(([points, feather]) => polygon(points, feather)),
  fc
    .tuple(place, fc.tuple(fc.integer({ min: 0, max: 40 }), fc.integer({ min: 0, max: 40 })), feathers)
    .map(([centre, radii, feather]) => ellipse(centre, radii, feather)),
);

it("touches no pixel outside of its box, and weighs 0–1 inside", () => {
  holds(
    fc.property(regions, fc.constantFrom(0.5, 1, 1.7), (region, pixelsPerMm) => {
      const [width, height] = [40, 30];
      const mask = new RegionMask(region, { width, height }, pixelsPerMm);
      const { x0, y0, x1, y1 } = mask.box;
      const outside: number[] = [];
      for (let y = 0; y < height; y++) {
        for (let x = 0; x < width; x++) {
          const weight = mask.weight(x, y);
          if (!(weight >= 0 && weight <= 1)) throw new Error(`weight ${weight} at ${x}, ${y}`);
          if (x < x0 || x >= x1 || y < y0 || y >= y1) outside.push(weight);
        }
      }
      expect(Math.max(0, ...outside)).toBe(0);
    }),
    300,
  );
});

it("keeps its box inside of the picture", () => {
  holds(
    fc.property(regions, (region) => {
      const { x0, y0, x1, y1 } = new RegionMask(region, { width: 20, height: 10 }, 1).box;
      for (const x of [x0, x1]) expect(x === Math.min(20, Math.max(0, Math.round(x)))).toBe(true);
      for (const y of [y0, y1]) expect(y === Math.min(10, Math.max(0, Math.round(y)))).toBe(true);
    }),
  );
});

it("fades a flat ellipse by the true distance to its edge", () => {
  // Radii 8 × 2 mm and a feather of 4 mm at 10 px/mm; the distance to the nearest of 4000 points of the edge.
  const [rx, ry] = [80, 20];
  const edge = Array.from({ length: 4000 }, (_, i) => {
    const turn = (i / 4000) * 2 * Math.PI;
    return [rx * Math.cos(turn), ry * Math.sin(turn)] as const;
  });
  const mask = new RegionMask(ellipse([12, 6], [8, 2], 4), { width: 240, height: 120 }, 10);
  for (let y = 0; y < 120; y += 7)
    for (let x = 1; x < 240; x += 7) {
      const [px, py] = [x + 0.5 - 120, y + 0.5 - 60];
      let least = Number.POSITIVE_INFINITY;
      for (const [ex, ey] of edge) least = Math.min(least, (ex - px) ** 2 + (ey - py) ** 2);
      const signed = ((px / rx) ** 2 + (py / ry) ** 2 <= 1 ? -1 : 1) * Math.sqrt(least);
      const t = Math.min(1, Math.max(0, 0.5 - signed / 40));
      expect(Math.abs(mask.weight(x, y) - t * t * (3 - 2 * t)), `${x}, ${y}`).toBeLessThan(0.01);
    }
});

it("knows how far a point on an ellipse's long axis lies from its edge, and the centre", () => {
  const distances = new RegionMask(ellipse([10.5, 10.5], [8, 2], 18), { width: 21, height: 21 }, 1);
  // At the centre the edge is 2 away, 2 / 18 of the fade beyond its middle.
  const t = 0.5 + 2 / 18;
  expect(distances.weight(10, 10)).toBeCloseTo(t * t * (3 - 2 * t), 10);
  // 3 from it the nearest point is at 64 · 3 / 60 = 3.2 along the axis, 2 √(1 − 0.4²) = 1.83303 beside it: 1.84391 away.
  const v = 0.5 + 1.84391 / 18;
  expect(distances.weight(13, 10)).toBeCloseTo(v * v * (3 - 2 * v), 5);
  // Beyond the evolute, 60 / 8 from the centre, the tip is nearest: 0.25 away of 7.75.
  const nearTip = new RegionMask(ellipse([10.75, 10.5], [8, 2], 18), { width: 21, height: 21 }, 1);
  const u = 0.5 + 0.25 / 18;
  expect(nearTip.weight(18, 10)).toBeCloseTo(u * u * (3 - 2 * u), 10);
});

it("knows how far a point lies from an ellipse that is thinner than a pixel, inside and out", () => {
  const weightAt = (cy: number) =>
    new RegionMask(ellipse([10.5, cy], [8, 0.4]), { width: 21, height: 21 }, 1).weight(10, 10);
  // Of the pixel's centre at 10.5: 0.4 inside, and 0.2 outside.
  expect(weightAt(10.5)).toBeCloseTo(0.9, 9);
  expect(weightAt(9.9)).toBeCloseTo(0.3, 9);
});
