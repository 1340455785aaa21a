import { share } from "../../engine/raster.ts";
import type { Size } from "../decoder.ts";

/** Tones as far as a mask shows them: of a picture of its size, or of one tone; undefined for others. */
export function masked(
  tones: Uint8Array,
  own: Size,
  mask: Size & { readonly component: Uint8Array },
): Uint8Array | undefined {
  const { component, width, height } = mask;
  if (tones.length === 1) return component.map((shown) => share(shown, tones[0]!));
  if (own.width !== width || own.height !== height) return undefined;
  return component.map((shown, i) => share(shown, tones[i]!));
}

/** Tones turned as a picture of a page is. */
export function flipped(
  tones: Uint8Array,
  { width, height }: Size,
  { mirrored, upsideDown }: { readonly mirrored: boolean; readonly upsideDown: boolean },
): Uint8Array {
  const out = new Uint8Array(tones.length);
  for (let y = 0; y < height; y++) {
    const row = tones.slice(y * width, (y + 1) * width);
    if (mirrored) row.reverse();
    out.set(row, (upsideDown ? height - 1 - y : y) * width);
  }
  return out;
}

/** Lays one raster upon another, what stands over cut off. */
export function lay(
  from: Uint8Array,
  size: Size,
  x0: number,
  y0: number,
  out: Uint8Array,
  whole: Size,
): void {
  const left = Math.max(0, x0);
  const right = Math.min(whole.width, x0 + size.width);
  for (let y = Math.max(0, y0); y < Math.min(whole.height, y0 + size.height); y++) {
    const row = (y - y0) * size.width - x0;
    if (right > left) out.set(from.subarray(row + left, row + right), y * whole.width + left);
  }
}
