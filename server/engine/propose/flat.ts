import { labelAreas } from "../areas/label.ts";
import { Mixtures } from "../areas/mixtures.ts";
import { distance, type Planes, planesOf, type Rgb, rgbOf, type Yuv, yuvOf } from "../areas/planes.ts";
import { deltaE00 } from "../colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../colour/cielab.ts";
import type { Picture } from "../raster.ts";
import { type CalmWindows, calmWindows } from "./calm.ts";
import { MOST_THIN, thinColour } from "./thin-colour.ts";

/** A colour that a drawing is filled with. */
export interface FlatColour {
  readonly rgb: Rgb;
  readonly lab: Lab;
  /** Share of what is covered, 0–1. */
  readonly share: number;
}

/** Art of more colours is separated by tone. Common practice, no source. */
const MOST = 12;
/** ΔE00 up to which two fills are one colour, and print with one ink. */
const ONE = 4;
/** Steps of a byte around a centre that are its fill, and that are as good as it. */
const FILL = 9;
const TIGHT = 5;
/** Share of the covered pixels from which a fill is no accident; of fine art that many pixels at least. */
const LEAST = 0.0006;
const LEAST_PIXELS = 14;
/** Share of calm windows beside the page's that fills must account for, and of those what lies tight around centres. */
const EXPLAINED = 0.94;
const CLOSE = { clean: 0.97, noisy: 0.86 };
/** Share of what is not page that must be calm; drawings of thin lines have little. */
const CALM = 0.04;
/** Share of all pixels that may be neither a flat colour nor a mixture of two beside one another. */
const STRANGE = 0.03;

/**
 * The colours of flat art, largest first: the middles of areas without edges, through noise and compression. Undefined
 * for a picture with gradients or tones. `page` is the colour of its background, which says nothing of the art itself.
 */
export function flatColours(picture: Picture, page: Rgb | undefined): FlatColour[] | undefined {
  const { width, height, data } = picture;
  const count = width * height;
  const counts = new Uint8Array(count);
  let covered = 0;
  for (let i = 0; i < count; i++) {
    counts[i] = data[i * 4 + 3]! >= 250 ? 1 : 0;
    if (data[i * 4 + 3]! >= 128) covered++;
  }
  if (covered === 0) return undefined;
  // Beside what is clear, resampling makes colours that nothing has.
  const whole = erodedOf(counts, width, height);
  const planes = planesOf(picture);
  const ground = page && yuvOf(page);
  const windows = calmWindows(planes, counts, ground, CELLS[0]);
  const least = Math.max(LEAST_PIXELS, LEAST * covered);
  const fills = fillsOf(windows, least);
  if (fills.length > 3 * MOST) return undefined;
  const isPage = (at: Yuv) => ground !== undefined && distance(at, ground) <= FILL;
  const isTight = (of: CalmWindows, heaps: readonly Fill[]) => {
    const beside = of.cells.reduce((sum, cell) => sum + (isPage(cell.at) ? 0 : cell.n), 0);
    const own = heaps.filter((fill) => !isPage(fill.at));
    const held = own.reduce((sum, { n }) => sum + n, 0);
    const close = own.reduce((sum, { tight }) => sum + tight, 0);
    if (beside <= least) return true;
    return held >= EXPLAINED * beside && close >= CLOSE[of.noisy ? "noisy" : "clean"] * held;
  };
  if (!isTight(windows, fills)) return undefined;
  // A gradient's steps may fall in with the cells of one size, and then not with another's.
  const finer = calmWindows(planes, counts, ground, CELLS[1]);
  if (!isTight(finer, fillsOf(finer, least))) return undefined;
  const exact = !windows.noisy ? exactColours(picture, counts, least) : [];
  let colours = distinct([...fills.map(({ at, n }) => ({ rgb: rgbOf(at), n })), ...exact], exact);
  if (page && !colours.some((rgb) => near(rgb, page))) colours.unshift(page);
  if (colours.length === 0 || colours.length > 2 * MOST) return undefined;
  colours = colours.slice(0, 14);
  let kept = needed(picture, planes, whole, colours, { least, page, compressed: windows.noisy });
  for (let more = 0; more < MOST_THIN && kept.strange.length > least; more++) {
    const thin = thinColour(planes, kept.strange, kept.colours);
    if (!thin) break;
    colours = [...kept.colours.map(({ rgb }) => rgb), thin];
    const next = needed(picture, planes, whole, colours, { least, page, compressed: windows.noisy });
    if (next.strange.length > 0.8 * kept.strange.length) break;
    kept = next;
  }
  if (kept.colours.length > MOST + 1) return undefined;
  const drawn = kept.all - kept.pageShare;
  const strange = kept.strange.length;
  if (strange > STRANGE * kept.all || strange > 0.12 * drawn) return undefined;
  if (drawn > 0 && kept.calm < CALM * drawn) return undefined;
  return kept.colours
    .map(({ rgb, pixels }) => ({ rgb, lab: labFromBytes(...rgb), share: pixels / kept.all }))
    .sort((a, b) => b.share - a.share || a.lab.L - b.lab.L);
}

