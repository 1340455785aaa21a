import { LINEAR_OF_BYTE, srgbFromLinear } from "../colour/srgb.ts";
import type { Extent } from "../raster.ts";

/**
 * A picture in windows of `side` × `side` pixels, each the mean of its light, as eyes mix what they do not resolve. Takes 8-bit
 * sRGB, `channels` bytes a pixel, of which a fourth is alpha: colours count as far as they cover. Windows at the right and
 * bottom may be smaller.
 */
export function windowMeans(
  data: Uint8Array,
  channels: 3 | 4,
  { width, height }: Extent,
  side: number,
): Extent & { readonly data: Uint8Array } {
  const [across, down] = [Math.ceil(width / side), Math.ceil(height / side)];
  const out = new Uint8Array(across * down * channels);
  for (let row = 0; row < down; row++)
    for (let column = 0; column < across; column++) {
      const sum = [0, 0, 0];
      let [cover, pixels] = [0, 0];
      for (let y = row * side; y < Math.min(height, (row + 1) * side); y++)
        for (let x = column * side; x < Math.min(width, (column + 1) * side); x++) {
          const at = (y * width + x) * channels;
          const alpha = channels === 4 ? data[at + 3]! / 255 : 1;
          pixels++;
          cover += alpha;
          for (let c = 0; c < 3; c++) sum[c]! += alpha * LINEAR_OF_BYTE[data[at + c]!]!;
        }
      const to = (row * across + column) * channels;
      if (cover > 0)
        for (let c = 0; c < 3; c++) out[to + c] = Math.round(255 * srgbFromLinear(sum[c]! / cover));
      if (channels === 4) out[to + 3] = Math.round((255 * cover) / pixels);
    }
  return { width: across, height: down, data: out };
}
