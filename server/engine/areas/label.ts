import type { Picture } from "../raster.ts";
import { Mixtures, mixedOf } from "./mixtures.ts";
import { calmed, type Planes, planesOf, type Rgb, type Yuv, yuvOf } from "./planes.ts";

/** Which of some colours each pixel belongs to: wholly to the first, or at an edge partly to a second one. */
export interface Labels {
  readonly width: number;
  readonly height: number;
  /** Number of a colour; as many as there are colours for what is clear. */
  readonly first: Uint8Array;
  readonly second: Uint8Array;
  /** What is the first one's, 128–255 of 255. */
  readonly share: Uint8Array;
  /** Pixels that lie inside of an area: like its colour, with others like it around. */
  readonly inside: Uint8Array;
  /** How far nine of ten pixels of fills are from their colours, in steps of a byte. */
  readonly noise: number;
  /** Whether there is noise at all, be it at edges alone, as compression makes it. */
  readonly noisy: boolean;
}

/** How much of a pixel a colour covers, 0–255. */
export function coverOf({ first, second, share }: Labels, at: number, colour: number): number {
  if (first[at] === colour) return share[at]!;
  return second[at] === colour ? 255 - share[at]! : 0;
}

/** Alpha below which a pixel is no longer wholly of its colour. */
const COVERS = 250;
/** Noise from which a picture was compressed or scanned. */
const NOISY = 1.5;
/** Weight of colour differences at edges, which compression softens more than luma. */
const SOFT_COLOUR = 0.4;

/**
 * Gives every pixel to the colours of its neighbourhood. Pixels inside of areas are known by their colour; what lies
 * between is a mixture of two colours, and those of areas beside it are believed sooner than others.
 */
export function labelAreas(picture: Picture, colours: readonly Rgb[]): Labels {
  const { width, height, data } = picture;
  const count = width * height;
  const clear = colours.length;
  const raw = planesOf(picture);
  const palette = colours.map(yuvOf);
  const nearest = new Uint8Array(count);
  const far = new Float32Array(count);
  nearestOf(raw, palette, nearest, far);
  for (let i = 0; i < count; i++) if (data[i * 4 + 3]! < 128) nearest[i] = clear;
  const { noise, most } = noiseOf(nearest, far, width, height, clear);
  const noisy = noise > NOISY;
  const planes = noisy ? calmed(calmed(raw, 2.2 * noise), 1.6 * noise) : raw;
  if (noisy) {
    nearestOf(planes, palette, nearest, far);
    for (let i = 0; i < count; i++) if (data[i * 4 + 3]! < 128) nearest[i] = clear;
  }
  const likeness = likenessOf(palette, noise);
  const inside = insideOf(nearest, far, likeness, palette, width, height, noisy);
  const local = localOf(nearest, inside, width, height, noisy ? 4 : 2);
  const first = new Uint8Array(count);
  const second = new Uint8Array(count);
  const share = new Uint8Array(count).fill(255);
  const mix = new Mixtures(palette, noisy ? SOFT_COLOUR : 1, noisy ? 22 : 9, noisy ? 3 + noise : 2);
  for (let i = 0; i < count; i++) {
    const own = nearest[i]!;
    const alpha = data[i * 4 + 3]!;
    if (alpha === 0) {
      first[i] = second[i] = clear;
      continue;
    }
    if (inside[i] === 1 && own !== clear) first[i] = second[i] = own;
    else {
      mix.of(planes.y[i]!, planes.u[i]!, planes.v[i]!, local[i]!);
      first[i] = mix.first;
      second[i] = mix.second;
      share[i] = mix.share;
    }
    if (alpha >= COVERS) continue;
    const colour = first[i]!;
    first[i] = alpha >= 128 ? colour : clear;
    second[i] = alpha >= 128 ? clear : colour;
    share[i] = Math.max(128, alpha >= 128 ? alpha : 255 - alpha);
  }
  return { width, height, first, second, share, inside, noise, noisy: noisy || most > NOISY };
}

function nearestOf(
  { y, u, v }: Planes,
  palette: readonly Yuv[],
  nearest: Uint8Array,
  far: Float32Array,
): void {
  for (let i = 0; i < nearest.length; i++) {
    // Neighbours repeat.
    if (i > 0 && y[i] === y[i - 1] && u[i] === u[i - 1] && v[i] === v[i - 1]) {
      nearest[i] = nearest[i - 1]!;
      far[i] = far[i - 1]!;
      continue;
    }
    let least = Number.POSITIVE_INFINITY;
    let home = 0;
    for (let k = 0; k < palette.length; k++) {
      const [py, pu, pv] = palette[k]!;
      const d = (y[i]! - py) ** 2 + (u[i]! - pu) ** 2 + (v[i]! - pv) ** 2;
      if (d < least) {
        least = d;
        home = k;
      }
    }
    nearest[i] = home;
    far[i] = Math.sqrt(least);
  }
}

