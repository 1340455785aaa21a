import { fastLab } from "../colour/fast-lab.ts";
import { Thirds } from "./thirds.ts";

/** Pixels of much the same colour. */
export interface ColourGroup {
  readonly pixels: number;
  /** Their mean, 8-bit sRGB. */
  readonly rgb: readonly [number, number, number];
  readonly where: Thirds;
}

/** Side of a CIELAB cell; colours that share one, or touch a fuller one, are seen as one colour. */
const CELL = 10;

/** Sorts pixels into groups of much the same colour, as they come. */
export class ColourGroups {
  readonly #width: number;
  readonly #height: number;
  readonly #cells = new Map<number, Cell>();
  readonly #lab = new Float64Array(3);

  constructor(width: number, height: number) {
    this.#width = width;
    this.#height = height;
  }

  add(pixel: number, r: number, g: number, b: number): void {
    fastLab(r, g, b, this.#lab);
    const [L, a, bb] = this.#lab as unknown as [number, number, number];
    const key = keyOf(Math.round(L / CELL), Math.round(a / CELL), Math.round(bb / CELL));
    let cell = this.#cells.get(key);
    if (!cell) {
      cell = { key, pixels: 0, sum: [0, 0, 0], where: new Thirds(this.#width, this.#height) };
      this.#cells.set(key, cell);
    }
    cell.pixels++;
    cell.sum[0] += r;
    cell.sum[1] += g;
    cell.sum[2] += b;
    cell.where.add(pixel);
  }

  /** The groups, largest first; cells beside a larger one are counted with it. */
  result(): ColourGroup[] {
    const cells = [...this.#cells.values()].sort((a, b) => b.pixels - a.pixels || a.key - b.key);
    const taken = new Set<number>();
    const groups: ColourGroup[] = [];
    for (const cell of cells) {
      if (taken.has(cell.key)) continue;
      let pixels = 0;
      for (const key of neighbours(cell.key)) {
        const other = this.#cells.get(key);
        if (!other || taken.has(key)) continue;
        taken.add(key);
        pixels += other.pixels;
      }
      const mean = (i: 0 | 1 | 2) => Math.round(cell.sum[i] / cell.pixels);
      groups.push({ pixels, rgb: [mean(0), mean(1), mean(2)], where: cell.where });
    }
    return groups.sort((a, b) => b.pixels - a.pixels);
  }
}

interface Cell {
  readonly key: number;
  pixels: number;
  readonly sum: [number, number, number];
  readonly where: Thirds;
}

/** More than the cells of an axis, so that no two share a key: a* and b* lie within ±160. */
const AXIS = 64;

function keyOf(L: number, a: number, b: number): number {
  return (L * AXIS + a) * AXIS + b;
}

function* neighbours(key: number): Iterable<number> {
  for (let L = -1; L <= 1; L++)
    for (let a = -1; a <= 1; a++) for (let b = -1; b <= 1; b++) yield key + keyOf(L, a, b);
}

/** `#rrggbb`. */
export function hexOf([r, g, b]: readonly [number, number, number]): string {
  return `#${[r, g, b].map((v) => v.toString(16).padStart(2, "0")).join("")}`;
}
