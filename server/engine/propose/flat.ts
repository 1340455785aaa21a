import { deltaE00 } from "../colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../colour/cielab.ts";
import type { Picture } from "../raster.ts";

/** A colour that a drawing is filled with. */
export interface FlatColour {
  readonly rgb: readonly [number, number, number];
  readonly lab: Lab;
  /** Share of the covered pixels that are nearest to it, 0–1. */
  readonly share: number;
}

/** Art of more colours is separated by tone. Common practice, no source. */
const MOST = 12;
/** Steps of a byte by which neighbours in one fill may differ: what compression does to it. */
const LIKE = 6;
/** ΔE00 up to which two fills are one colour, and print with one ink. */
const ONE = 4;
/** Share of the covered pixels from which a fill is no accident. */
const LEAST = 0.0008;
/** Share of the fills' pixels that flat colours must account for, and of each fill what is exactly its colour. */
const EXPLAINED = 0.985;
const EXACT = 0.8;
/** Share of the covered pixels that lie inside of fills, not at edges; hairline drawings have few. */
const INSIDE = 0.35;

/**
 * The exact colours of flat art, largest first: those that its pixels have where neighbours agree. Antialiased edges
 * do not count. Undefined for a picture with gradients or tones.
 */
export function flatColours({ width, height, data }: Picture, kept: Uint8Array): FlatColour[] | undefined {
  const counts = new Map<number, number>();
  let covered = 0;
  let inside = 0;
  const row = 4 * width;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (kept[i] === 0 || data[i * 4 + 3]! < 128) continue;
      covered++;
      if (x === 0 || y === 0 || x === width - 1 || y === height - 1) continue;
      const at = i * 4;
      if (!agrees(data, at, at - 4) || !agrees(data, at, at + 4)) continue;
      if (!agrees(data, at, at - row) || !agrees(data, at, at + row)) continue;
      inside++;
      const key = (data[at]! << 16) | (data[at + 1]! << 8) | data[at + 2]!;
      counts.set(key, (counts.get(key) ?? 0) + 1);
    }
  }
  if (covered === 0 || inside < INSIDE * covered) return undefined;
  const exact = [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0]);
  const fills: Fill[] = [];
  let explained = 0;
  for (const [key, n] of exact) {
    const rgb = [key >> 16, (key >> 8) & 255, key & 255] as const;
    const lab = labFromBytes(...rgb);
    const home = fills.find((fill) => difference(fill.lab, lab) <= ONE);
    if (home) {
      home.all += n;
      if (rgb.every((v, c) => Math.abs(v - home.rgb[c]!) <= 3)) home.exact += n;
      explained += n;
    } else if (n >= LEAST * covered && fills.length <= MOST) {
      fills.push({ rgb, lab, exact: n, all: n });
      explained += n;
    }
  }
  if (fills.length === 0 || fills.length > MOST || explained < EXPLAINED * inside) return undefined;
  // A gradient's colours also gather around the commonest, but few of them are it.
  const even = fills.reduce((sum, fill) => sum + fill.exact, 0);
  if (even < 0.97 * explained || fills.some((fill) => fill.exact < EXACT * fill.all)) return undefined;
  return fills
    .map(({ rgb, lab, all }) => ({ rgb, lab, share: all / inside }))
    .sort((a, b) => b.share - a.share || a.lab.L - b.lab.L);
}

interface Fill {
  readonly rgb: readonly [number, number, number];
  readonly lab: Lab;
  exact: number;
  all: number;
}

function agrees(data: Uint8Array, at: number, beside: number): boolean {
  return (
    Math.abs(data[at]! - data[beside]!) <= LIKE &&
    Math.abs(data[at + 1]! - data[beside + 1]!) <= LIKE &&
    Math.abs(data[at + 2]! - data[beside + 2]!) <= LIKE &&
    data[beside + 3]! >= 128
  );
}

function difference(p: Lab, q: Lab): number {
  return deltaE00(p.L, p.a, p.b, q.L, q.a, q.b);
}