/** Of pixels whose neighbours are of the same colour, how far nine of ten are from it, and 97 of a hundred. */
function noiseOf(
  nearest: Uint8Array,
  far: Float32Array,
  width: number,
  height: number,
  clear: number,
): { noise: number; most: number } {
  const counts = new Uint32Array(161);
  let all = 0;
  for (let row = 1; row < height - 1; row++) {
    for (let i = row * width + 1; i < row * width + width - 1; i++) {
      const own = nearest[i]!;
      if (own === clear || far[i]! >= 40) continue;
      if (nearest[i - 1] !== own || nearest[i + 1] !== own) continue;
      if (nearest[i - width] !== own || nearest[i + width] !== own) continue;
      counts[Math.round(far[i]! * 4)]!++;
      all++;
    }
  }
  const within = (share: number) => {
    let left = share * all;
    let at = 0;
    while (at < 160 && left > counts[at]!) left -= counts[at++]!;
    return at / 4;
  };
  return { noise: within(0.9), most: within(0.97) };
}

/** How far from each colour a pixel may be to be like it. */
function likenessOf(palette: readonly Yuv[], noise: number): number[] {
  return palette.map((p, i) => {
    const apart = palette.map((q, j) => (i === j ? 999 : Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2])));
    return Math.min(0.35 * Math.min(...apart), Math.max(4, Math.min(28, 1.6 * noise)));
  });
}

/** Pixels like their colour that a square of such fits around; in clean art also what makes a line of three. */
function insideOf(
  nearest: Uint8Array,
  far: Float32Array,
  likeness: readonly number[],
  palette: readonly Yuv[],
  width: number,
  height: number,
  noisy: boolean,
): Uint8Array {
  const clear = palette.length;
  const like = new Uint8Array(nearest.length);
  for (let i = 0; i < like.length; i++)
    like[i] = nearest[i] !== clear && far[i]! <= likeness[nearest[i]!]! ? nearest[i]! + 1 : 0;
  const inside = new Uint8Array(like.length);
  const side = noisy ? 3 : 2;
  for (let row = 0; row + side <= height; row++) {
    for (let x = 0; x + side <= width; x++) {
      const i = row * width + x;
      const own = like[i]!;
      if (own === 0) continue;
      let whole = true;
      for (let dy = 0; whole && dy < side; dy++)
        for (let dx = 0; dx < side; dx++) if (like[i + dy * width + dx] !== own) whole = false;
      if (!whole) continue;
      for (let dy = 0; dy < side; dy++) inside.fill(1, i + dy * width, i + dy * width + side);
    }
  }
  if (noisy) return inside;
  const mixed = mixedOf(palette);
  const likeAt = (x: number, row: number) =>
    x < 0 || row < 0 || x >= width || row >= height ? 0 : like[row * width + x]!;
  for (const [dx, dy] of [
    [1, 0],
    [0, 1],
    [1, 1],
    [-1, 1],
  ] as const) {
    for (let row = dy; row < height - dy; row++) {
      for (let x = Math.abs(dx); x < width - Math.abs(dx); x++) {
        const i = row * width + x;
        const own = like[i]!;
        if (own === 0 || inside[i] === 1 || far[i]! > 2.5) continue;
        const step = dy * width + dx;
        if (like[i - step] !== own || like[i + step] !== own) continue;
        if (far[i - step]! > 2.5 || far[i + step]! > 2.5) continue;
        // A row of pixels between two areas whose mixture it is, is their edge.
        const [p, q] = [likeAt(x - 2 * dy, row + 2 * dx), likeAt(x + 2 * dy, row - 2 * dx)];
        if (p && q && mixed(own - 1, p - 1, q - 1)) continue;
        inside[i] = 1;
      }
    }
  }
  return inside;
}

/** Bit k where colour k lies inside of an area at most `reach` pixels away. */
function localOf(
  nearest: Uint8Array,
  inside: Uint8Array,
  width: number,
  height: number,
  reach: number,
): Uint32Array {
  const own = new Uint32Array(nearest.length);
  for (let i = 0; i < own.length; i++) own[i] = inside[i] === 1 ? 1 << nearest[i]! : 0;
  const across = new Uint32Array(own.length);
  for (let row = 0; row < height; row++) {
    const at = row * width;
    for (let x = 0; x < width; x++) {
      let bits = 0;
      const end = at + Math.min(width - 1, x + reach);
      for (let i = at + Math.max(0, x - reach); i <= end; i++) bits |= own[i]!;
      across[at + x] = bits;
    }
  }
  for (let row = 0; row < height; row++) {
    const [top, end] = [Math.max(0, row - reach), Math.min(height - 1, row + reach)];
    for (let x = 0; x < width; x++) {
      let bits = 0;
      for (let v = top; v <= end; v++) bits |= across[v * width + x]!;
      own[row * width + x] = bits;
    }
  }
  return own;
}