/** Sides of the cells in which windows are counted, in steps of a byte. */
const CELLS = [6, 3] as const;

interface Fill {
  readonly at: Yuv;
  /** Windows of its colour, and those that are nearly it. */
  readonly n: number;
  readonly tight: number;
}

/** Heaps of windows' means, each drawn to where it is densest. */
function fillsOf({ cells }: CalmWindows, least: number): Fill[] {
  const taken = new Uint8Array(cells.length);
  const fills: Fill[] = [];
  for (const [c, seed] of cells.entries()) {
    if (taken[c] === 1 || fills.length > 3 * MOST) continue;
    let at = seed.at;
    for (let round = 0; round < 3; round++) at = meanOf(cells, taken, at, TIGHT + 2) ?? at;
    let [n, tight] = [0, 0];
    for (const [j, cell] of cells.entries()) {
      if (taken[j] === 1) continue;
      const d = distance(cell.at, at);
      if (d > FILL) continue;
      taken[j] = 1;
      n += cell.n;
      if (d <= TIGHT) tight += cell.n;
    }
    if (n >= least) fills.push({ at, n, tight });
  }
  return fills;
}

function meanOf(
  cells: CalmWindows["cells"],
  taken: Uint8Array,
  around: Yuv,
  within: number,
): Yuv | undefined {
  const sum = [0, 0, 0];
  let n = 0;
  for (const [j, cell] of cells.entries()) {
    if (taken[j] === 1 || distance(cell.at, around) > within) continue;
    for (let c = 0; c < 3; c++) sum[c]! += cell.n * cell.at[c]!;
    n += cell.n;
  }
  return n === 0 ? undefined : [sum[0]! / n, sum[1]! / n, sum[2]! / n];
}

/** In clean art, colours that three pixels in a row have: fine lines have no wider areas. */
function exactColours({ width, height, data }: Picture, counts: Uint8Array, least: number) {
  const words = new Uint32Array(data.buffer, data.byteOffset, width * height);
  const found = new Map<number, number>();
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1; i < y * width + width - 1; i++) {
      const own = words[i]!;
      if (counts[i] === 0) continue;
      if (
        (words[i - 1] === own && words[i + 1] === own) ||
        (words[i - width] === own && words[i + width] === own) ||
        (words[i - width - 1] === own && words[i + width + 1] === own) ||
        (words[i - width + 1] === own && words[i + width - 1] === own)
      )
        found.set(own, (found.get(own) ?? 0) + 1);
    }
  }
  return [...found]
    .filter(([, n]) => n >= least)
    .sort((a, b) => b[1] - a[1] || a[0] - b[0])
    .slice(0, 4 * MOST)
    .map(([word, n]) => {
      const at = new Uint8Array(Uint32Array.of(word).buffer);
      return { rgb: [at[0]!, at[1]!, at[2]!] as Rgb, n };
    });
}

/** Colours that are no two of them one, the most frequent first; what a drawing has exactly goes before a mean. */
function distinct(
  found: readonly { readonly rgb: Rgb; readonly n: number }[],
  exact: readonly { readonly rgb: Rgb }[],
): Rgb[] {
  const out: Rgb[] = [];
  for (const { rgb } of [...found].sort((a, b) => b.n - a.n)) {
    if (out.some((known) => near(known, rgb))) continue;
    const whole = exact.find((other) => near(other.rgb, rgb));
    out.push(whole?.rgb ?? rgb);
  }
  return out;
}

/** Leaves only what has its like on all four sides; a border counts as such. */
function erodedOf(mask: Uint8Array, width: number, height: number): Uint8Array {
  const out = mask.slice();
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (
        (x > 0 && mask[i - 1] === 0) ||
        (x < width - 1 && mask[i + 1] === 0) ||
        (y > 0 && mask[i - width] === 0) ||
        (y < height - 1 && mask[i + width] === 0)
      )
        out[i] = 0;
    }
  return out;
}

