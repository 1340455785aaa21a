import type { Picture } from "../raster.ts";
import type { Labels } from "./label.ts";
import { piecesOf } from "./pieces.ts";
import { type Planes, planesOf, type Rgb, type Yuv, yuvOf } from "./planes.ts";

/** Pieces up to so many pixels are looked at again. */
const SMALL = 1200;
/** Ink that a piece must stand for, in pixels: less is noise, or a stray pixel of clean art. */
const LEAST_INK = { noisy: 2.5, clean: 0.6 };

/**
 * Mends what single pixels cannot know. A piece without an inside, such as a thin stroke, takes the colour that it and
 * the blur around it tell together; one that stands for next to no ink, or is smaller than `speckMm` across, goes to the
 * area around it. Works in place.
 */
export function tidy(
  picture: Picture,
  labels: Labels,
  colours: readonly Rgb[],
  pixelsPerMm: number,
  speckMm: number,
): void {
  const { width, height, first, second, share, inside, noisy } = labels;
  const clear = colours.length;
  const palette = colours.map(yuvOf);
  const planes = planesOf(picture);
  const pieces = piecesOf(first, width, height, true);
  const least = noisy ? LEAST_INK.noisy : LEAST_INK.clean;
  const speckPixels = (speckMm * pixelsPerMm) ** 2;
  // The last piece that each pixel was looked at for.
  const looked = new Int32Array(first.length).fill(-1);
  const members = membersOf(pieces.of, pieces.size, pieces.count);
  for (let piece = 0; piece < pieces.count; piece++) {
    const own = pieces.label[piece]!;
    if (own === clear || pieces.size[piece]! > SMALL) continue;
    const pixels = members(piece);
    let core = 0;
    for (const i of pixels) core += inside[i]!;
    const around = aroundOf(pixels, pieces.of, first, width, height, piece, looked);
    if (!around) continue;
    const isSpeck = pixels.length < speckPixels;
    if (core > 0.1 * pixels.length && !isSpeck) continue;
    let to = own;
    if (isSpeck) to = around.label;
    else if (around.label !== clear) {
      const told = strokeOf(pixels, planes, palette, labels, around.label, own, looked, -2 - piece);
      to = told.ink < least ? around.label : told.colour;
    }
    if (to === own) continue;
    for (const i of pixels) {
      const other = second[i]!;
      first[i] = to;
      if (to === around.label || other === own || other === to) {
        second[i] = to;
        share[i] = 255;
      }
    }
    if (to === around.label) continue;
    // The rim around it was its colour's too.
    for (const i of around.rim) if (second[i] === own) second[i] = to;
  }
  if (speckMm > 0) dropRims(labels);
}

/** A second colour that no pixel beside has as its first is no edge, but noise, unless it is a hairline's. */
function dropRims({ width, height, first, second, share, noisy }: Labels): void {
  if (!noisy) return;
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      const own = second[i]!;
      if (own === first[i]) continue;
      let near = false;
      for (let v = Math.max(0, y - 1); !near && v <= Math.min(height - 1, y + 1); v++)
        for (let u = Math.max(0, x - 1); u <= Math.min(width - 1, x + 1); u++)
          if (first[v * width + u] === own) near = true;
      if (near) continue;
      second[i] = first[i]!;
      share[i] = 255;
    }
  }
}

function membersOf(of: Int32Array, size: Uint32Array, count: number): (piece: number) => Int32Array {
  const starts = new Int32Array(count + 1);
  for (let piece = 0; piece < count; piece++) starts[piece + 1] = starts[piece]! + size[piece]!;
  const next = starts.slice();
  const all = new Int32Array(of.length);
  for (let i = 0; i < of.length; i++) {
    const piece = of[i]!;
    all[next[piece]!] = i;
    next[piece]!++;
  }
  return (piece) => all.subarray(starts[piece]!, starts[piece + 1]!);
}

/** The label that most of the pixels beside a piece have, and those pixels. */
function aroundOf(
  pixels: Int32Array,
  of: Int32Array,
  first: Uint8Array,
  width: number,
  height: number,
  piece: number,
  looked: Int32Array,
): { label: number; rim: number[] } | undefined {
  const rim: number[] = [];
  for (const i of pixels) {
    const [x, y] = [i % width, Math.floor(i / width)];
    for (let v = Math.max(0, y - 1); v <= Math.min(height - 1, y + 1); v++)
      for (let u = Math.max(0, x - 1); u <= Math.min(width - 1, x + 1); u++) {
        const j = v * width + u;
        if (of[j] === piece || looked[j] === piece) continue;
        looked[j] = piece;
        rim.push(j);
      }
  }
  if (rim.length === 0) return undefined;
  const counts = new Map<number, number>();
  for (const i of rim) counts.set(first[i]!, (counts.get(first[i]!) ?? 0) + 1);
  const [label] = [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]!;
  return { label, rim };
}

/**
 * What a thin piece and two pixels around it are, taken together, beside their ground: blur and compression spread a
 * stroke's colour, yet leave its sum.
 */
function strokeOf(
  pixels: Int32Array,
  { width, height, y, u, v }: Planes,
  palette: readonly Yuv[],
  { first, inside }: Labels,
  ground: number,
  own: number,
  looked: Int32Array,
  mark: number,
): { colour: number; ink: number } {
  const [gy, gu, gv] = palette[ground]!;
  let [sy, su, sv] = [0, 0, 0];
  for (const i of pixels) {
    const [x, row] = [i % width, Math.floor(i / width)];
    for (let b = Math.max(0, row - 2); b <= Math.min(height - 1, row + 2); b++)
      for (let a = Math.max(0, x - 2); a <= Math.min(width - 1, x + 2); a++) {
        const j = b * width + a;
        if (looked[j] === mark || (first[j] !== ground && first[j] !== own && inside[j] === 1)) continue;
        looked[j] = mark;
        sy += y[j]! - gy;
        su += u[j]! - gu;
        sv += v[j]! - gv;
      }
  }
  let best = { colour: own, ink: 0 };
  let least = Number.POSITIVE_INFINITY;
  for (const [k, [ky, ku, kv]] of palette.entries()) {
    if (k === ground) continue;
    const [dy, du, dv] = [ky - gy, ku - gu, kv - gv];
    const ink = (sy * dy + su * du + sv * dv) / (dy * dy + du * du + dv * dv);
    if (ink <= 0) continue;
    const off = (sy - ink * dy) ** 2 + (su - ink * du) ** 2 + (sv - ink * dv) ** 2;
    // What was found pixel by pixel stays unless another is clearly better.
    const cost = k === own ? off * 0.6 : off;
    if (cost < least) {
      least = cost;
      best = { colour: k, ink };
    }
  }
  return best;
}
