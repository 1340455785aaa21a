/** A part of the picture that is far off. */
export interface WorstPlace {
  /** The middle of it, in pixels. */
  readonly x: number;
  readonly y: number;
  /** Of the square around it. */
  readonly side: number;
  /** ΔE00 on average over it. */
  readonly difference: number;
}

/** Side of the squares that differences are averaged over, as a share of the picture's width. */
const SIDE = 1 / 40;
const MOST = 6;
/** Places nearer to one another than so many squares are one. */
const APART = 3;

/** Differences summed over squares of some rows of a picture, in pixels of those rows. */
export class Squares {
  readonly #side: number;
  readonly #width: number;
  readonly #columns: number;
  readonly #sums: Float64Array;

  constructor(width: number, height: number) {
    this.#side = Math.max(1, Math.round(width * SIDE));
    this.#width = width;
    this.#columns = Math.ceil(width / this.#side);
    this.#sums = new Float64Array(this.#columns * Math.ceil(height / this.#side));
  }

  /** One pixel's, by its index. */
  add(i: number, difference: number): void {
    const y = (i / this.#width) | 0;
    const x = i - y * this.#width;
    const square = ((y / this.#side) | 0) * this.#columns + ((x / this.#side) | 0);
    this.#sums[square]! += difference;
  }

  /** The worst of them. A square of which little is compared counts for little. */
  worst(): WorstPlace[] {
    const side = this.#side;
    const places = Array.from(this.#sums, (sum, square): WorstPlace => {
      const row = Math.floor(square / this.#columns);
      return {
        x: (square - row * this.#columns + 0.5) * side,
        y: (row + 0.5) * side,
        side,
        difference: sum / (side * side),
      };
    });
    return places.sort((a, b) => b.difference - a.difference).slice(0, MOST * APART * APART);
  }
}

/** The worst places of a whole picture out of those of its bands, none beside another. */
export function worstOf(places: readonly WorstPlace[], width: number): WorstPlace[] {
  const apart = width * SIDE * APART;
  const taken: WorstPlace[] = [];
  for (const place of [...places].sort((a, b) => b.difference - a.difference)) {
    if (taken.length === MOST || place.difference <= 0) break;
    if (taken.every(({ x, y }) => Math.hypot(x - place.x, y - place.y) >= apart)) taken.push(place);
  }
  return taken;
}