/** Colours that the picture cannot do without: others are mixtures that edges between areas make. */
function needed(
  picture: Picture,
  planes: Planes,
  whole: Uint8Array,
  all: readonly Rgb[],
  { least, page, compressed }: { least: number; page: Rgb | undefined; compressed: boolean },
) {
  let colours = [...all];
  for (;;) {
    const labels = labelAreas(picture, colours);
    const palette = colours.map(yuvOf);
    const noisy = compressed || labels.noise > 1.5;
    const mix = new Mixtures(palette, noisy ? 0.4 : 1, noisy ? 22 : 9, noisy ? 3 + labels.noise : 2);
    const most = noisy ? 400 : 70;
    const alike = noisy ? Math.max(8, 2 * labels.noise) : 0;
    const { width, height, first, second, inside } = labels;
    const isPage = colours.map((rgb) => page !== undefined && near(rgb, page));
    const missed = new Float64Array(colours.length);
    const pixels = new Float64Array(colours.length);
    // What is clear has no place there.
    for (const label of labels.first) pixels[label]!++;
    const count = pixels.reduce((sum, n) => sum + n, 0);
    const strange: number[] = [];
    let [covered, calm] = [0, 0];
    for (let y = 0; y < height; y++) {
      for (let x = 0; x < width; x++) {
        const i = y * width + x;
        const own = first[i]!;
        if (own === colours.length) continue;
        covered++;
        if (inside[i] === 1 && !isPage[own]) calm++;
        const local = around(i, x, y);
        if (second[i] !== own || inside[i] === 0) {
          mix.of(planes.y[i]!, planes.u[i]!, planes.v[i]!, local | (1 << own) | (1 << second[i]!));
          if (mix.cost > 2 * most) strange.push(i);
        }
        // Looking at one in three is enough to know.
        if ((x + y) % 3 !== 0) continue;
        const at: Yuv = [planes.y[i]!, planes.u[i]!, planes.v[i]!];
        if (whole[i] === 0 && palette.some((other, k) => k !== own && distance(at, other) <= RINGING))
          continue;
        const rare = noisy && pixels[own]! < RARE * count;
        if (
          palette.some((other, k) => k !== own && (rare ? halved(at, other) : distance(at, other)) <= alike)
        )
          continue;
        // With none of its neighbours to be made of, it is its own.
        if (inside[i] === 1 && (local & ~(1 << own)) === 0) {
          missed[own]! += 3;
          continue;
        }
        mix.of(...at, local & ~(1 << own), own);
        if (mix.cost > most) missed[own]! += 3;
      }
    }
    let worst = -1;
    for (let k = 0; k < colours.length; k++) {
      if (missed[k]! >= least || isPage[k]) continue;
      if (worst < 0 || missed[k]! < missed[worst]!) worst = k;
    }
    if (worst < 0 || colours.length === 1) {
      const of = colours.map((rgb, k) => ({ rgb, pixels: pixels[k]! }));
      const pageShare = of.reduce((sum, { rgb, pixels: n }) => sum + (page && near(rgb, page) ? n : 0), 0);
      return { colours: of, strange, all: covered, calm, pageShare };
    }
    colours = colours.filter((_, k) => k !== worst);

    /** Colours whose areas reach up to three pixels away. */
    function around(i: number, x: number, y: number): number {
      let bits = 0;
      for (const step of noisy ? [1, 2, 3, 5, 8] : [1, 2, 3]) {
        if (x >= step && inside[i - step] === 1) bits |= 1 << first[i - step]!;
        if (x < width - step && inside[i + step] === 1) bits |= 1 << first[i + step]!;
        if (y >= step && inside[i - step * width] === 1) bits |= 1 << first[i - step * width]!;
        if (y < height - step && inside[i + step * width] === 1) bits |= 1 << first[i + step * width]!;
      }
      return bits & ((1 << colours.length) - 1);
    }
  }
}

/** Share of the art up to which a colour may be another one's, spread by compression. */
const RARE = 0.02;

/** Steps of a byte by which resampling misses a colour beside what is clear. */
const RINGING = 30;

/** The same with colour differences, which compression spreads over blocks, at half their weight. */
function halved(p: Yuv, q: Yuv): number {
  return Math.hypot(p[0] - q[0], (p[1] - q[1]) / 2, (p[2] - q[2]) / 2);
}

function near(p: Rgb, q: Rgb): boolean {
  const [a, b] = [labFromBytes(...p), labFromBytes(...q)];
  return deltaE00(a.L, a.a, a.b, b.L, b.a, b.b) <= ONE;
}
