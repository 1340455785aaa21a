import { chromaOf, type Lab } from "../colour/cielab.ts";
import { fastLab } from "../colour/fast-lab.ts";
import type { Picture } from "../raster.ts";

/** A colour of a picture and its share of what the picture covers, 0–1. */
export interface WeightedColour {
  readonly lab: Lab;
  readonly weight: number;
}

/** Steps of an sRGB axis in the histogram. */
const BITS = 5;
const ROUNDS = 8;
/** A colour so rare counts as if it had this share: small things are seen too. */
const LEAST_WEIGHT = 0.0004;

/**
 * At most `most` colours that stand for the picture's: its histogram's cells gathered around centres (k-means in
 * CIELAB, from the colours farthest apart). `kept` is 0 where a pixel does not print. Largest share first.
 */
export function picturesColours({ data }: Picture, kept: Uint8Array, most: number): WeightedColour[] {
  const cells = new Float64Array(4 << (3 * BITS));
  const shift = 8 - BITS;
  for (let i = 0, at = 0; i < kept.length; i++, at += 4) {
    if (kept[i] === 0 || data[at + 3]! < 128) continue;
    const [r, g, b] = [data[at]!, data[at + 1]!, data[at + 2]!];
    const cell = 4 * ((((r >> shift) << BITS) | (g >> shift)) * (1 << BITS) + (b >> shift));
    cells[cell]!++;
    cells[cell + 1]! += r;
    cells[cell + 2]! += g;
    cells[cell + 3]! += b;
  }
  const lab = new Float64Array(3);
  const points: Point[] = [];
  let total = 0;
  for (let cell = 0; cell < cells.length; cell += 4) {
    const n = cells[cell]!;
    if (n === 0) continue;
    const byte = (c: number) => Math.round(cells[cell + c]! / n);
    fastLab(byte(1), byte(2), byte(3), lab);
    points.push({ at: [lab[0]!, lab[1]!, lab[2]!], n });
    total += n;
  }
  if (total === 0) return [];
  return gathered(points, most)
    .map(({ at: [L, a, b], n }) => ({ lab: { L, a, b }, weight: n / total }))
    .sort((x, y) => y.weight - x.weight || x.lab.L - y.lab.L || x.lab.a - y.lab.a)
    .map(({ lab: colour, weight }) => ({ lab: colour, weight: Math.max(weight, LEAST_WEIGHT) }));
}

interface Point {
  readonly at: readonly [number, number, number];
  readonly n: number;
}

function gathered(points: readonly Point[], most: number): Point[] {
  if (points.length <= most) return [...points];
  // Farthest apart, the larger the sooner: what is rare and far has a centre of its own, what is noise has not.
  const far = new Float64Array(points.length).fill(Number.POSITIVE_INFINITY);
  let centres: [number, number, number][] = [];
  let next = points.reduce((best, { n }, i) => (n > points[best]!.n ? i : best), 0);
  while (centres.length < most) {
    const centre = points[next]!.at;
    centres.push([...centre]);
    let best = 0;
    let bestScore = -1;
    for (const [i, point] of points.entries()) {
      far[i] = Math.min(far[i]!, distance(point.at, centre));
      const score = far[i]! * point.n ** 0.3;
      if (score > bestScore) {
        bestScore = score;
        best = i;
      }
    }
    if (bestScore <= 0) break;
    next = best;
  }
  let counts: number[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    const sums = centres.map(() => [0, 0, 0, 0] as [number, number, number, number]);
    for (const { at, n } of points) {
      let nearest = 0;
      let least = Number.POSITIVE_INFINITY;
      for (let c = 0; c < centres.length; c++) {
        const d = distance(at, centres[c]!);
        if (d < least) {
          least = d;
          nearest = c;
        }
      }
      const sum = sums[nearest]!;
      for (let k = 0; k < 3; k++) sum[k]! += n * at[k]!;
      sum[3] += n;
    }
    centres = sums.map(([x, y, z, n], c) => (n > 0 ? [x / n, y / n, z / n] : centres[c]!));
    counts = sums.map(([, , , n]) => n);
  }
  return centres.map((at, c) => ({ at, n: counts[c]! })).filter(({ n }) => n > 0);
}

function distance(p: readonly [number, number, number], q: readonly [number, number, number]): number {
  return (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2;
}

/** Below this C*ab a colour is seen as a grey. Common practice, no source. */
const GREY = 6;

/** Whether all but a hair of the colours are greys. */
export function isGreyscale(colours: readonly WeightedColour[]): boolean {
  let coloured = 0;
  let all = 0;
  for (const { lab, weight } of colours) {
    all += weight;
    if (chromaOf(lab.a, lab.b) > GREY) coloured += weight;
  }
  return coloured <= 0.002 * all;
}
