import type { Tones } from "../raster.ts";
import { Thirds } from "./thirds.ts";

/** Where two plates meet, one beside the other. */
export interface CommonEdge {
  /** In pixels. */
  readonly length: number;
  readonly where: Thirds;
}

/**
 * The edge that a plate has in common with another: what it gains under the other when it is spread by one pixel. Where it
 * lies under the other already there is no edge. `wide` is the plate's spread; all have `width` × `height` tones.
 */
export function commonEdge(own: Tones, wide: Tones, other: Tones, width: number, height: number): CommonEdge {
  const where = new Thirds(width, height);
  let sum = 0;
  for (let i = 0; i < own.length; i++) {
    const cover = other[i]!;
    if (cover === 0) continue;
    // An edge through a pixel gives each its part of it: the parts add up.
    const gained = Math.min(wide[i]!, own[i]! + cover, 255) - own[i]!;
    if (gained <= 0) continue;
    sum += gained;
    if (gained >= 128) where.add(i);
  }
  return { length: sum / 255, where };
}
