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
  edges: Edges | Float64Array,
  others: Edges | Float64Array,
  extent: Extent,
  around: { readonly x: number; readonly y: number },
  reach: number,
): Omit<Shift, "unmoved"> | undefined {
  let found: Omit<Shift, "unmoved"> | undefined;
  for (let y = around.y - reach; y <= around.y + reach; y++)
    for (let x = around.x - reach; x <= around.x + reach; x++) {
      const match = correlation(edges, others, extent, x, y);
      const nearer = Math.hypot(x, y) < Math.hypot(found?.x ?? 0, found?.y ?? 0);
      if (!found || match > found.match + 1e-9 || (Math.abs(match - found.match) <= 1e-9 && nearer))
        found = { x, y, match };
    }
  return found && found.match > 0 ? found : undefined;
}

/** Of edges with what others have `x` to the left and `y` above: 1 where they are alike. */
export function correlation(
  edges: ArrayLike<number>,
  others: ArrayLike<number>,
  { width, height }: Extent,
  x: number,
  y: number,
): number {
  let both = 0;
  let own = 0;
  let their = 0;
  for (let row = Math.max(0, y); row < Math.min(height, height + y); row++)
    for (let column = Math.max(0, x); column < Math.min(width, width + x); column++) {
      const a = edges[row * width + column]!;
      const b = others[(row - y) * width + column - x]!;
      both += a * b;
      own += a * a;
      their += b * b;
    }
  return own > 0 && their > 0 ? both / Math.sqrt(own * their) : 0;
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
