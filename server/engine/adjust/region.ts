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
 * How far a region reaches at each pixel. Distances are signed, in pixels, negative inside, true distances to its edge.
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
        this.#distance = ellipseDistance(centre, radii, this.#edge / 2);
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

/**
 * By the foot of the perpendicular: the point of the ellipse where (ratio·along/(t + ratio), across/(t + 1)), t being
 * the one root of a falling convex function, which Newton's steps near from the left (Eberly, Distance from a Point to an
 * Ellipse, 2013, from memory).
 */
function ellipseDistance([cx, cy]: Point, radii: Point, reach: number): (x: number, y: number) => number {
  // A flat ellipse holds nothing; a thousandth of a pixel keeps the division sound.
  const rx = Math.max(0.001, radii[0]);
  const ry = Math.max(0.001, radii[1]);
  const [long, short] = rx >= ry ? [rx, ry] : [ry, rx];
  const ratio = (long / short) ** 2;
  return (x, y) => {
    const dx = Math.abs(x - cx);
    const dy = Math.abs(y - cy);
    const [along, across] = rx >= ry ? [dx, dy] : [dy, dx];
    const u = along / long;
    const v = across / short;
    const scaled = Math.sqrt(u * u + v * v);
    const side = scaled <= 1 ? -1 : 1;
    // The ellipse scaled to this point and a disc roll within the whole one; outside, the first-order distance is less.
    const least =
      scaled <= 1 ? (1 - scaled) * short : ((scaled - 1) * scaled) / Math.hypot(u / long, v / short);
    if (least >= reach) return side * least;
    if (across === 0 && along * long < long * long - short * short) {
      // On the long axis inside of the evolute the nearest points lie beside it.
      const foot = (long * long * along) / (long * long - short * short);
      return -Math.hypot(foot - along, short * Math.sqrt(Math.max(0, 1 - (foot / long) ** 2)));
    }
    // Left of the root: there the second term alone, or the first, is 1 or more.
    let t = Math.max(v - 1, ratio * u - ratio);
    for (let i = 0; i < NEWTON_STEPS; i++) {
      const p = (ratio * u) / (t + ratio);
      const q = v / (t + 1);
      const over = p * p + q * q - 1;
      const slope = 2 * ((p * p) / (t + ratio) + (q * q) / (t + 1));
      const step = over / slope;
      if (!(step > 1e-12 * (1 + Math.abs(t)))) break;
      t += step;
    }
    const footAlong = (ratio * along) / (t + ratio);
    const footAcross = across / (t + 1);
    return side * Math.hypot(footAlong - along, footAcross - across);
  };
}

/** From the left the first steps near the root by halves at least. */
const NEWTON_STEPS = 40;

function clamp(v: number, limit: number): number {
  return Math.min(limit, Math.max(0, v));
}
