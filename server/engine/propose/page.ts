import { type Rgb, yuvOf } from "../areas/planes.ts";
import { deltaE00 } from "../colour/ciede2000.ts";
import { labFromBytes } from "../colour/cielab.ts";
import type { Picture } from "../raster.ts";

/** The colour along a picture's border. */
export interface Page {
  readonly rgb: Rgb;
  /** ΔE00 that nearly all of its border pixels keep within. */
  readonly within: number;
  /** Its share of the border, 0–1. */
  readonly share: number;
}

/** Alpha from which a border pixel counts, and rows from the edge in which it is looked for: the last may be soft. */
const COVERS = 242;
const DEEP = 3;
/** Steps of a byte around the commonest colour that noise spreads it over. */
const SPREAD = 26;
const CELL = 12;
const TOLERANCE = { least: 4, most: 12 };

/** The commonest colour along the border; undefined where most of the border is clear. */
export function pageOf({ width, height, data }: Picture): Page | undefined {
  const border: number[] = [];
  const along = (length: number, at: (step: number, depth: number) => number) => {
    for (let step = 0; step < length; step++) {
      for (let depth = 0; depth < DEEP; depth++) {
        const i = at(step, depth);
        if (data[i * 4 + 3]! < COVERS) continue;
        border.push(i);
        break;
      }
    }
  };
  along(width, (x, depth) => Math.min(depth, height - 1) * width + x);
  along(width, (x, depth) => Math.max(0, height - 1 - depth) * width + x);
  along(height, (y, depth) => y * width + Math.min(depth, width - 1));
  along(height, (y, depth) => y * width + Math.max(0, width - 1 - depth));
  const length = 2 * (width + height);
  if (border.length < 0.9 * length) return undefined;
  const rgbAt = (i: number): Rgb => [data[i * 4]!, data[i * 4 + 1]!, data[i * 4 + 2]!];
  const cells = new Map<number, number[]>();
  for (const i of border) {
    const [r, g, b] = rgbAt(i);
    const key = (Math.floor(r / CELL) * 32 + Math.floor(g / CELL)) * 32 + Math.floor(b / CELL);
    (cells.get(key) ?? cells.set(key, []).get(key)!).push(i);
  }
  const [fullest] = [...cells.values()].sort((a, b) => b.length - a.length || a[0]! - b[0]!);
  let rgb = meanOf(fullest!.map(rgbAt));
  let own: Rgb[] = [];
  for (let round = 0; round < 2; round++) {
    const [y, u, v] = yuvOf(rgb);
    own = border.map(rgbAt).filter((at) => {
      const [py, pu, pv] = yuvOf(at);
      return Math.hypot(py - y, pu - u, pv - v) <= SPREAD;
    });
    rgb = middleOf(own);
  }
  const lab = labFromBytes(...rgb);
  const far = own
    .map((at) => {
      const { L, a, b } = labFromBytes(...at);
      return deltaE00(L, a, b, lab.L, lab.a, lab.b);
    })
    .sort((a, b) => a - b);
  const spread = far[Math.floor(0.97 * (far.length - 1))]!;
  const within = Math.min(TOLERANCE.most, Math.max(TOLERANCE.least, Math.ceil(1.3 * spread)));
  return { rgb, within, share: own.length / length };
}

function meanOf(of: readonly Rgb[]): Rgb {
  return ([0, 1, 2] as const).map((c) =>
    Math.round(of.reduce((sum, rgb) => sum + rgb[c], 0) / of.length),
  ) as unknown as Rgb;
}

/** The median of each channel: what compression did to a few of them does not count. */
function middleOf(of: readonly Rgb[]): Rgb {
  return ([0, 1, 2] as const).map((c) => {
    const sorted = of.map((rgb) => rgb[c]).sort((a, b) => a - b);
    return sorted[sorted.length >> 1]!;
  }) as unknown as Rgb;
}
