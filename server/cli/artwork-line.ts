import type { Artwork } from "../artwork/artwork.ts";

/** Bounds of `--ppi`: below, nothing can be seen; above, no garment shows a difference. */
export const LEAST_PPI = 1;
export const MOST_PPI = 2400;

/** `3600 × 4200 pixels at 300 ppi`. */
export function pixelLine({ picture, ppi }: Artwork): string {
  return `${picture.width} × ${picture.height} pixels at ${Number(ppi.toFixed(1))} ppi`;
}
