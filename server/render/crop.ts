import type { Areas, Picture } from "../engine/raster.ts";

/** x0 ≤ x < x1, y0 ≤ y < y1, in pixels. */
export interface PixelRect {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** The pixels of a rectangle in millimetres, and those that must be looked at to make them. */
export function cropBox(
  rect: { readonly x: number; readonly y: number; readonly width: number; readonly height: number },
  margin: number,
  perMm: number,
  width: number,
  height: number,
): { readonly inner: PixelRect; readonly outer: PixelRect } {
  const inner = {
    x0: clamp(Math.floor(rect.x * perMm), 0, width - 1),
    y0: clamp(Math.floor(rect.y * perMm), 0, height - 1),
    x1: clamp(Math.ceil((rect.x + rect.width) * perMm), 1, width),
    y1: clamp(Math.ceil((rect.y + rect.height) * perMm), 1, height),
  };
  const outer = {
    x0: Math.max(0, inner.x0 - margin),
    y0: Math.max(0, inner.y0 - margin),
    x1: Math.min(width, inner.x1 + margin),
    y1: Math.min(height, inner.y1 + margin),
  };
  return { inner, outer };
}

/** The pixels of a part of a raster with `channels` bytes a pixel. */
export function cutOut(
  data: Uint8Array,
  channels: number,
  width: number,
  { x0, y0, x1, y1 }: PixelRect,
): Uint8Array<ArrayBuffer> {
  const row = (x1 - x0) * channels;
  const out = new Uint8Array(row * (y1 - y0));
  for (let y = y0; y < y1; y++) {
    const from = (y * width + x0) * channels;
    out.set(data.subarray(from, from + row), (y - y0) * row);
  }
  return out;
}

export function cutAreas({ colours, first, second, share }: Areas, width: number, rect: PixelRect): Areas {
  return {
    colours,
    first: cutOut(first, 1, width, rect),
    second: cutOut(second, 1, width, rect),
    share: cutOut(share, 1, width, rect),
  };
}

export function cutGiven(
  given: NonNullable<Picture["given"]>,
  width: number,
  rect: PixelRect,
): NonNullable<Picture["given"]> {
  return new Map([...given].map(([name, tones]) => [name, cutOut(tones, 1, width, rect)]));
}

function clamp(v: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, v));
}
