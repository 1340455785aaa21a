import type { Extent, Picture, Tones } from "../raster.ts";

/** Where edges are, and how strong: a byte a pixel. */
export type Edges = Uint8Array;

/** Steps of a byte that make an edge; less is a gradient, or noise. */
const EDGE = 40;

/** The steps of a plate's tones to the right and down, the greater of both; 0 where there is none to speak of. */
export function edgesOfTones(tones: Tones, { width, height }: Extent): Edges {
  const out = new Uint8Array(width * height);
  for (let y = 0; y < height - 1; y++)
    for (let x = 0, i = y * width; x < width - 1; x++, i++) {
      const step = Math.max(Math.abs(tones[i + 1]! - tones[i]!), Math.abs(tones[i + width]! - tones[i]!));
      if (step >= EDGE) out[i] = step;
    }
  return out;
}

/** The same of a picture: of red, green, blue or opacity, whichever steps most. */
export function edgesOfPicture({ data, width, height }: Picture): Edges {
  const out = new Uint8Array(width * height);
  const row = 4 * width;
  for (let y = 0; y < height - 1; y++)
    for (let x = 0, i = y * width; x < width - 1; x++, i++) {
      let most = 0;
      for (let at = 4 * i; at < 4 * i + 4; at++)
        most = Math.max(most, Math.abs(data[at + 4]! - data[at]!), Math.abs(data[at + row]! - data[at]!));
      if (most >= EDGE) out[i] = most;
    }
  return out;
}

/** How far edges lie from where others have them, in pixels: right and down are positive. */
export interface Shift {
  readonly x: number;
  readonly y: number;
  /** Correlation there, 0–1, and where nothing is moved. */
  readonly match: number;
  readonly unmoved: number;
}

/** Pixels of a side that are looked at together before it is looked closer. */
const COARSE = 4;

/**
 * The shift, of at most `reach` pixels each way, by which `edges` fit best on `others`. Found in pixels four times as
 * large, then one by one around it. Undefined where either has no edges.
 */
export function shiftOf(edges: Edges, others: Edges, extent: Extent, reach: number): Shift | undefined {
  const small = { width: Math.ceil(extent.width / COARSE), height: Math.ceil(extent.height / COARSE) };
  const few = fewer(edges, extent, small);
  const fewOthers = fewer(others, extent, small);
  const coarse = best(few, fewOthers, small, { x: 0, y: 0 }, Math.ceil(reach / COARSE));
  if (!coarse) return undefined;
  const near = { x: coarse.x * COARSE, y: coarse.y * COARSE };
  const fine = best(edges, others, extent, near, COARSE)!;
  return { ...fine, unmoved: correlation(edges, others, extent, 0, 0) };
}

function best(
  edges: ArrayLike<number>,
  others: ArrayLike<number>,
  extent: Extent,
  around: { readonly x: number; readonly y: number },
  reach: number,
): Omit<Shift, "unmoved"> | undefined {
  let found: Omit<Shift, "unmoved"> | undefined;
  const at = placesOf(edges);
  for (let y = around.y - reach; y <= around.y + reach; y++)
    for (let x = around.x - reach; x <= around.x + reach; x++) {
      const match = correlation(edges, others, extent, x, y, at);
      const more = found ? match - found.match : Number.POSITIVE_INFINITY;
      // Of those that fit equally well the nearest.
      if (!found || more > 1e-9 || (more >= -1e-9 && Math.hypot(x, y) < Math.hypot(found.x, found.y)))
        found = { x, y, match };
    }
  return found && found.match > 0 ? found : undefined;
}

/** Most pixels with edges that are looked at: of more, every second, third, …. */
const MOST_PLACES = 20_000;

/** Pixels that have edges, spread over all of them where there are many. */
function placesOf(edges: ArrayLike<number>): Uint32Array {
  let count = 0;
  for (let i = 0; i < edges.length; i++) if (edges[i]! > 0) count++;
  const step = Math.max(1, Math.ceil(count / MOST_PLACES));
  const at = new Uint32Array(Math.ceil(count / step));
  for (let i = 0, k = 0; i < edges.length; i++) {
    if (edges[i]! === 0) continue;
    if (k % step === 0) at[k / step] = i;
    k++;
  }
  return at;
}

/** Of edges with what others have `x` to the left and `y` above, nothing beyond their ends: 1 where they are alike. */
export function correlation(
  edges: ArrayLike<number>,
  others: ArrayLike<number>,
  { width, height }: Extent,
  x: number,
  y: number,
  at: Uint32Array = placesOf(edges),
): number {
  let both = 0;
  let looked = 0;
  for (const i of at) {
    looked += edges[i]! * edges[i]!;
    const column = (i % width) - x;
    const row = Math.floor(i / width) - y;
    if (column >= 0 && column < width && row >= 0 && row < height)
      both += edges[i]! * others[row * width + column]!;
  }
  if (looked === 0 || squares(others) === 0) return 0;
  // Of all edges as of those that were looked at.
  return (both / looked) * Math.sqrt(squares(edges) / squares(others));
}

const SQUARES = new WeakMap<object, number>();

function squares(of: ArrayLike<number>): number {
  const known = SQUARES.get(of);
  if (known !== undefined) return known;
  let sum = 0;
  for (let i = 0; i < of.length; i++) sum += of[i]! * of[i]!;
  SQUARES.set(of, sum);
  return sum;
}

/** Sums of squares of pixels. */
function fewer(edges: Edges, { width, height }: Extent, small: Extent): Float64Array {
  const out = new Float64Array(small.width * small.height);
  for (let y = 0; y < height; y++) {
    const row = Math.floor(y / COARSE) * small.width;
    for (let x = 0; x < width; x++) out[row + Math.floor(x / COARSE)]! += edges[y * width + x]!;
  }
  return out;
}
