import type { Planes, Yuv } from "../areas/planes.ts";

/** Side of the windows that are looked at, in pixels. */
const SIDE = 4;
/** How far the pixels of a calm window are from its mean, root mean square, in steps of a byte. */
const CALM = { clean: 2, noisy: 7 };
/** Clean art's windows are even or hold an edge; noise makes more than this share of the even ones a little uneven. */
const UNEVEN = { from: 0.1, to: 3, share: 0.03 };
/** Cells an axis, of the smallest that are used. */
const AXIS = 160;

/** Steps of a byte around the page's colour that are the page. */
const PAGE = 12;

/** Means of windows without edges in them, counted in cells. */
export interface CalmWindows {
  readonly cells: readonly { readonly at: Yuv; readonly n: number }[];
  readonly calm: number;
  /** Whether the picture was compressed or scanned. */
  readonly noisy: boolean;
}

/** Looks at every window of 4 × 4 pixels that `counts` everywhere; how calm they are is judged beside the page. Means are counted in cells of `cellSide`. */
export function calmWindows(
  planes: Planes,
  counts: Uint8Array,
  page: Yuv | undefined,
  cellSide: number,
): CalmWindows {
  const { width, height } = planes;
  const [y, u, v] = [planes.y, planes.u, planes.v].map((plane) => sums(plane, width, height)) as Sums3;
  const squares = sums(
    planes.y.map((value, i) => value * value + planes.u[i]! ** 2 + planes.v[i]! ** 2),
    width,
    height,
  );
  const held = sums(Float32Array.from(counts), width, height);
  const n = SIDE * SIDE;
  const positions = (width - SIDE + 1) * (height - SIDE + 1);
  if (width < SIDE || height < SIDE) return { cells: [], calm: 0, noisy: false };
  const unrests = new Float32Array(positions).fill(-1);
  let [even, uneven] = [0, 0];
  each(width, height, (x, row, at) => {
    if (boxOf(held, width, x, row) < n) return;
    const [my, mu, mv] = [
      boxOf(y, width, x, row) / n,
      boxOf(u, width, x, row) / n,
      boxOf(v, width, x, row) / n,
    ];
    const variance = boxOf(squares, width, x, row) / n - my * my - mu * mu - mv * mv;
    const unrest = Math.sqrt(Math.max(0, variance));
    unrests[at] = unrest;
    if (page && Math.hypot(my - page[0], mu - page[1], mv - page[2]) < PAGE) return;
    if (unrest >= UNEVEN.to) return;
    even++;
    if (unrest > UNEVEN.from) uneven++;
  });
  const noisy = uneven > UNEVEN.share * even;
  const bound = noisy ? CALM.noisy : CALM.clean;
  const cells = new Map<number, { sum: [number, number, number]; n: number }>();
  let calm = 0;
  each(width, height, (x, row, at) => {
    if (unrests[at]! < 0 || unrests[at]! > bound) return;
    calm++;
    const mean: Yuv = [boxOf(y, width, x, row) / n, boxOf(u, width, x, row) / n, boxOf(v, width, x, row) / n];
    const key =
      (Math.floor(mean[0] / cellSide) * AXIS + Math.floor((mean[1] + 200) / cellSide)) * AXIS +
      Math.floor((mean[2] + 200) / cellSide);
    const cell = cells.get(key) ?? { sum: [0, 0, 0], n: 0 };
    for (let c = 0; c < 3; c++) cell.sum[c]! += mean[c]!;
    cell.n++;
    cells.set(key, cell);
  });
  const found = [...cells].sort((a, b) => b[1].n - a[1].n || a[0] - b[0]);
  return {
    cells: found.map(([, { sum, n: many }]) => ({
      at: [sum[0] / many, sum[1] / many, sum[2] / many],
      n: many,
    })),
    calm,
    noisy,
  };
}

type Sums3 = [Float64Array, Float64Array, Float64Array];

function each(width: number, height: number, visit: (x: number, y: number, at: number) => void): void {
  const across = width - SIDE + 1;
  for (let y = 0; y + SIDE <= height; y++) for (let x = 0; x < across; x++) visit(x, y, y * across + x);
}

/** Sums of all left of and above a corner, (width + 1) × (height + 1). */
function sums(plane: Float32Array, width: number, height: number): Float64Array {
  const out = new Float64Array((width + 1) * (height + 1));
  for (let y = 0; y < height; y++) {
    let row = 0;
    for (let x = 0; x < width; x++) {
      row += plane[y * width + x]!;
      out[(y + 1) * (width + 1) + x + 1] = out[y * (width + 1) + x + 1]! + row;
    }
  }
  return out;
}

function boxOf(table: Float64Array, width: number, x: number, y: number): number {
  const row = width + 1;
  const [top, bottom] = [y * row + x, (y + SIDE) * row + x];
  return table[bottom + SIDE]! - table[bottom]! - table[top + SIDE]! + table[top]!;
}
