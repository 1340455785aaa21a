import { type Picture, type Tones, wholeWords } from "../raster.ts";

/**
 * Pixels of a drawing that an edge runs through: neither of one colour nor of the other but of a share of each. What
 * such a colour is on its own says nothing of the plates; their tones mix as the two colours do.
 */
export interface CoveredEdges {
  /** Places of the pixels, and of a neighbour on either side of the edge. */
  readonly at: Uint32Array;
  readonly one: Uint32Array;
  readonly other: Uint32Array;
  /** How much of each pixel, 0–255, the first neighbour's colour covers. */
  readonly share: Uint8Array;
}

/** How far around a pixel is looked, in pixels. */
export const EDGE_REACH = 1;

/** Squared distances in sRGB and alpha: what counts as an edge, and how far off the line between its colours it may lie. */
const CONTRAST = 40 ** 2;
const OFF_LINE = 4 ** 2;
const OFF_SHARE = 0.03 ** 2;
/** A difference of two channels' sum that no gradient of a drawing has over two pixels, and every edge over one axis. */
const FLAT = 12;
/** A share nearer to nothing or all than this is no mixture. */
const LEAST_SHARE = 0.015;

/** Looks for the pixel pair across each pixel that differs most, and takes those that lie between their colours. */
export function coveredEdges(picture: Picture): CoveredEdges {
  const { data, width, height } = picture;
  const words = wholeWords(picture.data);
  const at: number[] = [];
  const one: number[] = [];
  const share: number[] = [];
  const offsets = [1, width, width + 1, width - 1];
  for (let y = 1; y < height - 1; y++) {
    for (let i = y * width + 1, end = (y + 1) * width - 1; i < end; i++) {
      const own = words[i];
      const across = words[i - 1] !== own && words[i + 1] !== own;
      if (!across && (words[i - width] === own || words[i + width] === own)) continue;
      if (isFlat(data, 4 * i, 4) && isFlat(data, 4 * i, 4 * width)) continue;
      // Where a pixel between two opaque ones is not opaque, two shapes abut in it, drawn one after the other.
      const abut = data[4 * i + 3] !== 255;
      let best = abut ? mostApart(data, i, offsets, isOpaque) : 0;
      let part: number | undefined;
      if (best !== 0) part = abuttingShare(data, 4 * i, 4 * (i - best), 4 * (i + best));
      if (part === undefined) {
        best = mostApart(data, i, offsets);
        if (best === 0) continue;
        part = shareOf(data, 4 * i, 4 * (i - best), 4 * (i + best));
      }
      if (part === undefined) continue;
      at.push(i);
      one.push(i - best);
      share.push(part);
    }
  }
  return {
    at: Uint32Array.from(at),
    one: Uint32Array.from(one),
    other: Uint32Array.from(at, (place, n) => 2 * place - one[n]!),
    share: Uint8Array.from(share),
  };
}

/** Gives edge pixels the mixture of the tones on both sides, all as they were before. */
export function mixTones({ at, one, other, share }: CoveredEdges, tones: Tones): void {
  const mixed = new Uint8Array(at.length);
  for (let n = 0; n < mixed.length; n++) {
    const part = share[n]!;
    mixed[n] = Math.round((tones[one[n]!]! * part + tones[other[n]!]! * (255 - part)) / 255);
  }
  for (let n = 0; n < mixed.length; n++) tones[at[n]!] = mixed[n]!;
}

/** Which way the pixels before and behind one differ most, of those that `take` takes both; 0 where none do enough. */
function mostApart(
  data: Uint8Array,
  i: number,
  offsets: readonly number[],
  take?: (data: Uint8Array, i: number) => boolean,
): number {
  let most = CONTRAST;
  let best = 0;
  for (const offset of offsets) {
    if (take && !(take(data, i - offset) && take(data, i + offset))) continue;
    const contrast = squaredDistance(data, 4 * (i - offset), 4 * (i + offset));
    if (contrast <= most) continue;
    most = contrast;
    best = offset;
  }
  return best;
}

