import type { Point, Region } from "../plan.ts";
import type { Extent } from "../raster.ts";

/** Pixels of a picture that a region touches: x0 ≤ x < x1, y0 ≤ y < y1. */
export interface PixelBox {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/**
 * How far a region reaches at each pixel. Distances are signed, in pixels, negative inside, true distances to
 * polygon and rectangle; the ellipse's is exact on its edge and close to it nearby.
 */
export class RegionMask {
  readonly box: PixelBox;
  readonly #distance: (x: number, y: number) => number;
  /** Width of the fading edge; an edge without feather is antialiased over one pixel. */
  readonly #edge: number;
  /** Of the first pixel's corner, in pixels of the whole print. */
  readonly #origin: { readonly x: number; readonly y: number };

  /** `pixelsPerMm` is the raster's resolution on the garment; regions are in millimetres of the whole print. */
  constructor(region: Region, { width, height, origin = { x: 0, y: 0 } }: Extent, pixelsPerMm: number) {
    this.#origin = origin;
    const px = ([x, y]: Point): Point => [x * pixelsPerMm, y * pixelsPerMm];
    this.#edge = Math.max(1, region.feather * pixelsPerMm);
    let low: Point;
    let high: Point;
    switch (region.shape) {
      case "polygon": {
        const points = region.points.map(px);
        low = [Math.min(...points.map(([x]) => x)), Math.min(...points.map(([, y]) => y))];
        high = [Math.max(...points.map(([x]) => x)), Math.max(...points.map(([, y]) => y))];
        this.#distance = polygonDistance(points);
        break;
      }
      case "rectangle": {
        const [[ax, ay], [bx, by]] = [px(region.from), px(region.to)];
        low = [Math.min(ax, bx), Math.min(ay, by)];
        high = [Math.max(ax, bx), Math.max(ay, by)];
        this.#distance = rectangleDistance(low, high);
        break;
      }
      case "ellipse": {
        const [centre, radii] = [px(region.centre), px(region.radii)];
        low = [centre[0] - radii[0], centre[1] - radii[1]];
        high = [centre[0] + radii[0], centre[1] + radii[1]];
        this.#distance = ellipseDistance(centre, radii, rectangleDistance(low, high));
        break;
      }
    }
    const reach = this.#edge / 2;
    this.box = {
      x0: clamp(Math.floor(low[0] - reach) - origin.x, width),
      y0: clamp(Math.floor(low[1] - reach) - origin.y, height),
      x1: clamp(Math.ceil(high[0] + reach) - origin.x, width),
      y1: clamp(Math.ceil(high[1] + reach) - origin.y, height),
    };
  }

  /** Weight 0–1 of the pixel x, y (its centre counts). */
  weight(x: number, y: number): number {
    const { x: left, y: above } = this.#origin;
    // Whole numbers first: the same sum for a pixel of a part as for that of the whole.
    const t = 0.5 - this.#distance(left + x + 0.5, above + y + 0.5) / this.#edge;
    if (t <= 0) return 0;
    if (t >= 1) return 1;
    return this.#edge > 1 ? t * t * (3 - 2 * t) : t;
  }
}

function polygonDistance(points: readonly Point[]): (x: number, y: number) => number {
  const n = points.length;
  const xs = Float64Array.from(points, ([x]) => x);
  const ys = Float64Array.from(points, ([, y]) => y);
  return (x, y) => {
    let inside = false;
    let least = Number.POSITIVE_INFINITY;
    for (let i = 0, j = n - 1; i < n; j = i++) {
      const xi = xs[i]!;
      const yi = ys[i]!;
      const dx = xs[j]! - xi;
      const dy = ys[j]! - yi;
      const along = dx * dx + dy * dy;
      const t = along === 0 ? 0 : Math.min(1, Math.max(0, ((x - xi) * dx + (y - yi) * dy) / along));
      const ex = xi + t * dx - x;
      const ey = yi + t * dy - y;
      least = Math.min(least, ex * ex + ey * ey);
      if (yi > y !== ys[j]! > y && x < xi + (dx * (y - yi)) / dy) inside = !inside;
    }
    return inside ? -Math.sqrt(least) : Math.sqrt(least);
  };
}

function rectangleDistance([x0, y0]: Point, [x1, y1]: Point): (x: number, y: number) => number {
  return (x, y) => {
    const dx = Math.max(x0 - x, x - x1);
    const dy = Math.max(y0 - y, y - y1);
    return dx > 0 && dy > 0 ? Math.sqrt(dx * dx + dy * dy) : Math.max(dx, dy);
  };
}

function ellipseDistance(
  [cx, cy]: Point,
  radii: Point,
  toBox: (x: number, y: number) => number,
): (x: number, y: number) => number {
  // A flat ellipse holds nothing; a thousandth of a pixel keeps the division sound.
  const rx = Math.max(0.001, radii[0]);
  const ry = Math.max(0.001, radii[1]);
  return (x, y) => {
    const u = (x - cx) / rx;
    const v = (y - cy) / ry;
    const k = Math.sqrt(u * u + v * v);
    if (k === 0) return -Math.min(rx, ry);
    // First-order distance: the implicit function over the length of its gradient. Never more than the true one, and
    // along a flat ellipse far less; the distance to its box is never more either, and holds the fade in the box.
    return Math.max(toBox(x, y), ((k - 1) * k) / Math.sqrt((u / rx) ** 2 + (v / ry) ** 2));
  };
}

function clamp(v: number, limit: number): number {
  return Math.min(limit, Math.max(0, v));
}
