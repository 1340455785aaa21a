import type { Picture } from "../raster.ts";

/**
 * A picture's luma and colour differences (ITU-R BT.601, full range), 0–255 and ±128. What mixes, blurs or compresses a
 * drawing mixes these in straight lines, and compression softens the last two most.
 */
export interface Planes {
  readonly width: number;
  readonly height: number;
  readonly y: Float32Array;
  readonly u: Float32Array;
  readonly v: Float32Array;
}

export type Rgb = readonly [number, number, number];
export type Yuv = readonly [y: number, u: number, v: number];

export function yuvOf([r, g, b]: Rgb): Yuv {
  const y = 0.299 * r + 0.587 * g + 0.114 * b;
  return [y, 0.564 * (b - y), 0.713 * (r - y)];
}

export function rgbOf([y, u, v]: Yuv): Rgb {
  const [r, b] = [y + v / 0.713, y + u / 0.564];
  const byte = (value: number) => Math.max(0, Math.min(255, Math.round(value)));
  return [byte(r), byte((y - 0.299 * r - 0.114 * b) / 0.587), byte(b)];
}

export function planesOf({ width, height, data }: Picture): Planes {
  const count = width * height;
  const planes = {
    width,
    height,
    y: new Float32Array(count),
    u: new Float32Array(count),
    v: new Float32Array(count),
  };
  for (let i = 0, at = 0; i < count; i++, at += 4) {
    const [r, g, b] = [data[at]!, data[at + 1]!, data[at + 2]!];
    const y = 0.299 * r + 0.587 * g + 0.114 * b;
    planes.y[i] = y;
    planes.u[i] = 0.564 * (b - y);
    planes.v[i] = 0.713 * (r - y);
  }
  return planes;
}

/** Each pixel as the mean of those beside it that differ from it by at most `by`: noise goes, edges stay. */
export function calmed({ width, height, y, u, v }: Planes, by: number): Planes {
  const out = { width, height, y: new Float32Array(y), u: new Float32Array(u), v: new Float32Array(v) };
  const most = by * by;
  for (let row = 1; row < height - 1; row++) {
    for (let x = 1; x < width - 1; x++) {
      const i = row * width + x;
      let [n, sy, su, sv] = [0, 0, 0, 0];
      for (let j = i - width - 1; j <= i + width - 1; j += width) {
        for (let k = j; k <= j + 2; k++) {
          const [dy, du, dv] = [y[k]! - y[i]!, u[k]! - u[i]!, v[k]! - v[i]!];
          if (dy * dy + du * du + dv * dv > most) continue;
          n++;
          sy += y[k]!;
          su += u[k]!;
          sv += v[k]!;
        }
      }
      out.y[i] = sy / n;
      out.u[i] = su / n;
      out.v[i] = sv / n;
    }
  }
  return out;
}

/** In steps of a byte. */
export function distance(p: Yuv, q: Yuv): number {
  return Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
}
