import type { Tones } from "../raster.ts";
import type { StageNode } from "../stages/stage.ts";

/** Tones that count as clear and as solid beside an edge; the same as on film (screen/film-rows.ts). */
export const CLEAR = 25;
export const SOLID = 230;

/** The solid parts of a plate with their edges; halftones and what fades go to nothing. */
export function solidPart(node: StageNode): StageNode {
  return {
    stage: "solid",
    takes: [node],
    part: [],
    reachMm: 0,
    reachPixels: 1,
    inPlace: false,
    run: ([tones], out, { width, height }) => keepSolid(tones!, width, height, out),
  };
}

/** Keeps tones from 230 on and what touches them. Writes to `out`, another buffer than `tones`. */
export function keepSolid(tones: Tones, width: number, height: number, out: Tones): void {
  out.set(tones);
  for (let at = 0; at < tones.length; at++) {
    const tone = tones[at]!;
    if (tone === 0 || tone >= SOLID) continue;
    const x = at % width;
    if (!touchesSolid(tones, width, height, x, (at - x) / width)) out[at] = 0;
  }
}

/** Whether a pixel or one of its eight neighbours is solid. */
export function touchesSolid(tones: Tones, width: number, height: number, x: number, y: number): boolean {
  for (let v = Math.max(0, y - 1); v <= Math.min(height - 1, y + 1); v++)
    for (let u = Math.max(0, x - 1); u <= Math.min(width - 1, x + 1); u++)
      if (tones[v * width + u]! >= SOLID) return true;
  return false;
}
