import { LINEAR_OF_BYTE } from "../colour/srgb.ts";
import { NOISE_LEVELS, noiseAt } from "../screen/noise.ts";
import type { SquareRow } from "./grid.ts";
import type { Palette } from "./palette.ts";

/** Nodes along a side of the lattice of sRGB that mixtures are known for, and bytes from one to the next. */
const NODES = 18;
const STEP = 15;
/** Parts of a mixture. */
const PARTS = 256;

/**
 * Squares by a mask of blue noise, each by itself: a colour is a mixture of 256 parts of the palette's (what is nearest in
 * CIELAB to what is still wanted, in light, part by part), dark ones first, and the mask says which part a square gets.
 * Mixtures are known on a lattice; a square takes one of the eight nodes around its colour by further masks, each as often
 * as its share, so that means hold between nodes too.
 */
export class SquareNoise {
  readonly #palette: Palette;
  readonly #mixtures = new Map<number, Uint8Array>();

  constructor(palette: Palette) {
    this.#palette = palette;
  }

  /** Writes the number of each square's colour. */
  row({ light, cover }: SquareRow, row: number, out: Uint8Array): void {
    for (let square = 0; square < out.length; square++) {
      if (noiseShare(4, square, row) >= cover[square]!) {
        out[square] = 0;
        continue;
      }
      const own = 3 * square;
      const same = this.#palette.same(light[own]!, light[own + 1]!, light[own + 2]!);
      if (same >= 0) {
        out[square] = same;
        continue;
      }
      let node = 0;
      for (let c = 0; c < 3; c++)
        node = node * NODES + nodeAt(light[own + c]!, noiseShare(c + 1, square, row));
      const mixture = this.#mixture(node);
      out[square] = mixture[Math.floor(noiseShare(0, square, row) * PARTS)]!;
    }
  }

  #mixture(node: number): Uint8Array {
    const known = this.#mixtures.get(node);
    if (known) return known;
    const palette = this.#palette;
    const colour = [Math.floor(node / NODES ** 2), Math.floor(node / NODES) % NODES, node % NODES].map(
      (n) => LINEAR_OF_BYTE[n * STEP]!,
    );
    const owed = [0, 0, 0];
    const parts = new Uint8Array(PARTS);
    for (let part = 0; part < PARTS; part++) {
      const wanted = colour.map((v, c) => v + owed[c]!) as [number, number, number];
      const chosen = palette.nearest(...wanted);
      parts[part] = chosen;
      for (let c = 0; c < 3; c++) owed[c] = wanted[c]! - palette.light[3 * chosen + c]!;
    }
    parts.sort((p, q) => palette.lightness(p) - palette.lightness(q) || p - q);
    this.#mixtures.set(node, parts);
    return parts;
  }
}

/** Evenly spread over 0 up to 1. */
function noiseShare(mask: number, x: number, y: number): number {
  return (noiseAt(mask, x, y) + 0.5) / NOISE_LEVELS;
}

/** The node below a light or the one above it, by how near each is, in light. */
function nodeAt(v: number, noise: number): number {
  let node = 0;
  while (node < NODES - 2 && LINEAR_OF_BYTE[(node + 1) * STEP]! <= v) node++;
  const low = LINEAR_OF_BYTE[node * STEP]!;
  const share = (v - low) / (LINEAR_OF_BYTE[(node + 1) * STEP]! - low);
  return noise < share ? node + 1 : node;
}
