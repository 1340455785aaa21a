import { type Lab, labFromBytes } from "../../server/engine/colour/cielab.ts";
import type { Picture } from "../../server/engine/raster.ts";

/**
 * Eight inks for a picture, as a separator would have them mixed: the centres of its colours (k-means in CIELAB from
 * the colours farthest apart, black always the first), then taken apart from one another, chroma by 1.4 and lightness
 * by 1.2, so that halftones reach what lies between. No choice of Platewright's own; the same for every method.
 */
export function inksFor({ data, width, height }: Picture): Lab[] {
  const points: Point[] = [];
  const count = width * height;
  for (let i = 0; i < count; i += Math.max(1, Math.floor(count / 6000))) {
    if (data[i * 4 + 3]! < 128) continue;
    const { L, a, b } = labFromBytes(data[i * 4]!, data[i * 4 + 1]!, data[i * 4 + 2]!);
    points.push([L, a, b]);
  }
  const centres: Point[] = [[3, 0, 0]];
  const white: Point = [98, 0, 0];
  while (centres.length < 8) {
    const from = (p: Point) => Math.min(...[white, ...centres].map((c) => distance(p, c)));
    centres.push(points.reduce((far, p) => (from(p) > from(far) ? p : far)));
  }
  for (let round = 0; round < 20; round++) {
    const sums = centres.map(() => [0, 0, 0, 0] as [number, number, number, number]);
    for (const p of points) {
      let nearest = 0;
      for (let c = 1; c < centres.length; c++) {
        if (distance(p, centres[c]!) < distance(p, centres[nearest]!)) nearest = c;
      }
      const sum = sums[nearest]!;
      for (let k = 0; k < 3; k++) sum[k]! += p[k]!;
      sum[3]++;
    }
    for (const [c, [L, a, b, n]] of sums.entries()) if (n > 0) centres[c] = [L / n, a / n, b / n];
  }
  const middle = centres.reduce((sum, [L]) => sum + L, 0) / centres.length;
  return centres
    .map(
      ([L, a, b]): Lab => ({
        L: Math.min(96, Math.max(4, middle + (L - middle) * 1.2)),
        a: a * 1.4,
        b: b * 1.4,
      }),
    )
    .sort((x, y) => y.L - x.L);
}

type Point = [L: number, a: number, b: number];

function distance(p: Point, q: Point): number {
  return (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2;
}
