/**
 * Leaves of a mask (non-zero bytes) only what a square of `side` pixels fits into: lines and specks thinner than that
 * go to 0. Works in place.
 */
export function openMask(mask: Uint8Array, width: number, height: number, side: number): void {
  if (side <= 1) return;
  // Squares that fit, by their lower right corner: the largest square that ends at each pixel (dynamic programming).
  const fits = new Uint8Array(mask.length);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const at = y * width + x;
      if (mask[at] === 0) continue;
      const least =
        x === 0 || y === 0 ? 0 : Math.min(fits[at - 1]!, fits[at - width]!, fits[at - width - 1]!);
      fits[at] = Math.min(side, least + 1);
    }
  }
  mask.fill(0);
  for (let y = side - 1; y < height; y++) {
    for (let x = side - 1; x < width; x++) {
      if (fits[y * width + x]! < side) continue;
      for (let row = y - side + 1; row <= y; row++)
        mask.fill(1, row * width + x - side + 1, row * width + x + 1);
    }
  }
}