function isOpaque(data: Uint8Array, i: number): boolean {
  return data[4 * i + 3] === 255;
}

/** Whether the pixels before and behind one differ by less than an edge that runs anywhere near across them. */
function isFlat(data: Uint8Array, at: number, step: number): boolean {
  const [a, b] = [at - step, at + step];
  return (
    Math.abs(data[a]! - data[b]!) + Math.abs(data[a + 1]! - data[b + 1]!) < FLAT &&
    Math.abs(data[a + 2]! - data[b + 2]!) + Math.abs(data[a + 3]! - data[b + 3]!) < FLAT
  );
}

/** Of two pixels, their colours multiplied by their alpha, since that is how edges are blended. */
function squaredDistance(data: Uint8Array, a: number, b: number): number {
  const [fa, fb] = [data[a + 3]! / 255, data[b + 3]! / 255];
  const r = data[a]! * fa - data[b]! * fb;
  const g = data[a + 1]! * fa - data[b + 1]! * fb;
  const blue = data[a + 2]! * fa - data[b + 2]! * fb;
  const alpha = data[a + 3]! - data[b + 3]!;
  return r * r + g * g + blue * blue + alpha * alpha;
}

/** The share of `a` in `p` where that lies on the line from `b` to it. */
function shareOf(data: Uint8Array, p: number, a: number, b: number): number | undefined {
  const length = squaredDistance(data, a, b);
  const [fp, fa, fb] = [data[p + 3]! / 255, data[a + 3]! / 255, data[b + 3]! / 255];
  let along = 0;
  let whole = 0;
  for (let c = 0; c < 4; c++) {
    const alpha = c === 3;
    const from = alpha ? data[b + 3]! : data[b + c]! * fb;
    const line = (alpha ? data[a + 3]! : data[a + c]! * fa) - from;
    const point = (alpha ? data[p + 3]! : data[p + c]! * fp) - from;
    along += point * line;
    whole += point * point;
  }
  const share = along / length;
  if (share <= LEAST_SHARE || share >= 1 - LEAST_SHARE) return undefined;
  const off = whole - share * along;
  return off <= OFF_LINE + OFF_SHARE * length ? Math.round(share * 255) : undefined;
}

/** How far a pixel's alpha may lie off what two shapes leave there. */
const OFF_ALPHA = 0.04;
/** Differences that rounding to bytes makes. */
const ALIKE = 0.005;

/**
 * The same of shapes that abut, of which the second is laid over what the first left clear too: covering f and 1 − f of the
 * pixel they leave f² and 1 − f (Porter & Duff, Compositing digital images, 1984: their shares are taken for independent).
 */
function abuttingShare(data: Uint8Array, p: number, a: number, b: number): number | undefined {
  const length = squaredDistance(data, a, b);
  let along = 0;
  let whole = 0;
  for (let c = 0; c < 3; c++) {
    const line = data[a + c]! - data[b + c]!;
    const point = data[p + c]! - data[b + c]!;
    along += point * line;
    whole += point * point;
  }
  const inColour = along / length;
  if (inColour <= 0 || inColour >= 1 || whole - inColour * along > OFF_LINE + OFF_SHARE * length)
    return undefined;
  const alpha = data[p + 3]! / 255;
  const [ofA, ofB] = [inColour * alpha, (1 - inColour) * alpha];
  const [aFirst, bFirst] = [Math.abs(ofA - (1 - ofB) ** 2), Math.abs(ofB - (1 - ofA) ** 2)];
  if (Math.min(aFirst, bFirst) > OFF_ALPHA) return undefined;
  // Shares of 0.62 and 0.38 look alike, whichever was first: between them what fits better counts more.
  const [forA, forB] = [bFirst ** 2 + ALIKE ** 2, aFirst ** 2 + ALIKE ** 2];
  const share = ((1 - ofB) * forA + ofA * forB) / (forA + forB);
  return share <= LEAST_SHARE || share >= 1 - LEAST_SHARE ? undefined : Math.round(share * 255);
}
