import type { SpotFunction } from "./spot-functions.ts";
import type { Supercell } from "./supercell.ts";

/**
 * The order in which the pixels of a supercell turn to ink. A slanted square repeats like a wall of bricks: rows of
 * `width` pixels, `height` of them, and from one such course to the next everything moves by `shift` (Holladay, An
 * Optimum Algorithm for Halftone Generation, Proc. SID 21, 1980, from memory). Ranks run from 0 to
 * width × height − 1, each once.
 */
export interface Tile {
  readonly width: number;
  readonly height: number;
  readonly shift: number;
  readonly ranks: Uint32Array;
}

/** Where a row of pixels begins in the tile. */
export function tileRow({ width, height, shift }: Tile, y: number): { row: number; offset: number } {
  const course = Math.floor(y / height);
  return { row: y - course * height, offset: mod(-course * shift, width) };
}

/**
 * Ranks pixels by the spot function, so that all dots of the supercell grow together: in each dot the pixels stand in
 * the function's order, and at each step the dots take turns, in an order that spreads over the whole supercell.
 */
export function thresholdTile({ cells, across, up }: Supercell, spot: SpotFunction): Tile {
  const area = across * across + up * up;
  const height = gcd(Math.abs(across), Math.abs(up));
  const width = area / height;
  // Some m·(across, −up) + n·(up, across) lies `height` rows down: that is how far the next course is shifted.
  const [m, n] = combination(-up, across, height);
  const shift = mod(m * across + n * up, width);

  const dots = new Uint32Array(area);
  const values = new Float32Array(area);
  const sizes = new Uint32Array(cells * cells);
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at++) {
      const px = x + 0.5;
      const py = y + 0.5;
      const i = (cells * (px * across - py * up)) / area;
      const j = (cells * (px * up + py * across)) / area;
      const column = Math.floor(i);
      const line = Math.floor(j);
      const dot = mod(line, cells) * cells + mod(column, cells);
      dots[at] = dot;
      sizes[dot]!++;
      values[at] = spot(2 * (i - column) - 1, 1 - 2 * (j - line));
    }
  }

  const order = Uint32Array.from({ length: area }, (_, at) => at);
  // Pixels of one dot side by side, first to turn to ink in front; equal ones by place, so that every machine agrees.
  order.sort((a, b) => dots[a]! - dots[b]! || values[b]! - values[a]! || a - b);
  const turns = new Float64Array(area);
  for (let start = 0; start < area; ) {
    const dot = dots[order[start]!]!;
    const size = sizes[dot]!;
    const lead = spreadOut(dot % cells, Math.floor(dot / cells));
    for (let k = 0; k < size; k++) turns[order[start + k]!] = (k + lead) / size;
    start += size;
  }
  order.sort((a, b) => turns[a]! - turns[b]! || a - b);
  const ranks = new Uint32Array(area);
  for (let rank = 0; rank < area; rank++) ranks[order[rank]!] = rank;
  return { width, height, shift, ranks };
}

/** A sequence that fills the square evenly (Roberts, 2018: the plastic number's R2 sequence). */
function spreadOut(column: number, line: number): number {
  const v = column * 0.7548776662466927 + line * 0.5698402909980532;
  return v - Math.floor(v);
}

function mod(a: number, n: number): number {
  return ((a % n) + n) % n;
}

function gcd(a: number, b: number): number {
  return b === 0 ? a : gcd(b, a % b);
}

/** Whole m, n with m·a + n·b = g, where g is a common divisor's multiple; Euclid's algorithm. */
function combination(a: number, b: number, g: number): [number, number] {
  let [r0, r1] = [a, b];
  let [s0, s1] = [1, 0];
  let [t0, t1] = [0, 1];
  while (r1 !== 0) {
    const q = Math.trunc(r0 / r1);
    [r0, r1] = [r1, r0 - q * r1];
    [s0, s1] = [s1, s0 - q * s1];
    [t0, t1] = [t1, t0 - q * t1];
  }
  return [(s0 * g) / r0, (t0 * g) / r0];
}
