/** Where in a picture something lies, by thirds of its width and of its height. */
export class Whereabouts {
  readonly #width: number;
  readonly #height: number;
  readonly #columns = new Float64Array(3);
  readonly #rows = new Float64Array(3);
  #sum = 0;

  constructor(width: number, height: number) {
    this.#width = width;
    this.#height = height;
  }

  add(pixel: number, weight = 1): void {
    this.#columns[Math.floor(((pixel % this.#width) * 3) / this.#width)]! += weight;
    this.#rows[Math.floor((Math.floor(pixel / this.#width) * 3) / this.#height)]! += weight;
    this.#sum += weight;
  }

  get sum(): number {
    return this.#sum;
  }

  /** "upper left", "on the right", "at the top" where most of it lies there, else "in several places". */
  words(): string {
    const column = this.#most(this.#columns);
    const row = this.#most(this.#rows);
    if (column !== undefined && row !== undefined)
      return row === 1 && column === 1 ? "in the middle" : `${ROWS[row]} ${COLUMNS[column]}`;
    if (column !== undefined) return ["on the left", "down the middle", "on the right"][column]!;
    if (row !== undefined) return ["at the top", "across the middle", "at the bottom"][row]!;
    return "in several places";
  }

  #most(counts: Float64Array): number | undefined {
    const most = counts.findIndex((count) => count > MOST * this.#sum);
    return most < 0 ? undefined : most;
  }
}

/** Share that makes a third the place to name. */
const MOST = 0.6;
const ROWS = ["upper", "middle", "lower"] as const;
const COLUMNS = ["left", "middle", "right"] as const;
