/**
 * Halftones mix by area. Murray–Davies, and Yule–Nielsen's factor n for light that spreads in the ground between dots
 * (Westland & Ripamonti 2004, eqs 9.1–9.4); Demichel's areas of every overprint of independent dots (§9.4), which
 * weigh Neugebauer's primaries.
 */

/** Reflectance of a halftone of area a: solid reflects `solid`, paper `paper`; n = 1 is Murray–Davies. */
export function halftone(a: number, solid: number, paper: number, n: number): number {
  return power(a * root(solid, n) + (1 - a) * root(paper, n), n);
}

/** The area of a halftone that reflects R: the inverse of `halftone` in its first argument. */
export function dotArea(R: number, solid: number, paper: number, n: number): number {
  const white = root(paper, n);
  return (white - root(R, n)) / (white - root(solid, n));
}

/** R^(1/n); nothing reflects less than nothing. */
export function root(R: number, n: number): number {
  return n === 1 ? R : Math.max(0, R) ** (1 / n);
}

/** x to the power n; the inverse of `root`. */
export function power(x: number, n: number): number {
  return n === 1 ? x : Math.max(0, x) ** n;
}

/**
 * Demichel: the share of the ground that each overprint covers. `out[mask]`, 2^k numbers, belongs to the inks whose
 * bits are set in `mask`; they sum to 1.
 */
export function demichel(
  areas: ArrayLike<number>,
  out: Float64Array = new Float64Array(2 ** areas.length),
): Float64Array {
  out[0] = 1;
  for (let i = 0, known = 1; i < areas.length; i++, known *= 2) {
    const a = areas[i]!;
    for (let mask = 0; mask < known; mask++) {
      out[known + mask] = out[mask]! * a;
      out[mask]! *= 1 - a;
    }
  }
  return out;
}
