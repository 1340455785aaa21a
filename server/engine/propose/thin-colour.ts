import { distance, type Planes, type Rgb, rgbOf, type Yuv, yuvOf } from "../areas/planes.ts";

/** Colours that only lines too thin for a window have, at most. */
export const MOST_THIN = 4;
const THIN_CELL = 24;
/** Steps of a byte within which pixels side by side are one stroke's. */
const STROKE = 16;

/** The colour of strokes that no known colours explain: what most of their middles have, where they differ most. */
export function thinColour(
  { width, height, y, u, v }: Planes,
  strange: readonly number[],
  known: readonly { readonly rgb: Rgb }[],
): Rgb | undefined {
  const palette = known.map(({ rgb }) => yuvOf(rgb));
  const at = (i: number): Yuv => [y[i]!, u[i]!, v[i]!];
  const far = (i: number) => Math.min(...palette.map((p) => distance(p, at(i))));
  // The farthest pixel alone would be the noisiest.
  const strokeAt = (i: number): Yuv => {
    const own = at(i);
    const [x, row] = [i % width, Math.floor(i / width)];
    const sum: [number, number, number] = [0, 0, 0];
    let n = 0;
    for (let b = Math.max(0, row - 1); b <= Math.min(height - 1, row + 1); b++)
      for (let a = Math.max(0, x - 1); a <= Math.min(width - 1, x + 1); a++) {
        const beside = at(b * width + a);
        if (distance(beside, own) > STROKE) continue;
        for (let c = 0; c < 3; c++) sum[c]! += beside[c]!;
        n++;
      }
    return [sum[0] / n, sum[1] / n, sum[2] / n];
  };
  const heaps = new Map<string, { n: number; sum: [number, number, number] }>();
  for (const i of strange) {
    const [x, row] = [i % width, Math.floor(i / width)];
    let middle = i;
    let most = far(i);
    for (let b = Math.max(0, row - 2); b <= Math.min(height - 1, row + 2); b++)
      for (let a = Math.max(0, x - 2); a <= Math.min(width - 1, x + 2); a++) {
        const d = far(b * width + a);
        if (d <= most) continue;
        most = d;
        middle = b * width + a;
      }
    const colour = strokeAt(middle);
    const key = colour.map((value) => Math.round(value / THIN_CELL)).join();
    const heap = heaps.get(key) ?? { n: 0, sum: [0, 0, 0] };
    heap.n++;
    for (let c = 0; c < 3; c++) heap.sum[c]! += colour[c]!;
    heaps.set(key, heap);
  }
  const [heap] = [...heaps].sort((p, q) => q[1].n - p[1].n || (p[0] < q[0] ? -1 : 1));
  if (!heap || heap[1].n < 0.15 * strange.length) return undefined;
  const { n, sum } = heap[1];
  return rgbOf([sum[0] / n, sum[1] / n, sum[2] / n]);
}
