/**
 * A round brush for choke and spread: for each row offset dy = 0…rows−1 (rows below are the mirror image) how far
 * it covers fully, and by how much of a tone the pixels of its rim weigh in.
 *
 * A tone on an edge says how far the edge lies from the pixel's centre: a pixel at distance d from the one in hand
 * moves that one's tone to its own plus d − radius, as an edge over one pixel does (Gustavson & Strand, Anti-aliased
 * Euclidean distance transform, Pattern Recognition Letters 32, 2011, take coverage so). Within radius − 1 a pixel
 * counts fully, from radius + 1 on not at all.
 */
export interface Disc {
  readonly rows: number;
  /** Half width of the fully covered run in each row; −1 where none is. */
  readonly full: Int32Array;
  /** The rim's pixels in each row: offsets dx ≥ 0 and the tone, −254 to 254, that each adds. */
  readonly rim: readonly Rim[];
  /**
   * The rim where it is seen from a midpoint of four pixels, half a pixel off both ways: dx and dy count from the nearest of
   * them on. Only for small brushes, since a slant's pixels lie 0.7 off the normal, which a longer way hardly tells.
   */
  readonly between: readonly Rim[];
}

type Rim = readonly { readonly dx: number; readonly adds: number }[];

const LARGEST_WITH_MIDPOINTS = 4;

/** `radius` in pixels, 0 or more. */
export function disc(radius: number): Disc {
  // A dy of radius + 1 or more adds a whole tone and changes nothing.
  const rows = Math.ceil(radius + 1);
  const full = new Int32Array(rows).fill(-1);
  const rimAt = (dy: number, off: number, most: number, within: (dx: number) => void): Rim => {
    const row: { dx: number; adds: number }[] = [];
    for (let dx = 0; dx < most; dx++) {
      const adds = Math.round(255 * (Math.hypot(dx + off, dy + off) - radius));
      if (adds >= 255) break;
      if (adds <= -255) within(dx);
      else row.push({ dx, adds });
    }
    return row;
  };
  const upTo = (count: number) => Array.from({ length: count }, (_, dy) => dy);
  const rim = upTo(rows).map((dy) =>
    rimAt(dy, 0, rows, (dx) => {
      full[dy] = dx;
    }),
  );
  // None beyond the rows, where they would weigh least.
  const near = radius > LARGEST_WITH_MIDPOINTS ? 0 : rows - 1;
  return { rows, full, rim, between: upTo(near).map((dy) => rimAt(dy, 0.5, near, () => {})) };
}
