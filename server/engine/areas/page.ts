import { deltaE00 } from "../colour/ciede2000.ts";
import { type Lab, labFromBytes } from "../colour/cielab.ts";
import type { BackgroundPlan } from "../plan.ts";
import type { Picture } from "../raster.ts";
import type { Labels } from "./label.ts";
import { piecesOf } from "./pieces.ts";
import { type Planes, planesOf, type Rgb, yuvOf } from "./planes.ts";

/** What the cut of a background left, in pixels. */
export interface Cut {
  /** Background that reaches the border. */
  readonly page: number;
  /** Its colour inside of the drawing, in all and as far as it was cut. */
  readonly enclosed: number;
  readonly enclosedCut: number;
  /** 1 where it was cut inside of the drawing: the customer sees it there, and the print lacks it. */
  readonly lacking: Uint8Array;
}

/** A letter's share of the drawing, and its counter's of the letter, at most. Common practice, no source. */
const LETTER = 0.15;
const COUNTER = 0.6;

/**
 * Takes the background out of flat art, from the border inward: its pixels become clear. `page` is the number of its
 * colour. Works in place.
 */
export function cutPage(
  labels: Labels,
  page: number,
  clear: number,
  enclosed: BackgroundPlan["enclosed"],
): Cut {
  const { width, height, first, second, share } = labels;
  const ground = first.map((label) => (label === page || label === clear ? 1 : 0));
  const pieces = piecesOf(ground, width, height, false);
  const outside = new Uint8Array(pieces.count);
  borderOf(width, height, (i) => {
    if (ground[i] === 1) outside[pieces.of[i]!] = 1;
  });
  const counters = enclosed === "counters-cut" ? countersOf(labels, ground, pieces, outside) : undefined;
  const goes = (piece: number) => outside[piece] === 1 || enclosed === "cut" || counters?.has(piece) === true;
  let [cut, kept, inner] = [0, 0, 0];
  const gone = new Uint8Array(first.length);
  const lacking = new Uint8Array(first.length);
  for (let i = 0; i < first.length; i++) {
    if (first[i] !== page) continue;
    const piece = pieces.of[i]!;
    if (outside[piece] === 1) cut++;
    else if (goes(piece)) {
      inner++;
      // Counters are page like the rest of it.
      if (enclosed === "cut") lacking[i] = 1;
    } else kept++;
    if (goes(piece)) gone[i] = 1;
  }
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const i = y * width + x;
      if (first[i] !== page && second[i] === page && nearGone(x, y)) second[i] = clear;
    }
  }
  for (let i = 0; i < first.length; i++) {
    if (gone[i] === 0) continue;
    first[i] = clear;
    if (second[i] === page) second[i] = clear;
    if (second[i] === clear) share[i] = 255;
  }
  return { page: cut, enclosed: kept + inner, enclosedCut: inner, lacking };

  /** Whether the background nearest to a pixel is one that goes. */
  function nearGone(x: number, y: number): boolean {
    for (let reach = 1; reach <= 3; reach++) {
      let [went, stays] = [0, 0];
      for (let v = Math.max(0, y - reach); v <= Math.min(height - 1, y + reach); v++)
        for (let u = Math.max(0, x - reach); u <= Math.min(width - 1, x + reach); u++) {
          const j = v * width + u;
          if (gone[j] === 1 || first[j] === clear) went++;
          else if (first[j] === page) stays++;
        }
      if (went + stays > 0) return went >= stays;
    }
    // A hairline's worth of it is in no area of its own.
    return false;
  }
}

/** Enclosed pieces that look like the counters of letters: each within one small piece that stands on the page alone. */
function countersOf(
  { width, height, first }: Labels,
  ground: Uint8Array,
  grounds: ReturnType<typeof piecesOf>,
  outside: Uint8Array,
): Set<number> {
  const pieces = piecesOf(first, width, height, true);
  const touches = new Map<number, Set<number>>();
  const holes = new Map<number, Set<number>>();
  const add = (map: Map<number, Set<number>>, key: number, value: number) =>
    (map.get(key) ?? map.set(key, new Set()).get(key)!).add(value);
  let [left, right, top, bottom] = [width, 0, height, 0];
  for (let i = 0; i < first.length; i++) {
    const [x, y] = [i % width, Math.floor(i / width)];
    if (ground[i] === 0) {
      [left, right] = [Math.min(left, x), Math.max(right, x)];
      [top, bottom] = [Math.min(top, y), Math.max(bottom, y)];
    }
    for (const j of [x < width - 1 ? i + 1 : -1, y < height - 1 ? i + width : -1]) {
      if (j < 0 || pieces.of[i] === pieces.of[j]) continue;
      for (const [a, b] of [
        [i, j],
        [j, i],
      ] as const) {
        if (ground[a] === 1) {
          if (ground[b] === 0 && outside[grounds.of[a]!] === 0) add(holes, grounds.of[a]!, pieces.of[b]!);
        } else add(touches, pieces.of[a]!, ground[b] === 1 ? -1 - grounds.of[b]! : pieces.of[b]!);
      }
    }
  }
  const drawing = Math.max(1, (right - left + 1) * (bottom - top + 1));
  const found = new Set<number>();
  for (const [hole, walls] of holes) {
    const [wall] = walls;
    if (walls.size !== 1 || wall === undefined) continue;
    const beside = [...touches.get(wall)!];
    if (beside.some((piece) => piece >= 0)) continue;
    const inner = beside.reduce((sum, piece) => {
      const ground = -1 - piece;
      return sum + (outside[ground] === 1 ? 0 : grounds.size[ground]!);
    }, 0);
    const filled = pieces.size[wall]! + inner;
    if (filled <= LETTER * drawing && grounds.size[hole]! <= COUNTER * filled) found.add(hole);
  }
  // Art of one colour has no other white than its holes.
  const inks = new Set<number>();
  for (let i = 0; i < first.length; i++) if (ground[i] === 0) inks.add(first[i]!);
  if (inks.size === 1) for (const hole of holes.keys()) found.add(hole);
  return found;
}

