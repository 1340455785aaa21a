import type { Point, Region, SeparationPlan } from "../engine/plan.ts";

/** x0 ≤ x < x1, y0 ≤ y < y1, in pixels. */
export interface PixelRect {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** How far, in millimetres, a pixel can reach into its surroundings while plates are made. */
export function reachMm({ knockouts, traps }: SeparationPlan): number {
  return (
    Math.max(0, ...knockouts.map(({ choke }) => choke)) +
    Math.max(0, ...traps.map(({ distance }) => distance))
  );
}

/** The pixels of a rectangle in millimetres, and those that must be looked at to make them. */
export function cropBox(
  rect: { readonly x: number; readonly y: number; readonly width: number; readonly height: number },
  reach: number,
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
  // A brush of a given radius touches pixels up to one more away (engine/trap/disc.ts), once for each stage.
  const margin = Math.ceil(reach * perMm) + 4;
  const outer = {
    x0: Math.max(0, inner.x0 - margin),
    y0: Math.max(0, inner.y0 - margin),
    x1: Math.min(width, inner.x1 + margin),
    y1: Math.min(height, inner.y1 + margin),
  };
  return { inner, outer };
}

/** The plan for a part of the print that starts `x`, `y` millimetres from the left and top edge. */
export function planWithin(plan: SeparationPlan, x: number, y: number): SeparationPlan {
  const moved = ([px, py]: Point): Point => [px - x, py - y];
  const region = (r: Region): Region => {
    switch (r.shape) {
      case "polygon":
        return { ...r, points: r.points.map(moved) };
      case "rectangle":
        return { ...r, from: moved(r.from), to: moved(r.to) };
      case "ellipse":
        return { ...r, centre: moved(r.centre) };
    }
  };
  return {
    ...plan,
    adjustments: plan.adjustments.map((a) => ({ ...a, region: a.region && region(a.region) })),
  };
}

function clamp(v: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, v));
}
