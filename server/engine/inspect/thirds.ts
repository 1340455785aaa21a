/** Third of a picture's width from the left, or of its height from the top. */
export type Third = 0 | 1 | 2;

/** Sums up where in a picture something lies, by thirds of its width and of its height. */
export class Thirds {
  readonly #width: number;
  readonly #height: number;
  readonly #columns = new Float64Array(3);
  readonly #rows = new Float64Array(3);
  #sum = 0;

  /** Of a picture of so many pixels. */
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

  /** The third of the width in which most of it lies; undefined where no third has most. */
  get column(): Third | undefined {
    return this.#most(this.#columns);
  }

  /** The same of the height. */
  get row(): Third | undefined {
    return this.#most(this.#rows);
  }

  #most(counts: Float64Array): Third | undefined {
    const most = counts.findIndex((count) => count > MOST * this.#sum);
    return most < 0 ? undefined : (most as Third);
  }
}

/** Share that makes a third the place to name. */
const MOST = 0.6;
