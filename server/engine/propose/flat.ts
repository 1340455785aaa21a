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
/** The same of its commonest colour alone, which noise makes rarer. */
const LEAST_SEED = 0.0004;
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
    const rgb: Rgb = [key >> 16, (key >> 8) & 255, key & 255];
    const lab = labFromBytes(...rgb);
    let home = fills.find((fill) => difference(fill.lab, lab) <= ONE);
    if (!home && n >= LEAST_SEED * covered && fills.length <= MOST) {
      home = { lab, members: [], all: 0 };
      fills.push(home);
    }
    if (!home) continue;
    home.members.push({ rgb, n });
    home.all += n;
    explained += n;
  }
  // Noise lifts what is too small to be a fill over the bound for seeds only.
  const large = fills.filter(({ all }) => all >= LEAST * covered);
  if (large.length === 0 || large.length > MOST || explained < EXPLAINED * inside) return undefined;
  // A gradient's colours also gather around the commonest, but few of them are it.
  const found = large.map((fill) => ({ ...fill, ...centreOf(fill) }));
  const even = found.reduce((sum, fill) => sum + fill.exact, 0);
  if (even < 0.97 * explained || found.some((fill) => fill.exact < EXACT * fill.all)) return undefined;
  return found
    .map(({ rgb, all }) => ({ rgb, lab: labFromBytes(...rgb), share: all / explained }))
    .sort((a, b) => b.share - a.share || a.lab.L - b.lab.L);
}

/** The colour that most of a fill has, else, where noise spreads it, its mean; and how many pixels are as good as it. */
function centreOf({ members, all }: Fill): { rgb: Rgb; exact: number } {
  const [first] = members;
  const mean = ([0, 1, 2] as const).map((c) =>
    Math.round(members.reduce((sum, { rgb, n }) => sum + n * rgb[c], 0) / all),
  ) as unknown as Rgb;
  const rgb = first!.n >= all / 2 ? first!.rgb : mean;
  const exact = members
    .filter((member) => member.rgb.every((v, c) => Math.abs(v - rgb[c]!) <= 3))
    .reduce((sum, { n }) => sum + n, 0);
  return { rgb, exact };
}

type Rgb = readonly [number, number, number];

interface Fill {
  /** Of the commonest colour. */
  readonly lab: Lab;
  readonly members: { readonly rgb: Rgb; readonly n: number }[];
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
