import { distance, planesOf, type Rgb, rgbOf, type Yuv, yuvOf } from "../areas/planes.ts";
import { type Lab, labFromBytes } from "../colour/cielab.ts";
import type { Picture } from "../raster.ts";
import { type CalmWindows, calmWindows } from "./calm.ts";
import { exactColours } from "./exact-colours.ts";
import { FILL, type Fill, fillsOf, MOST_FILLS } from "./fills.ts";
import { near, neededColours } from "./needed-colours.ts";
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
  if (fills.length > MOST_FILLS) return undefined;
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
  let kept = neededColours(picture, planes, whole, colours, { least, page, compressed: windows.noisy });
  for (let more = 0; more < MOST_THIN && kept.strange.length > least; more++) {
    const thin = thinColour(planes, kept.strange, kept.colours);
    if (!thin) break;
    colours = [...kept.colours.map(({ rgb }) => rgb), thin];
    const next = neededColours(picture, planes, whole, colours, { least, page, compressed: windows.noisy });
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