/** Pixels beside the background up to which its colour is mixed into the drawing's. */
const RIM = 3;

/**
 * Takes the background out of art with tones, from the border inward: what is within `within` of its colour and can be
 * reached goes, and its share of the pixels beside it. Gives a picture of its own.
 */
export function cutTones(
  picture: Picture,
  { rgb, within, enclosed }: BackgroundPlan,
): { picture: Picture; cut: Cut } {
  const { width, height, data } = picture;
  const lab = labFromBytes(...rgb);
  const like = likeOf(picture, lab, within);
  const pieces = piecesOf(like, width, height, false);
  const outside = new Uint8Array(pieces.count);
  borderOf(width, height, (i) => {
    if (like[i] === 1) outside[pieces.of[i]!] = 1;
  });
  const out = data.slice();
  const gone = new Uint8Array(like.length);
  const lacking = new Uint8Array(like.length);
  let [page, inner, enclosedCut] = [0, 0, 0];
  for (let i = 0; i < like.length; i++) {
    if (like[i] === 0 || data[i * 4 + 3] === 0) {
      if (data[i * 4 + 3] === 0) gone[i] = 1;
      continue;
    }
    const isPage = outside[pieces.of[i]!] === 1;
    if (isPage) page++;
    else inner++;
    if (!isPage && enclosed !== "cut") continue;
    if (!isPage) {
      enclosedCut++;
      lacking[i] = 1;
    }
    gone[i] = 1;
    out[i * 4 + 3] = 0;
  }
  unmix(planesOf(picture), gone, out, rgb);
  return { picture: { ...picture, data: out }, cut: { page, enclosed: inner, enclosedCut, lacking } };
}

/** 1 where a pixel is like the background; what is clear counts as such. */
function likeOf({ data, width, height }: Picture, lab: Lab, within: number): Uint8Array {
  const known = new Map<number, number>();
  const like = new Uint8Array(width * height);
  for (let i = 0; i < like.length; i++) {
    if (data[i * 4 + 3]! < 13) {
      like[i] = 1;
      continue;
    }
    const key = (data[i * 4]! << 16) | (data[i * 4 + 1]! << 8) | data[i * 4 + 2]!;
    let same = known.get(key);
    if (same === undefined) {
      const { L, a, b } = labFromBytes(key >> 16, (key >> 8) & 255, key & 255);
      same = deltaE00(L, a, b, lab.L, lab.a, lab.b) <= within ? 1 : 0;
      known.set(key, same);
    }
    like[i] = same;
  }
  return like;
}

/** Pixels beside what is gone get the colour of the drawing behind them, and its share as their alpha. */
function unmix({ width, height, y, u, v }: Planes, gone: Uint8Array, out: Uint8Array, page: Rgb): void {
  const depth = depthOf(gone, width, height);
  const source = out.slice();
  const [py, pu, pv] = yuvOf(page);
  for (let row = 0; row < height; row++) {
    for (let x = 0; x < width; x++) {
      const i = row * width + x;
      const d = depth[i]!;
      if (d === 0 || d >= RIM || source[i * 4 + 3]! < 250) continue;
      // The pixel beside it that is furthest from the page stands for the drawing.
      let best = -1;
      let most = 0;
      for (let b = Math.max(0, row - 2); b <= Math.min(height - 1, row + 2); b++)
        for (let a = Math.max(0, x - 2); a <= Math.min(width - 1, x + 2); a++) {
          const j = b * width + a;
          if (depth[j]! <= d) continue;
          const far = (y[j]! - py) ** 2 + (u[j]! - pu) ** 2 + (v[j]! - pv) ** 2;
          if (far <= most) continue;
          most = far;
          best = j;
        }
      if (best < 0) continue;
      const [dy, du, dv] = [y[best]! - py, u[best]! - pu, v[best]! - pv];
      const t = ((y[i]! - py) * dy + (u[i]! - pu) * du + (v[i]! - pv) * dv) / (most + 1e-9);
      if (t >= 0.97) continue;
      const share = Math.max(0, t);
      out[i * 4 + 3] = Math.round(255 * share);
      for (let c = 0; c < 3; c++) out[i * 4 + c] = source[best * 4 + c]!;
    }
  }
}

/** Steps from what is gone, 0 there, up to RIM. */
function depthOf(gone: Uint8Array, width: number, height: number): Uint8Array {
  let depth = gone.map((is) => (is === 1 ? 0 : RIM));
  for (let step = 1; step < RIM; step++) {
    const next = depth.slice();
    for (let y = 0; y < height; y++)
      for (let x = 0; x < width; x++) {
        const i = y * width + x;
        if (depth[i] !== RIM) continue;
        if (
          (x > 0 && depth[i - 1] === step - 1) ||
          (x < width - 1 && depth[i + 1] === step - 1) ||
          depth[i - width] === step - 1 ||
          depth[i + width] === step - 1
        )
          next[i] = step;
      }
    depth = next;
  }
  return depth;
}

function borderOf(width: number, height: number, visit: (i: number) => void): void {
  for (let column = 0; column < width; column++) {
    visit(column);
    visit((height - 1) * width + column);
  }
  for (let row = 1; row < height - 1; row++) {
    visit(row * width);
    visit(row * width + width - 1);
  }
}
