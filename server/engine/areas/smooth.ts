import type { Picture } from "../raster.ts";

/** Half the side of the window that a pixel is averaged over. */
const REACH = 2;
const ROUNDS = 2;

/**
 * Each pixel as the mean of those around it that differ from it by at most `by` steps of a byte in every channel: the
 * steps between compression's blocks go, edges stay. Alpha is as it was; what is clear counts for nothing.
 */
export function smoothed(picture: Picture, by: number): Picture {
  let { data } = picture;
  for (let round = 0; round < ROUNDS; round++) data = once(data, picture.width, picture.height, by);
  return { ...picture, data };
}

function once(data: Uint8Array, width: number, height: number, by: number): Uint8Array {
  const out = data.slice();
  for (let y = 0; y < height; y++) {
    const [top, end] = [Math.max(0, y - REACH), Math.min(height - 1, y + REACH)];
    for (let x = 0; x < width; x++) {
      const at = 4 * (y * width + x);
      if (data[at + 3] === 0) continue;
      const [r, g, b] = [data[at]!, data[at + 1]!, data[at + 2]!];
      let [n, sr, sg, sb] = [0, 0, 0, 0];
      for (let v = top; v <= end; v++) {
        const last = 4 * (v * width + Math.min(width - 1, x + REACH));
        for (let j = 4 * (v * width + Math.max(0, x - REACH)); j <= last; j += 4) {
          if (data[j + 3] === 0) continue;
          const [dr, dg, db] = [data[j]! - r, data[j + 1]! - g, data[j + 2]! - b];
          if (dr > by || -dr > by || dg > by || -dg > by || db > by || -db > by) continue;
          n++;
          sr += data[j]!;
          sg += data[j + 1]!;
          sb += data[j + 2]!;
        }
      }
      out[at] = Math.round(sr / n);
      out[at + 1] = Math.round(sg / n);
      out[at + 2] = Math.round(sb / n);
    }
  }
  return out;
}

/** Side of compression's blocks (ITU-T T.81: 8 × 8 samples). */
const BLOCK = 8;
/** Steps higher than this are edges. */
const EDGE = 24;

/** How much higher the steps between blocks are than those inside, as a ratio, and their mean height in steps of a byte. */
export function blockSteps({ width, height, data }: Picture): { ratio: number; height: number } {
  const sum = [0, 0];
  const n = [0, 0];
  for (let y = 0; y < height; y++) {
    for (let x = 1; x < width; x++) {
      const at = 4 * (y * width + x);
      const step = Math.abs(
        0.299 * (data[at]! - data[at - 4]!) +
          0.587 * (data[at + 1]! - data[at - 3]!) +
          0.114 * (data[at + 2]! - data[at - 2]!),
      );
      if (step > EDGE) continue;
      const between = x % BLOCK === 0 ? 1 : 0;
      sum[between]! += step;
      n[between]!++;
    }
  }
  const inside = sum[0]! / Math.max(1, n[0]!);
  const between = sum[1]! / Math.max(1, n[1]!);
  return { ratio: between / Math.max(0.05, inside), height: between };
}
